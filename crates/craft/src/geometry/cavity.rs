//! A mould cavity, and equally the stone that comes out of it.

use serde::{Deserialize, Serialize};

use super::dome::{Dome, Profile};
use super::draft::Draft;
use super::outline::Outline;
use super::rim::{self, Step};
use super::{GeometryError, LEAST_DOME, MOST_SIDE, Side, check_side};
use crate::density::Density;
use crate::units::{Area, Length, Mass, Volume};

/// A mould, filled with the dome down; or the stone of that shape.
///
/// Depths run from the apex (0) up to the rim (dome height + wall height). A depth outside that range is taken
/// as the nearer end. Every value of this type has passed the checks of [`Cavity::new`], also when read from a file.
///
/// A wall with draft leans outward from the dome's edge to the rim, where the outline is. Its sections keep the
/// outline's proportions, as those of the dome do, so the angle is the one across the width.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Fields", into = "Fields")]
pub struct Cavity {
    outline: Outline,
    dome: Dome,
    dome_height: Length,
    wall_height: Length,
    draft: Draft,
}

/// A cavity as it is written in a file, before the checks.
#[derive(Clone, Serialize, Deserialize)]
#[serde(rename = "Cavity", deny_unknown_fields)]
struct Fields {
    outline: Outline,
    dome: Dome,
    dome_height: Length,
    wall_height: Length,
    #[serde(default, skip_serializing_if = "Draft::is_upright")]
    draft: Draft,
}

impl TryFrom<Fields> for Cavity {
    type Error = GeometryError;

    fn try_from(fields: Fields) -> Result<Self, GeometryError> {
        let Fields { outline, dome, dome_height, wall_height, draft } = fields;
        Cavity::new(outline, dome, dome_height, wall_height)?.leaning(draft)
    }
}

impl From<Cavity> for Fields {
    fn from(cavity: Cavity) -> Self {
        let Cavity { outline, dome, dome_height, wall_height, draft } = cavity;
        Fields { outline, dome, dome_height, wall_height, draft }
    }
}

impl Cavity {
    /// A checked cavity with an upright wall. The dome height is 0.1–100 mm (0 for a flat one), the wall height
    /// 0–100 mm.
    ///
    /// # Errors
    /// An outline out of range, a height out of range, a circular arc higher than half the width, measured heights
    /// off the dome, a flat stone with a dome height, a dome on an outline that turns back, or no depth at all.
    pub fn new(
        outline: Outline,
        dome: Dome,
        dome_height: Length,
        wall_height: Length,
    ) -> Result<Self, GeometryError> {
        outline.check()?;
        check_side(Side::WallHeight, wall_height, Length::ZERO, MOST_SIDE)?;
        if dome == Dome::Flat {
            if dome_height != Length::ZERO {
                return Err(GeometryError::FlatWithDome { height: dome_height });
            }
            if wall_height == Length::ZERO {
                return Err(GeometryError::NoDepth);
            }
        } else {
            check_side(Side::DomeHeight, dome_height, LEAST_DOME, MOST_SIDE)?;
        }
        let cavity = Self { outline, dome, dome_height, wall_height, draft: Draft::UPRIGHT };
        cavity.check_dome()?;
        Ok(cavity)
    }

    /// The same cavity with a wall that leans outward by `draft`.
    ///
    /// # Errors
    /// A wall that leaves less than half the width at its foot, a dome that is too steep or was measured too wide
    /// for what is left, or an outline that turns back.
    pub fn leaning(self, draft: Draft) -> Result<Self, GeometryError> {
        let cavity = Self { draft, ..self };
        if cavity.foot() < 0.5 {
            return Err(GeometryError::LeansTooFar { wall: cavity.wall_height, draft });
        }
        cavity.check_dome()?;
        Ok(cavity)
    }

    /// Checks the dome against the width at its edge.
    fn check_dome(&self) -> Result<(), GeometryError> {
        let stands_on_it = self.dome != Dome::Flat || self.draft != Draft::UPRIGHT;
        if stands_on_it && !self.outline.shrinks_within_itself() {
            return Err(GeometryError::HiddenFromTheMiddle);
        }
        let width = Length::from_mm(self.foot() * self.outline.width().mm());
        let half_width = Length::from_micro(width.micro() / 2);
        match self.dome {
            Dome::CircularArc if self.dome_height + self.dome_height > width => {
                Err(GeometryError::ArcTooTall { width, height: self.dome_height, most: half_width })
            }
            Dome::Measured(heights) => heights.check(self.dome_height, half_width),
            _ => Ok(()),
        }
    }

