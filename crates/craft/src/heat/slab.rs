//! Conduction through a slab of layers: finite volumes, implicit in time.

/// What carries and holds heat.
#[derive(Clone, Copy, Debug)]
pub(super) struct Material {
    /// W/mK.
    pub(super) conductivity: f64,
    /// J/m³K.
    pub(super) heat_capacity: f64,
}

/// A slab from its surface down, with what air and bench take from it for each K above the room, W/m²K.
#[derive(Clone, Debug)]
pub(super) struct Slab {
    cells: Vec<(Material, f64)>,
    top_w: f64,
    base_w: f64,
}

impl Slab {
    pub(super) fn new(top_w: f64, base_w: f64) -> Self {
        Self { cells: Vec::with_capacity(48), top_w, base_w }
    }

    /// Adds a layer below in cells of one width.
    pub(super) fn even(&mut self, material: Material, thick_m: f64, cells: u32) {
        let width_m = thick_m / f64::from(cells);
        self.cells.extend((0..cells).map(|_| (material, width_m)));
    }

    /// Adds a layer below in cells each 1.3 times as wide as the one above.
    pub(super) fn widening(&mut self, material: Material, thick_m: f64, cells: u32) {
        const GROWTH: f64 = 1.3;
        let first_m = thick_m * (GROWTH - 1.0) / (GROWTH.powf(f64::from(cells)) - 1.0);
        self.cells.extend((0..cells).map(|i| (material, first_m * GROWTH.powf(f64::from(i)))));
    }

    /// W/m²K between the middles of neighbouring cells, with those to air and bench at the ends.
    fn conductances(&self) -> Vec<f64> {
        let half = |&(material, width_m): &(Material, f64)| 0.5 * width_m / material.conductivity;
        let outward = |taken_w: f64, cell: Option<&(Material, f64)>| {
            if taken_w > 0.0 { 1.0 / (1.0 / taken_w + cell.map_or(0.0, half)) } else { 0.0 }
        };
        let mut between = vec![outward(self.top_w, self.cells.first())];
        let pairs = self.cells.iter().zip(self.cells.iter().skip(1));
        between.extend(pairs.map(|(above, below)| 1.0 / (half(above) + half(below))));
        between.push(outward(self.base_w, self.cells.last()));
        between
    }

    /// How many cells it has.
    pub(super) fn many(&self) -> usize {
        self.cells.len()
    }

    /// What carries it over steps of so many seconds: Crank and Nicolson (1947, Proc. Camb. Phil. Soc. 43:50), second
    /// order in time and stable for any step.
    ///
    /// The matrix is the same each step, so its elimination is done once (Thomas's algorithm).
    #[expect(
        clippy::indexing_slicing,
        reason = "all arrays have one entry a cell, and one more between them"
    )]
    pub(super) fn steps_of(&self, step_s: f64) -> Stepper {
        let n = self.many();
        let flow: Vec<f64> = self.conductances().iter().map(|w| 0.5 * step_s * w).collect();
        let width_m: Vec<f64> = self.cells.iter().map(|(_, width_m)| *width_m).collect();
        let held: Vec<f64> =
            self.cells.iter().map(|(material, width_m)| material.heat_capacity * width_m).collect();
        let (mut inverse, mut upper) = (vec![0.0; n], vec![0.0; n]);
        for i in 0..n {
            let carried = if i > 0 { flow[i] * upper[i - 1] } else { 0.0 };
            inverse[i] = 1.0 / (held[i] + flow[i] + flow[i + 1] - carried);
            upper[i] = flow[i + 1] * inverse[i];
        }
        Stepper { flow, width_m, held, inverse, upper, right: vec![0.0; n] }
    }
}

/// See [`Slab::steps_of`].
#[derive(Clone, Debug)]
pub(super) struct Stepper {
    flow: Vec<f64>,
    width_m: Vec<f64>,
    held: Vec<f64>,
    inverse: Vec<f64>,
    upper: Vec<f64>,
    right: Vec<f64>,
}

impl Stepper {
    /// One step: the rise of each cell, K, after it has gained `added` J/m³ in it.
    #[expect(
        clippy::indexing_slicing,
        reason = "all arrays have one entry a cell, and one more between them"
    )]
    pub(super) fn step(&mut self, rise: &mut [f64], added: &[f64]) {
        let Self { flow, width_m, held, inverse, upper, right } = self;
        let n = rise.len();
        let (mut above, mut from_above) = (0.0, 0.0);
        for i in 0..n {
            let below = if i + 1 < n { rise[i + 1] } else { 0.0 };
            let kept = (held[i] - flow[i] - flow[i + 1]) * rise[i] + flow[i] * above + flow[i + 1] * below;
            right[i] = (kept + added[i] * width_m[i] + flow[i] * from_above) * inverse[i];
            (above, from_above) = (rise[i], right[i]);
        }
        let mut below = 0.0;
        for i in (0..n).rev() {
            below = right[i] + upper[i] * below;
            rise[i] = below;
        }
    }
}
