//! The planning problems of `tests/fixtures/planner_small.json`, as `tests/reference/planner.py` states them. The bench that
//! is timed beside integer programming reads this file too.

use craft::cure::{
    Assurance, Button, Correlation, Cure, CureError, Doubts, Factor, Light, MaterialShade, Mix, PigmentClass,
    Provenance, Resin, Well,
};
use craft::planner::{Handling, Pin, Plan, Problem, Smooth, Style, Within};
use craft::units::{Length, Load, Share, Span};
use serde::Deserialize;

#[derive(Clone, Deserialize)]
pub(super) struct Instance {
    #[serde(default)]
    pub(super) name: String,
    style: Style,
    depth: u16,
    face: u16,
    face_layer: (u16, u16),
    colour: (u16, u16),
    colour_layer: (u16, u16),
    back: (u16, u16),
    fewest: u16,
    step: f64,
    loads: (u16, u16),
    hiding: f64,
    dp: f64,
    tc: f64,
    alpha: f64,
    programmes: Vec<(f64, f64)>,
    doubts: PlainDoubts,
    pub(super) k: f64,
    m: f64,
    lay: f64,
    settle: f64,
    cool: f64,
    well: Option<PlainWell>,
    shade: Option<PlainShade>,
    pub(super) presses: u8,
    pub(super) pinned: Vec<(u16, u16)>,
    pub(super) smooth: Option<(u16, u16)>,
}

#[derive(Clone, Deserialize)]
#[expect(non_snake_case, reason = "the symbols of the formula, as the fixture has them")]
struct PlainDoubts {
    uD: f64,
    uE: f64,
    uI: f64,
    rho: f64,
    ua: f64,
    uc: f64,
    dt: f64,
}

#[derive(Clone, Deserialize)]
struct PlainWell {
    half_width: f64,
    diffuse: f64,
}

#[derive(Clone, Deserialize)]
struct PlainShade {
    per_mm: f64,
    doubt: f64,
}

impl Instance {
    fn mix(&self) -> Result<Mix, CureError> {
        let step_micro = Load::from_percent(self.step).micro();
        let load = |steps: u16| Load::from_micro(i64::from(steps) * step_micro);
        Ok(Mix {
            absorption: Factor::new(self.alpha)?,
            hiding: Factor::new(self.hiding)?,
            ceiling: Load::from_percent(100.0),
            least: load(self.loads.0),
            most: load(self.loads.1),
            step: load(1),
            thinnest: Length::from_mm(f64::from(self.colour_layer.0) / 10.0),
            thickest: Length::from_mm(f64::from(self.colour_layer.1) / 10.0),
            ..Mix::typical(PigmentClass::White)
        })
    }

    fn cure(&self) -> Result<Cure, CureError> {
        let d = &self.doubts;
        Ok(Cure {
            resin: Resin::new(Length::from_mm(self.dp), Provenance::Typical)?,
            mix: self.mix()?,
            doubts: Doubts {
                penetration: Factor::new(d.uD)?,
                first_set: Factor::new(d.uE)?,
                lamp: Factor::new(d.uI)?,
                together: Correlation::new(d.rho)?,
                pigment: Factor::new(d.ua)?,
                dosing: Factor::new(d.uc)?,
                thickness: Length::from_mm(d.dt),
            },
            assurance: Assurance { spread: Factor::new(self.k)?, margin: Factor::new(self.m)? },
            own: None,
        })
    }

    fn lights(&self) -> Result<Vec<Light>, CureError> {
        let light = |&(seconds, equivalent): &(f64, f64)| {
            let ramp = Span::from_s(2.0 * (seconds - equivalent));
            let button = Button::new(format!("{seconds} s"), Span::from_s(seconds), ramp)?;
            Light::new(button, Span::from_s(self.tc), Provenance::Typical)
        };
        self.programmes.iter().map(light).collect()
    }

    /// The problem in the planner's own figures.
    pub(super) fn problem(&self) -> Result<Problem, CureError> {
        let step_micro = Load::from_percent(self.step).micro();
        let well = |well: &PlainWell| -> Result<Well, CureError> {
            Ok(Well { half_width: Length::from_mm(well.half_width), diffuse: Factor::new(well.diffuse)? })
        };
        let shade = |shade: &PlainShade| -> Result<MaterialShade, CureError> {
            Ok(MaterialShade { per_mm: Factor::new(shade.per_mm)?, doubt: Factor::new(shade.doubt)? })
        };
        let within = |(least, most): (u16, u16)| Within::new(least, most);
        Ok(Problem {
            style: self.style,
            depth: self.depth,
            face: self.face,
            face_layer: within(self.face_layer),
            colour: within(self.colour),
            back: within(self.back),
            fewest: self.fewest,
            cure: self.cure()?,
            lights: self.lights()?,
            presses: self.presses,
            pinned: self
                .pinned
                .iter()
                .map(|&(thickness, load)| Pin {
                    thickness,
                    load: Load::from_micro(i64::from(load) * step_micro),
                })
                .collect(),
            smooth: self.smooth.map(|(reference, seconds)| Smooth { reference, seconds }),
            handling: Handling {
                lay: Span::from_s(self.lay),
                settle: Span::from_s(self.settle),
                cool: Span::from_s(self.cool),
            },
            well: self.well.as_ref().map(well).transpose()?,
            shade: self.shade.as_ref().map(shade).transpose()?,
            packed: Vec::new(),
            thinnest: Share::WHOLE,
            caution: None,
        })
    }
}

/// What a plan costs, as the reference counts it.
pub(super) fn key(plan: &Plan) -> [u32; 4] {
    [plan.cost.seconds, plan.cost.layers, plan.cost.pigment, plan.cost.squares]
}

/// Tenths of a millimetre, steps of load, seconds.
pub(super) fn list(plan: &Plan) -> Vec<(i64, i64, f64)> {
    let step = plan.cure.mix.step.micro();
    plan.layers
        .iter()
        .map(|layer| (layer.thickness.micro() / 100_000, layer.load.micro() / step, layer.lit().s()))
        .collect()
}