    /// The outline at the rim.
    pub fn outline(&self) -> Outline {
        self.outline.clone()
    }

    /// The dome's profile.
    pub fn dome(&self) -> Dome {
        self.dome
    }

    /// From the edge to the apex.
    pub fn dome_height(&self) -> Length {
        self.dome_height
    }

    /// The straight wall: the edge of the stone.
    pub fn wall_height(&self) -> Length {
        self.wall_height
    }

    /// How far the wall leans outward.
    pub fn draft(&self) -> Draft {
        self.draft
    }

    /// From the apex to the rim: the height of the whole stone.
    pub fn depth(&self) -> Length {
        self.dome_height + self.wall_height
    }

    /// The scale of the section at the dome's edge: 1 where the wall is upright.
    fn foot(&self) -> f64 {
        let (_, semi_minor_mm) = self.outline.semi_axes_mm();
        1.0 - self.wall_height.mm() * self.draft.per_mm() / semi_minor_mm
    }

    pub(crate) fn profile(&self) -> Profile {
        let (_, semi_minor_mm) = self.outline.semi_axes_mm();
        Profile {
            dome: self.dome,
            height_mm: self.dome_height.mm(),
            semi_minor_mm: self.foot() * semi_minor_mm,
        }
    }

    fn clamp_mm(&self, depth: Length) -> f64 {
        depth.clamp(Length::ZERO, self.depth()).mm()
    }

    /// The scale of the section at a depth, 0–1.
    fn scale(&self, depth_mm: f64) -> f64 {
        let above_mm = depth_mm - self.dome_height.mm();
        if above_mm <= 0.0 {
            return self.foot() * self.profile().scale(depth_mm);
        }
        self.foot() + (1.0 - self.foot()) * (above_mm / self.wall_height.mm()).min(1.0)
    }

    /// The outline of the section at a depth below the apex.
    pub fn section(&self, depth: Length) -> Outline {
        self.outline.scaled(self.scale(self.clamp_mm(depth)))
    }

    /// The surface of a filling that stands at a depth: the area of the section there.
    pub fn surface(&self, depth: Length) -> Area {
        let scale = self.scale(self.clamp_mm(depth));
        Area::from_mm2(self.outline.area().mm2() * scale * scale)
    }

    /// What it takes to fill the mould from the apex up to a depth.
    pub fn volume_to(&self, depth: Length) -> Volume {
        Volume::from_mm3(self.volume_to_mm3(self.clamp_mm(depth)))
    }

    pub(crate) fn volume_to_mm3(&self, depth_mm: f64) -> f64 {
        self.outline.area().mm2() * self.filled_mm(depth_mm)
    }

    /// The volume below a depth over the area of the outline: ∫ scale² dz. A leaning wall is a frustum, for which
    /// that is z(k² + k·s + s²)/3 between the scales k at its foot and s.
    fn filled_mm(&self, depth_mm: f64) -> f64 {
        let (foot, wall_mm) = (self.foot(), (depth_mm - self.dome_height.mm()).max(0.0));
        let top = if wall_mm > 0.0 { self.scale(depth_mm) } else { foot };
        foot * foot * self.profile().filled_mm(depth_mm)
            + wall_mm * (foot * foot + foot * top + top * top) / 3.0
    }

    /// What the mould holds to the rim.
    pub fn volume(&self) -> Volume {
        self.volume_to(self.depth())
    }

    /// The depth to which a volume fills the mould, to `tolerance`: the inverse of [`Cavity::volume_to`].
    ///
    /// # Errors
    /// A volume below nothing, above what the mould holds (by more than one part in 10¹²), or not a number.
    pub fn depth_for(&self, volume: Volume, tolerance: Length) -> Result<Length, GeometryError> {
        self.depth_for_mm(volume.mm3(), tolerance.mm()).map(Length::from_mm)
    }

