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

/// The least cost of finishing what is still to be laid, by layers still wanted, tenths still to fill, and
/// hiding still wanted.
struct Cells {
    values: Vec<u64>,
    rows: Vec<Row>,
    levels: usize,
}

/// The costs of one depth and count by the hiding still wanted: only from `low`, below which no plan ever
/// asks, up to `reach`, from where it can no longer be met.
#[derive(Clone, Copy, Default)]
struct Row {
    start: usize,
    low: usize,
    reach: usize,
}

impl Row {
    fn len(self) -> usize {
        self.reach.saturating_sub(self.low)
    }
}

impl Cells {
    fn get(&self, wanted: usize, left: usize, hiding: usize) -> u64 {
        let row = self.rows[wanted * self.levels + left];
        let asked = hiding >= row.low && hiding < row.reach;
        if asked { self.values[row.start + hiding - row.low] } else { NEVER }
    }

    /// The places of the row a layer is laid onto, and of the row it makes.
    fn places(&self, wanted: usize, step: &Step) -> (usize, usize) {
        let source = wanted.saturating_sub(1) * self.levels + step.left - step.thickness;
        (source, wanted * self.levels + step.left)
    }

    /// Rows with nothing in them, end to end.
    fn with_rows(mut rows: Vec<Row>, levels: usize) -> Self {
        let mut start = 0;
        for row in &mut rows {
            row.start = start;
            start += row.len();
        }
        Self { values: vec![NEVER; start], rows, levels }
    }

    /// Copies what is kept of another plane.
    fn copy(&mut self, from: &Cells) {
        for (row, old) in self.rows.iter().zip(&from.rows) {
            let kept = row.low..old.reach.min(row.reach);
            if kept.start < kept.end && old.low <= row.low {
                let source = old.start + kept.start - old.low;
                self.values[row.start..][..kept.len()].copy_from_slice(&from.values[source..][..kept.len()]);
            }
        }
    }

    /// Lets every count of a depth start with one more layer onto `from`.
    fn relax(&mut self, from: &Cells, step: &Step) {
        for wanted in 0..self.rows.len() / self.levels {
            let (source, target) = self.places(wanted, step);
            let (source, target) = (from.rows[source], self.rows[target]);
            let values = &from.values[source.start..][..source.len()];
            relax_row(&mut self.values[target.start..][..target.len()], target, (values, source), step);
        }
    }

    /// As [`Cells::relax`] onto itself: shallower rows are laid out before deeper ones.
    fn relax_within(&mut self, step: &Step) {
        for wanted in 0..self.rows.len() / self.levels {
            let (source, target) = self.places(wanted, step);
            let (source, target) = (self.rows[source], self.rows[target]);
            let (below, above) = self.values.split_at_mut(target.start);
            let values = &below[source.start..][..source.len()];
            relax_row(&mut above[..target.len()], target, (values, source), step);
        }
    }
}

/// Widens a row to the hiding that `step` onto another can meet, up to `width`.
fn widen(source: Row, target: &mut Row, step: &Step, width: usize) {
    if source.reach > 0 {
        target.reach = target.reach.max((step.pigment + source.reach).min(width));
    }
}

