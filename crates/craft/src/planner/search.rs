//! The exact search: every plan on the grid is weighed, and none twice.
//!
//! Costs are filled in from the back of the stone towards the face: a cell holds the least cost of finishing
//! what is still to be laid. The plan is then read off from the face, taking the smallest thickness, then the
//! smallest load, among all layers that keep the least cost, so ties always fall the same way.

use super::problem::{Problem, Style};
use super::table::{NEVER, Table};

/// Thickness in tenths and load in steps, layer by layer from the face.
pub(super) type Steps = Vec<(usize, usize)>;

/// The layers of the best plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Found {
    pub(super) cost: u64,
    pub(super) face: Vec<usize>,
    /// Colour layers.
    pub(super) colour: Steps,
    pub(super) back: usize,
}

/// Cells of the search by layers still wanted, tenths still to fill, and hiding still wanted.
struct Cells {
    values: Vec<u64>,
    /// For each row, one more than the most hiding still wanted that can be met.
    reach: Vec<usize>,
    levels: usize,
    width: usize,
}

impl Cells {
    fn new(rows: usize, levels: usize, width: usize) -> Self {
        Self { values: vec![NEVER; rows * levels * width], reach: vec![0; rows * levels], levels, width }
    }

    fn get(&self, wanted: usize, left: usize, hiding: usize) -> u64 {
        self.values[(wanted * self.levels + left) * self.width + hiding]
    }

    /// Lets every cell `left` deep start with a layer of `cost` onto a cell of `from` that is `thickness`
    /// less deep and wants `pigment` less. `from` is `None` where both are in the same plane.
    fn relax(&mut self, from: Option<&Cells>, step: &Step) {
        let (levels, width) = (self.levels, self.width);
        let rows = self.reach.len() / levels;
        for wanted in 0..rows {
            let source = wanted.saturating_sub(1) * levels + step.left - step.thickness;
            let target = wanted * levels + step.left;
            let reach = from.map_or(self.reach[source], |cells| cells.reach[source]);
            if reach == 0 {
                continue;
            }
            let (below, above) = self.values.split_at_mut(target * width);
            let source_row = match from {
                Some(cells) => &cells.values[source * width..(source + 1) * width],
                None => &below[source * width..(source + 1) * width],
            };
            let target_row = &mut above[..width];
            let end = (step.pigment + reach).min(width);
            let flat = step.pigment.min(end);
            let met = step.cost + source_row[0];
            for cell in &mut target_row[..flat] {
                *cell = (*cell).min(met);
            }
            for (cell, value) in target_row[flat..end].iter_mut().zip(source_row) {
                *cell = (*cell).min(step.cost + value);
            }
            self.reach[target] = self.reach[target].max(end);
        }
    }
}

/// One layer on top of what is `left` to fill.
struct Step {
    left: usize,
    thickness: usize,
    pigment: usize,
    cost: u64,
}

/// The limits of a search, in whole numbers.
struct Ask<'a> {
    problem: &'a Problem,
    table: &'a Table,
    /// Tenths behind the face.
    room: usize,
    hiding: usize,
    fewest: usize,
    loads: std::ops::RangeInclusive<usize>,
    thickness: std::ops::RangeInclusive<usize>,
}

impl<'a> Ask<'a> {
    fn new(problem: &'a Problem, table: &'a Table) -> Self {
        Self {
            problem,
            table,
            room: usize::from(problem.depth) - usize::from(problem.face),
            hiding: problem.hiding_units(),
            fewest: usize::from(problem.fewest),
            loads: problem.load_steps(),
            thickness: problem.colour_layer().each(),
        }
    }

    /// The cost of closing with a clear back of all that is left, where that is allowed.
    fn closing(&self, left: usize) -> u64 {
        if self.problem.back.holds(left) && self.problem.colour.holds(self.room - left) {
            self.table.colour(left, 0, 0)
        } else {
            NEVER
        }
    }

    /// Cells in which only the back is still to be laid.
    fn closed(&self, width: usize) -> Cells {
        let mut cells = Cells::new(self.fewest + 1, self.room + 1, width);
        for left in 1..=self.room {
            let cost = self.closing(left);
            if cost < NEVER {
                cells.values[left * width] = cost;
                cells.reach[left] = 1;
            }
        }
        cells
    }

    /// The steps of one load onto every depth, the deepest left last.
    fn steps(&self, load: usize) -> impl Iterator<Item = Step> + '_ {
        let flat = (!self.table.is_shaded()).then_some(0);
        self.thickness.clone().flat_map(move |thickness| {
            let even = flat.map(|below| self.table.colour(thickness, load, below));
            (thickness + 1..=self.room).filter_map(move |left| {
                let cost = even.unwrap_or_else(|| self.table.colour(thickness, load, left - thickness));
                (cost < NEVER).then_some(Step { left, thickness, pigment: load * thickness, cost })
            })
        })
    }
}

/// The best plan, or `None` where none keeps every limit.
pub(super) fn search(problem: &Problem, table: &Table) -> Option<Found> {
    let ask = Ask::new(problem, table);
    let (face_cost, face) = face(problem, table)?;
    let (cost, mut steps) = match problem.style {
        Style::Deepening => deepening(&ask)?,
        Style::Quick => quick(&ask)?,
        Style::Even => even(&ask)?,
    };
    let (back, _) = steps.pop()?;
    Some(Found { cost: face_cost + cost, face, colour: steps, back })
}