    /// Bisection where the volume rises without a break; over an upright wall it is linear.
    pub(crate) fn depth_for_mm(&self, volume_mm3: f64, tolerance_mm: f64) -> Result<f64, GeometryError> {
        let area_mm2 = self.outline.area().mm2();
        let (dome_mm, full_mm) = (self.dome_height.mm(), self.depth().mm());
        let most_mm3 = area_mm2 * self.filled_mm(full_mm);
        if !(0.0..=most_mm3 * (1.0 + 1e-12)).contains(&volume_mm3) {
            return Err(GeometryError::VolumeOutOfRange { asked_mm3: volume_mm3, most_mm3 });
        }
        let (wanted_mm, to_edge_mm) = (volume_mm3 / area_mm2, self.filled_mm(dome_mm));
        if wanted_mm >= to_edge_mm && self.draft == Draft::UPRIGHT {
            return Ok((dome_mm + wanted_mm - to_edge_mm).min(full_mm));
        }
        if volume_mm3 >= most_mm3 {
            return Ok(full_mm);
        }
        let (mut low_mm, mut high_mm) =
            if wanted_mm < to_edge_mm { (0.0, dome_mm) } else { (dome_mm, full_mm) };
        loop {
            let middle_mm = 0.5 * (low_mm + high_mm);
            // The second test ends the search when the numbers themselves are exhausted.
            if high_mm - low_mm <= tolerance_mm || middle_mm <= low_mm || middle_mm >= high_mm {
                return Ok(middle_mm);
            }
            if self.filled_mm(middle_mm) < wanted_mm {
                low_mm = middle_mm;
            } else {
                high_mm = middle_mm;
            }
        }
    }

    /// The mass of what fills the mould to the rim.
    pub fn mass(&self, density: Density) -> Mass {
        density.mass_of(self.volume())
    }

    /// The area of the domed face, without wall and back, to `tolerance`: what a top coat has to cover.
    pub fn curved_area(&self, tolerance: Area) -> Area {
        let (profile, foot, tolerance_mm2) = (self.profile(), self.foot(), tolerance.mm2());
        let edge = self.outline.scaled(foot);
        Area::from_mm2(match edge.ellipse_mm() {
            Some(_) => {
                let (a_mm, b_mm) = self.outline.semi_axes_mm();
                profile.curved_area_mm2(foot * a_mm, foot * b_mm, tolerance_mm2)
            }
            None => rim::settled(&edge.rim(), tolerance_mm2, |steps| {
                profile.curved_area_over_mm2(steps, tolerance_mm2)
            }),
        })
    }

    /// The area of the wall, to `tolerance`: perimeter times height, or where it leans the sum of the bands
    /// (1 + k)/2·∮√(h²dl² + (1 − k)²dw²) with k the scale at its foot.
    pub fn wall_area(&self, tolerance: Area) -> Area {
        let wall_mm = self.wall_height.mm();
        if self.draft == Draft::UPRIGHT {
            let tolerance_mm = tolerance.mm2() / wall_mm.max(1e-6);
            return Area::from_mm2(self.outline.perimeter_mm(tolerance_mm) * wall_mm);
        }
        let (mean, lost) = (0.5 * (1.0 + self.foot()), 1.0 - self.foot());
        let bands = |step: &Step| (wall_mm * step.along_mm).hypot(lost * step.swept_mm2);
        Area::from_mm2(rim::settled(&self.outline.rim(), tolerance.mm2(), |steps| {
            mean * steps.iter().map(bands).sum::<f64>()
        }))
    }

    /// The line over the dome from edge to edge along the length, through the apex, to `tolerance`: a strand laid
    /// lengthwise needs this and an allowance.
    pub fn arc_along_length(&self, tolerance: Length) -> Length {
        let [along, _] = self.outline.reaches_mm();
        self.arc_mm(along, tolerance)
    }

    /// The line over the dome from edge to edge across the width, through the apex, to `tolerance`.
    pub fn arc_across_width(&self, tolerance: Length) -> Length {
        let [_, across] = self.outline.reaches_mm();
        self.arc_mm(across, tolerance)
    }

    fn arc_mm(&self, (ahead_mm, behind_mm): (f64, f64), tolerance: Length) -> Length {
        let (profile, foot) = (self.profile(), self.foot());
        let half = |reach_mm: f64| 0.5 * profile.arc_mm(foot * reach_mm, tolerance.mm());
        Length::from_mm(half(ahead_mm) + half(behind_mm))
    }

    /// How high the centroid of the stone lies above its back.
    pub fn centroid_above_back(&self) -> Length {
        let (wall_mm, dome, k) = (self.wall_height.mm(), self.profile(), self.foot());
        let dome_mm = k * k * dome.filled_mm(self.dome_height.mm());
        // The frustum's own: ∫ scale² and ∫ y·scale² over the wall, from the back.
        let frustum_mm = wall_mm * (1.0 + k + k * k) / 3.0;
        let frustum_moment = wall_mm * wall_mm * (1.0 + 2.0 * k + 3.0 * k * k) / 12.0;
        let moment = dome_mm * (wall_mm + dome.centroid_mm()) + frustum_moment;
        Length::from_mm(moment / (dome_mm + frustum_mm))
    }
}