/// Takes the cheaper of what a row holds and of one more layer on what another holds.
fn relax_row(cells: &mut [u64], target: Row, (values, source): (&[u64], Row), step: &Step) {
    let end = (step.pigment + source.reach).min(target.reach);
    if source.len() == 0 || end <= target.low {
        return;
    }
    // Up to the layer's own pigment nothing more is wanted of what it lies on.
    let flat = step.pigment.clamp(target.low, end);
    let (met, rest) = cells[..end - target.low].split_at_mut(flat - target.low);
    if let (false, Some(first)) = (met.is_empty(), values.first()) {
        for cell in met {
            *cell = (*cell).min(step.cost + first);
        }
    }
    let onward = values.get(flat.saturating_sub(step.pigment + source.low)..).unwrap_or_default();
    for (cell, value) in rest.iter_mut().zip(onward) {
        *cell = (*cell).min(step.cost + value);
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

    /// Cells in which only the back is still to be laid, with as much `left` as is not barred.
    fn closed(&self, barred: impl Fn(usize) -> bool) -> Cells {
        let levels = self.room + 1;
        let closing = |left: usize| if left == 0 || barred(left) { NEVER } else { self.closing(left) };
        let costs: Vec<u64> = (0..levels).map(closing).collect();
        let mut rows = vec![Row::default(); (self.fewest + 1) * levels];
        for (row, cost) in rows.iter_mut().zip(&costs) {
            row.reach = usize::from(*cost < NEVER);
        }
        let mut cells = Cells::with_rows(rows, levels);
        cells.values = costs.into_iter().filter(|cost| *cost < NEVER).collect();
        cells
    }

    /// The least hiding that a row can still be asked for where no load in front of it is above `most`; out of
    /// reach where no number of layers can lie in front of it.
    fn least_wanted(&self, place: usize, most: usize) -> usize {
        let levels = self.room + 1;
        let (wanted, in_front) = (place / levels, self.room - place % levels);
        let laid = self.fewest - wanted;
        // With layers still wanted exactly `laid` lie in front, and otherwise at least as many.
        let thinnest = laid * self.thickness.start();
        let thickest = if wanted > 0 { laid * self.thickness.end() } else { self.room };
        if (thinnest..=thickest).contains(&in_front) {
            self.hiding.saturating_sub(most * in_front)
        } else {
            usize::MAX
        }
    }

    /// One plane in which any of `steps` may lie on any other. What lies in front of a row gives at most the
    /// highest load that sets, so at least the rest of the hiding is still wanted.
    fn alone(&self, closed: &Cells, mut steps: Vec<Step>) -> Cells {
        steps.sort_by_key(|step| step.left);
        let mut rows = closed.rows.clone();
        let most = steps.iter().map(|step| step.pigment / step.thickness).max().unwrap_or(0);
        for (place, row) in rows.iter_mut().enumerate() {
            row.low = self.least_wanted(place, most);
        }
        for step in &steps {
            for wanted in 0..=self.fewest {
                let (source, target) = closed.places(wanted, step);
                widen(rows[source], &mut rows[target], step, self.hiding + 1);
            }
        }
        let mut cells = Cells::with_rows(rows, closed.levels);
        cells.copy(closed);
        for step in &steps {
            cells.relax_within(step);
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

/// The cheapest clear layers that add up to the face; the first of them holds the material.
pub(super) fn face(problem: &Problem, table: &Table) -> Option<(u64, Vec<usize>)> {
    let (total, behind) = (usize::from(problem.face), usize::from(problem.depth - problem.face));
    let sizes = || problem.face_layer.each().filter(|size| *size > 0);
    let mut least = vec![NEVER; total + 1];
    least[0] = 0;
    for left in 1..=total {
        for size in sizes().take_while(|size| *size <= left) {
            let rest = left - size;
            let cost = table.face(size, behind + rest, left == total);
            least[left] = least[left].min(cost.saturating_add(least[rest]));
        }
        least[left] = least[left].min(NEVER);
    }
    let cost = least[total];
    if cost >= NEVER {
        return None;
    }
    let (mut left, mut layers) = (total, Vec::new());
    while left > 0 {
        let fits = |size: &usize| {
            table.face(*size, behind + left - size, left == total) + least[left - size] == least[left]
        };
        let size = sizes().take_while(|size| *size <= left).find(fits)?;
        layers.push(size);
        left -= size;
    }
    Some((cost, layers))
}

/// Loads that rise from the face: one plane of cells for each load, from the highest down, so that each load
/// is laid at most once and only in front of higher ones. A load that never sets shares the plane above it.
fn deepening(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let mut planes = vec![ask.closed(|_| false)];
    let (first, last) = (*ask.loads.start(), *ask.loads.end());
    // The place of the plane in which a load, and all above it, may still be laid; one past the end for none.
    let mut place_of = vec![0; last + 2];
    for load in ask.loads.clone().rev() {
        let steps: Vec<Step> = ask.steps(load).collect();
        if !steps.is_empty() {
            let above = planes.last()?;
            let plane = ask.plane(above, load, &steps);
            planes.push(plane);
        }
        place_of[load] = planes.len() - 1;
    }
    let plane_of = |load: usize| planes.get(*place_of.get(load)?);
    read_off(ask, plane_of(first.min(last + 1))?, |load| plane_of(load + 1))
}

impl Ask<'_> {
    /// The plane of one load over the plane of all higher ones. What lies in front of it are lower loads, so
    /// at least the hiding that they cannot give is still wanted: below that no row is filled.
    fn plane(&self, above: &Cells, load: usize, steps: &[Step]) -> Cells {
        let mut rows = above.rows.clone();
        for (place, row) in rows.iter_mut().enumerate() {
            row.low = self.least_wanted(place, load - 1);
        }
        for step in steps {
            for wanted in 0..=self.fewest {
                let (source, target) = above.places(wanted, step);
                widen(above.rows[source], &mut rows[target], step, self.hiding + 1);
            }
        }
        let mut plane = Cells::with_rows(rows, above.levels);
        plane.copy(above);
        for step in steps {
            plane.relax(above, step);
        }
        plane
    }
}

/// Loads in any order: one plane of cells, filled from shallow to deep.
fn quick(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let steps = ask.loads.clone().flat_map(|load| ask.steps(load)).collect();
    let cells = ask.alone(&ask.closed(|_| false), steps);
    read_off(ask, &cells, |_| Some(&cells))
}

/// One load throughout: hiding is the load times the depth of colour, so it only bars some backs.
fn even(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let mut best: Option<(u64, Steps)> = None;
    // Without any load only a stone without colour is left, for which any load will do.
    let loads = if ask.loads.is_empty() { 1..=1 } else { ask.loads.clone() };
    for load in loads {
        let one_load = Ask { hiding: 0, loads: load..=load, thickness: ask.thickness.clone(), ..*ask };
        let closed = one_load.closed(|left| load * (ask.room - left) < ask.hiding);
        let steps = one_load.steps(load).map(|step| Step { pigment: 0, ..step }).collect();
        let cells = one_load.alone(&closed, steps);
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
