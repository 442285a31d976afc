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

/// The least cost of finishing what is still to be laid, by what is due, tenths still to fill, and hiding still
/// wanted. Due are layers, counted, and pinned layers, one bit each above that count: a state is
/// `pins · counts + count`.
struct Cells {
    values: Vec<u64>,
    rows: Vec<Row>,
    levels: usize,
    counts: usize,
}

/// The state that is left of `state` once a layer is laid; `None` where the layer is a pinned one that is not due.
fn onward(state: usize, counts: usize, pin: Option<usize>) -> Option<usize> {
    let (pins, count) = (state / counts, state % counts);
    let pins = match pin {
        None => pins,
        Some(pin) if pins & (1 << pin) != 0 => pins & !(1 << pin),
        Some(_) => return None,
    };
    Some(pins * counts + count.saturating_sub(1))
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
    fn get(&self, state: usize, left: usize, hiding: usize) -> u64 {
        let row = self.rows[state * self.levels + left];
        let asked = hiding >= row.low && hiding < row.reach;
        if asked { self.values[row.start + hiding - row.low] } else { NEVER }
    }

    /// The places of the row a layer is laid onto, and of the row it makes.
    fn places(&self, step: &Step) -> impl Iterator<Item = (usize, usize)> + use<> {
        let (levels, counts, pin) = (self.levels, self.counts, step.pin);
        let (left, rest) = (step.left, step.left - step.thickness);
        (0..self.rows.len() / levels).filter_map(move |state| {
            Some((onward(state, counts, pin)? * levels + rest, state * levels + left))
        })
    }

    /// Rows with nothing in them, end to end.
    fn with_rows(mut rows: Vec<Row>, (levels, counts): (usize, usize)) -> Self {
        let mut start = 0;
        for row in &mut rows {
            row.start = start;
            start += row.len();
        }
        Self { values: vec![NEVER; start], rows, levels, counts }
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
        for (source, target) in self.places(step) {
            let (source, target) = (from.rows[source], self.rows[target]);
            let values = &from.values[source.start..][..source.len()];
            relax_row(&mut self.values[target.start..][..target.len()], target, (values, source), step);
        }
    }

    /// As [`Cells::relax`] onto itself: shallower rows are laid out before deeper ones.
    fn relax_within(&mut self, step: &Step) {
        for (source, target) in self.places(step) {
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
    /// Which of the pinned layers it is, if any.
    pin: Option<usize>,
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
    /// Thickness and load of each pinned layer.
    pins: Vec<(usize, usize)>,
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
            pins: problem.pins(),
        }
    }

    /// How many counts of layers a state tells apart.
    fn counts(&self) -> usize {
        self.fewest + 1
    }

    /// The state in which everything is due.
    fn all_due(&self) -> usize {
        ((1 << self.pins.len()) - 1) * self.counts() + self.fewest
    }

    /// Every load that may be laid, planned or pinned, from the lowest.
    fn each_load(&self) -> Vec<usize> {
        let mut loads: Vec<usize> = self.loads.clone().chain(self.pins.iter().map(|pin| pin.1)).collect();
        loads.sort_unstable();
        loads.dedup();
        loads
    }

    /// Every layer of one load: thickness, and which pin it is, if any. Those that are pinned come first of their
    /// thickness, because less is due after them.
    fn each_layer(&self, load: usize) -> Vec<(usize, Option<usize>)> {
        let free = self.thickness.clone().filter(|_| self.loads.contains(&load)).map(|t| (t, None));
        let pinned = self.pins.iter().enumerate().filter(|(_, pin)| pin.1 == load);
        let mut layers: Vec<_> = pinned.map(|(place, pin)| (pin.0, Some(place))).chain(free).collect();
        layers.sort_by_key(|(thickness, pin)| (*thickness, pin.is_none()));
        layers
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
        let mut rows = vec![Row::default(); (self.all_due() + 1) * levels];
        for (row, cost) in rows.iter_mut().zip(&costs) {
            row.reach = usize::from(*cost < NEVER);
        }
        let mut cells = Cells::with_rows(rows, (levels, self.counts()));
        cells.values = costs.into_iter().filter(|cost| *cost < NEVER).collect();
        cells
    }

    /// The least hiding that a row can still be asked for where no load in front of it is above `most`; out of
    /// reach where no number of layers can lie in front of it.
    fn least_wanted(&self, place: usize, most: usize) -> usize {
        let levels = self.room + 1;
        let (wanted, in_front) = (place / levels % self.counts(), self.room - place % levels);
        let laid = self.fewest - wanted;
        // With layers still wanted exactly `laid` lie in front, and otherwise at least as many.
        let (mut thin, mut thick) = (*self.thickness.start(), *self.thickness.end());
        for (thickness, _) in &self.pins {
            (thin, thick) = (thin.min(*thickness), thick.max(*thickness));
        }
        let thinnest = laid * thin;
        let thickest = if wanted > 0 { laid * thick } else { self.room };
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
            for (source, target) in closed.places(step) {
                widen(rows[source], &mut rows[target], step, self.hiding + 1);
            }
        }
        let mut cells = Cells::with_rows(rows, (closed.levels, closed.counts));
        cells.copy(closed);
        for step in &steps {
            cells.relax_within(step);
        }
        cells
    }

    /// The steps of one load onto every depth, the deepest left last.
    fn steps(&self, load: usize) -> impl Iterator<Item = Step> + '_ {
        let flat = (!self.table.is_shaded()).then_some(0);
        self.each_layer(load).into_iter().flat_map(move |(thickness, pin)| {
            let even = flat.map(|below| self.table.colour(thickness, load, below));
            (thickness + 1..=self.room).filter_map(move |left| {
                let cost = even.unwrap_or_else(|| self.table.colour(thickness, load, left - thickness));
                (cost < NEVER).then_some(Step { left, thickness, pigment: load * thickness, cost, pin })
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
    let loads = ask.each_load();
    // With no load at all any will do: there is only the plane without one.
    let (first, last) = (loads.first().copied().unwrap_or(1), loads.last().copied().unwrap_or(0));
    // The place of the plane in which a load, and all above it, may still be laid; one past the end for none.
    let mut place_of = vec![0; last + 2];
    for load in (first..=last).rev() {
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
            for (source, target) in above.places(step) {
                widen(above.rows[source], &mut rows[target], step, self.hiding + 1);
            }
        }
        let mut plane = Cells::with_rows(rows, (above.levels, above.counts));
        plane.copy(above);
        for step in steps {
            plane.relax(above, step);
        }
        plane
    }
}

/// Loads in any order: one plane of cells, filled from shallow to deep.
fn quick(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let steps = ask.each_load().into_iter().flat_map(|load| ask.steps(load)).collect();
    let cells = ask.alone(&ask.closed(|_| false), steps);
    read_off(ask, &cells, |_| Some(&cells))
}

/// One load throughout: hiding is the load times the depth of colour, so it only bars some backs.
fn even(ask: &Ask<'_>) -> Option<(u64, Steps)> {
    let mut best: Option<(u64, Steps)> = None;
    // Without any load only a stone without colour is left, for which any load will do.
    let loads = if ask.each_load().is_empty() { vec![1] } else { ask.each_load() };
    // Where layers are pinned all have to be like them.
    for load in loads.into_iter().filter(|load| ask.pins.iter().all(|pin| pin.1 == *load)) {
        // Beside the planned loads only the pinned layers themselves have this one: no load at all is planned.
        let is_planned = ask.loads.contains(&load) || ask.loads.is_empty();
        let planned = if is_planned { load..=load } else { load + 1..=load };
        let (thickness, pins) = (ask.thickness.clone(), ask.pins.clone());
        let one_load = Ask { hiding: 0, loads: planned, thickness, pins, ..*ask };
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
    let (mut cells, mut left, mut hiding, mut state) = (start, ask.room, ask.hiding, ask.all_due());
    let mut layers: Vec<(usize, usize, Option<usize>)> = Vec::new();
    for load in ask.each_load() {
        layers.extend(ask.each_layer(load).into_iter().map(|(thickness, pin)| (thickness, load, pin)));
    }
    layers.sort_by_key(|(thickness, load, pin)| (*thickness, *load, pin.is_none()));
    let mut lowest = 0;
    let cost = cells.get(state, left, hiding);
    if cost >= NEVER {
        return None;
    }
    let mut steps = Steps::new();
    loop {
        let due = cells.get(state, left, hiding);
        if state == 0 && hiding == 0 && ask.closing(left) == due {
            steps.push((left, 0));
            return Some((cost, steps));
        }
        let fits = |&(thickness, load, pin): &(usize, usize, Option<usize>)| {
            if load < lowest || thickness >= left {
                return None;
            }
            let (next, rest) = (after(load)?, onward(state, ask.counts(), pin)?);
            let rest = next.get(rest, left - thickness, hiding.saturating_sub(load * thickness));
            (ask.table.colour(thickness, load, left - thickness) + rest == due).then_some(next)
        };
        let (next, (thickness, load, pin)) = layers.iter().find_map(|layer| Some((fits(layer)?, *layer)))?;
        steps.push((thickness, load));
        left -= thickness;
        hiding = hiding.saturating_sub(load * thickness);
        state = onward(state, ask.counts(), pin)?;
        if ask.problem.style == Style::Deepening {
            lowest = load + 1;
        }
        cells = next;
    }
}