/// The cheapest clear layers that add up to the face.
pub(super) fn face(problem: &Problem, table: &Table) -> Option<(u64, Vec<usize>)> {
    let (total, behind) = (usize::from(problem.face), usize::from(problem.depth - problem.face));
    let sizes = || problem.face_layer.each().filter(|size| *size > 0);
    let mut least = vec![NEVER; total + 1];
    least[0] = 0;
    for left in 1..=total {
        for size in sizes().take_while(|size| *size <= left) {
            let rest = left - size;
            least[left] = least[left].min(table.face(size, behind + rest).saturating_add(least[rest]));
        }
        least[left] = least[left].min(NEVER);
    }
    let cost = least[total];
    if cost >= NEVER {
        return None;
    }
    let (mut left, mut layers) = (total, Vec::new());
    while left > 0 {
        let fits = |size: &usize| table.face(*size, behind + left - size) + least[left - size] == least[left];
        let size = sizes().take_while(|size| *size <= left).find(fits)?;
        layers.push(size);
        left -= size;
    }
    Some((cost, layers))
}

/// Loads that rise from the face: one plane of cells for each load, from the highest down, so that each load
/// is laid at most once and only in front of higher ones.
fn deepening(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let mut planes = vec![ask.closed(ask.hiding + 1)];
    for load in ask.loads.clone().rev() {
        let above = planes.last()?;
        let mut plane =
            Cells { values: above.values.clone(), reach: above.reach.clone(), ..Cells::new(0, 0, 0) };
        (plane.levels, plane.width) = (above.levels, above.width);
        for step in ask.steps(load) {
            plane.relax(Some(above), &step);
        }
        planes.push(plane);
    }
    // The plane of a load is the one in which it, and all above it, may still be laid.
    let last = *ask.loads.end();
    let plane_of = |load: usize| planes.get((last + 1).checked_sub(load)?);
    let first = *ask.loads.start();
    read_off(ask, plane_of(first.min(last + 1))?, |load| plane_of(load + 1))
}

/// Loads in any order: one plane of cells, filled from shallow to deep.
fn quick(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let mut cells = ask.closed(ask.hiding + 1);
    let mut steps: Vec<Step> = ask.loads.clone().flat_map(|load| ask.steps(load)).collect();
    steps.sort_by_key(|step| step.left);
    for step in &steps {
        cells.relax(None, step);
    }
    read_off(ask, &cells, |_| Some(&cells))
}

/// One load throughout: hiding is the load times the depth of colour, so it only bars some backs.
fn even(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let mut best: Option<(u64, Steps)> = None;
    let none_needed = (ask.hiding == 0 && ask.fewest == 0).then_some(1..=1);
    let loads = if ask.loads.is_empty() { none_needed? } else { ask.loads.clone() };
    for load in loads {
        let mut cells = ask.closed(1);
        for left in 1..=ask.room {
            if load * (ask.room - left) < ask.hiding {
                cells.values[left] = NEVER;
                cells.reach[left] = 0;
            }
        }
        let mut steps: Vec<Step> = if ask.loads.is_empty() { vec![] } else { ask.steps(load).collect() };
        steps.sort_by_key(|step| step.left);
        for step in &steps {
            cells.relax(None, &Step { pigment: 0, ..*step });
        }
        let one_load = Ask { hiding: 0, loads: load..=load, thickness: ask.thickness.clone(), ..*ask };
        let found = read_off(&one_load, &cells, |_| Some(&cells));
        best = [best, found].into_iter().flatten().min();
    }
    best
}

/// Reads the best plan off from the face; `after` gives the cells that hold once a load is laid.
fn read_off<'c>(
    ask: &Ask<'_>,
    start: &'c Cells,
    after: impl Fn(usize) -> Option<&'c Cells>,
) -> Option<(u64, Steps)> {
    let (mut cells, mut left, mut hiding, mut wanted) = (start, ask.room, ask.hiding, ask.fewest);
    let mut lowest = *ask.loads.start();
    let cost = cells.get(wanted, left, hiding);
    if cost >= NEVER {
        return None;
    }
    let mut steps = Steps::new();
    loop {
        let due = cells.get(wanted, left, hiding);
        if wanted == 0 && hiding == 0 && ask.closing(left) == due {
            steps.push((left, 0));
            return Some((cost, steps));
        }
        let fits = |thickness: usize, load: usize| {
            let next = after(load)?;
            let rest =
                next.get(wanted.saturating_sub(1), left - thickness, hiding.saturating_sub(load * thickness));
            (ask.table.colour(thickness, load, left - thickness) + rest == due).then_some(next)
        };
        let (thickness, load, next) = ask
            .thickness
            .clone()
            .take_while(|thickness| *thickness < left)
            .flat_map(|thickness| ask.loads.clone().map(move |load| (thickness, load)))
            .filter(|(_, load)| *load >= lowest)
            .find_map(|(thickness, load)| Some((thickness, load, fits(thickness, load)?)))?;
        steps.push((thickness, load));
        left -= thickness;
        hiding = hiding.saturating_sub(load * thickness);
        wanted = wanted.saturating_sub(1);
        if ask.problem.style == Style::Deepening {
            lowest = load + 1;
        }
        cells = next;
    }
}