#[cfg(test)]
mod tests {
    use super::super::FINEST;
    use super::*;
    use proptest::prelude::*;

    fn oval(dome: Dome, dome_mm: f64, wall_mm: f64) -> Result<Cavity, GeometryError> {
        let outline = Outline::Oval { length: Length::from_mm(18.0), width: Length::from_mm(13.0) };
        Cavity::new(outline, dome, Length::from_mm(dome_mm), Length::from_mm(wall_mm))
    }

    #[test]
    fn an_impossible_cavity_is_refused_in_a_sentence() {
        let sentence = |dome, dome_mm, wall_mm| oval(dome, dome_mm, wall_mm).unwrap_err().to_string();
        assert_eq!(
            sentence(Dome::CircularArc, 7.0, 1.0),
            "a circular arc over 13 mm can rise 6.5 mm at most, not 7 mm; choose the half-ellipse for a taller dome"
        );
        assert_eq!(
            sentence(Dome::Flat, 1.0, 2.0),
            "a flat stone has no dome, yet its dome height is 1 mm; set it to 0 mm or choose a dome"
        );
        assert_eq!(
            sentence(Dome::Flat, 0.0, 0.0),
            "a flat stone needs a wall height above 0 mm, or there is nothing to fill"
        );
        assert_eq!(
            sentence(Dome::Parabola, 0.0, 1.0),
            "a dome height of 0 mm cannot be right; it must lie between 0.1 mm and 100 mm"
        );
        assert_eq!(
            sentence(Dome::Parabola, 4.0, -1.0),
            "a wall height of -1 mm cannot be right; it must lie between 0 mm and 100 mm"
        );
        assert!(oval(Dome::CircularArc, 6.5, 0.0).is_ok());
        assert!(oval(Dome::HalfEllipse, 7.0, 0.0).is_ok());
    }

    #[test]
    fn a_file_cannot_smuggle_in_an_impossible_cavity() {
        let cavity = oval(Dome::HalfEllipse, 4.0, 1.5).unwrap();
        let text = ron::to_string(&cavity).unwrap();
        assert_eq!(ron::from_str::<Cavity>(&text).unwrap(), cavity);
        let broken = text.replace("\"4 mm\"", "\"-4 mm\"");
        let said = ron::from_str::<Cavity>(&broken).unwrap_err().to_string();
        assert!(said.contains("a dome height of -4 mm cannot be right"), "{said}");
        assert!(ron::from_str::<Cavity>(&text.replace("dome_height", "height")).is_err());
    }

    #[test]
    fn a_flat_cavity_is_a_plain_prism() {
        let flat = oval(Dome::Flat, 0.0, 2.0).unwrap();
        let area = flat.outline().area().mm2();
        assert!((flat.volume().mm3() - 2.0 * area).abs() < 1e-9);
        assert_eq!(flat.centroid_above_back(), Length::from_mm(1.0));
        assert_eq!(flat.arc_along_length(FINEST), Length::from_mm(18.0));
        assert!((flat.curved_area(Area::from_mm2(1e-9)).mm2() - area).abs() < 1e-9);
        assert_eq!(flat.section(Length::ZERO), flat.outline());
        assert_eq!(flat.depth_for(Volume::from_mm3(area), FINEST), Ok(Length::from_mm(1.0)));
    }

    #[test]
    fn the_centroid_agrees_with_adding_up_the_filling() {
        for dome in [Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola] {
            let cavity = oval(dome, 4.0, 1.5).unwrap();
            let steps = 20_000_u32;
            let step = 5.5 / f64::from(steps);
            let (mut moment, mut total) = (0.0, 0.0);
            for i in 0..steps {
                let z = (f64::from(i) + 0.5) * step;
                let slice = cavity.volume_to_mm3(z + 0.5 * step) - cavity.volume_to_mm3(z - 0.5 * step);
                moment += slice * (5.5 - z);
                total += slice;
            }
            assert!((cavity.centroid_above_back().mm() - moment / total).abs() < 2e-6, "{dome:?}");
        }
    }

    #[test]
    fn a_volume_that_does_not_fit_is_refused() {
        let cavity = oval(Dome::HalfEllipse, 4.0, 1.5).unwrap();
        for volume in [-1e-9, 766.0, f64::NAN, f64::INFINITY] {
            assert!(cavity.depth_for(Volume::from_mm3(volume), FINEST).is_err(), "{volume}");
        }
        assert_eq!(cavity.depth_for(cavity.volume(), FINEST), Ok(cavity.depth()));
        assert!(cavity.depth_for(Volume::from_mm3(0.0), FINEST).unwrap() <= FINEST);
    }

    /// One outline of a kind, of any size that it takes.
    fn any_outline(kind: usize, length: Length, width: Length) -> Outline {
        match kind {
            0 => Outline::Oval { length, width },
            1 => Outline::Cushion { length, width, fullness: super::super::Fullness::USUAL },
            2 => Outline::RoundedRectangle { length, width, corner: Length::from_micro(width.micro() / 4) },
            3 => Outline::Marquise { length, width },
            4 => Outline::Pear { length, width, sides: super::super::Sides::Straight },
            5 => Outline::Pear { length, width, sides: super::super::Sides::Curved },
            _ => Outline::Octagon { flats: width, longer: length - width },
        }
    }

    prop_compose! {
        fn any_cavity()(
            length in 1.0..100.0_f64,
            ratio in 0.5..1.0_f64,
            rise in 0.05..1.0_f64,
            wall in 0.0..20.0_f64,
            kind in 0..4_usize,
            shape in 0..7_usize,
            lean in 0.0..4.0_f64,
        ) -> Cavity {
            let dome = [Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola, Dome::Flat][kind];
            let width = length * ratio;
            let (dome_mm, wall_mm) =
                if dome == Dome::Flat { (0.0, wall + 0.1) } else { ((rise * width / 2.0 - 1e-6).max(0.1), wall) };
            let outline = any_outline(shape, Length::from_mm(length), Length::from_mm(width));
            let upright =
                Cavity::new(outline, dome, Length::from_mm(dome_mm), Length::from_mm(wall_mm)).unwrap();
            // Some walls are too high, or some arcs too tall, to lean so far.
            upright.clone().leaning(Draft::from_degrees(lean.floor()).unwrap()).unwrap_or(upright)
        }
    }

    proptest! {
        #[test]
        fn the_filling_grows_with_every_rise(cavity in any_cavity(), low in 0.0..1.0_f64, rise in 0.001..1.0_f64) {
            let depth = cavity.depth().mm();
            let high = (low + rise).min(1.0);
            prop_assume!(high > low);
            prop_assert!(cavity.volume_to_mm3(high * depth) > cavity.volume_to_mm3(low * depth));
        }

        #[test]
        fn depth_and_volume_are_each_others_inverse(cavity in any_cavity(), at in 0.0..=1.0_f64) {
            let depth_mm = at * cavity.depth().mm();
            let back_mm = cavity.depth_for_mm(cavity.volume_to_mm3(depth_mm), 1e-10).unwrap();
            prop_assert!((back_mm - depth_mm).abs() < 1e-9, "{} became {}", depth_mm, back_mm);
        }

        #[test]
        fn the_surface_is_the_slope_of_the_filling(cavity in any_cavity(), at in 0.05..0.95_f64) {
            let dome_mm = cavity.dome_height().mm();
            prop_assume!(dome_mm > 0.0);
            let (z, e) = (at * dome_mm, 1e-5 * dome_mm);
            let slope = (cavity.volume_to_mm3(z + e) - cavity.volume_to_mm3(z - e)) / (2.0 * e);
            let surface = cavity.surface(Length::from_mm(z)).mm2();
            prop_assert!((slope / surface - 1.0).abs() < 1e-4);
        }

        #[test]
        fn no_dome_beats_the_half_ellipse_and_every_one_beats_the_cone(cavity in any_cavity()) {
            prop_assume!(cavity.dome() != Dome::Flat);
            let box_mm3 = cavity.surface(cavity.dome_height()).mm2() * cavity.dome_height().mm();
            let dome_mm3 = cavity.volume_to(cavity.dome_height()).mm3();
            prop_assert!(dome_mm3 <= box_mm3 * 2.0 / 3.0 * (1.0 + 1e-9));
            prop_assert!(dome_mm3 >= box_mm3 / 3.0 * (1.0 - 1e-9));
        }
    }
}
