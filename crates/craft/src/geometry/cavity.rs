//! A mould cavity, and equally the stone that comes out of it.

use serde::{Deserialize, Serialize};

use super::dome::{Dome, Profile};
use super::outline::Outline;
use super::{GeometryError, LEAST_DOME, MOST_SIDE, Side, check_side};
use crate::density::Density;
use crate::units::{Area, Length, Mass, Volume};

/// A mould with an upright wall, filled with the dome down; or the stone of that shape.
///
/// Depths run from the apex (0) up to the rim (dome height + wall height). A depth outside that range is taken
/// as the nearer end. Every value of this type has passed the checks of [`Cavity::new`], also when read from a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Fields", into = "Fields")]
pub struct Cavity {
    outline: Outline,
    dome: Dome,
    dome_height: Length,
    wall_height: Length,
}

/// A cavity as it is written in a file, before the checks.
#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(rename = "Cavity", deny_unknown_fields)]
struct Fields {
    outline: Outline,
    dome: Dome,
    dome_height: Length,
    wall_height: Length,
}

impl TryFrom<Fields> for Cavity {
    type Error = GeometryError;

    fn try_from(fields: Fields) -> Result<Self, GeometryError> {
        Cavity::new(fields.outline, fields.dome, fields.dome_height, fields.wall_height)
    }
}

impl From<Cavity> for Fields {
    fn from(cavity: Cavity) -> Self {
        let Cavity { outline, dome, dome_height, wall_height } = cavity;
        Fields { outline, dome, dome_height, wall_height }
    }
}

impl Cavity {
    /// A checked cavity. The dome height is 0.1–100 mm (0 for a flat one), the wall height 0–100 mm.
    ///
    /// # Errors
    /// An outline out of range, a height out of range, a circular arc higher than half the width, a flat stone
    /// with a dome height, or no depth at all.
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
        let width = outline.width();
        if dome == Dome::CircularArc && dome_height + dome_height > width {
            let most = Length::from_micro(width.micro() / 2);
            return Err(GeometryError::ArcTooTall { width, height: dome_height, most });
        }
        Ok(Self { outline, dome, dome_height, wall_height })
    }

    /// The outline at the rim.
    pub fn outline(&self) -> Outline {
        self.outline
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

    /// From the apex to the rim: the height of the whole stone.
    pub fn depth(&self) -> Length {
        self.dome_height + self.wall_height
    }

    pub(crate) fn profile(&self) -> Profile {
        let (_, semi_minor_mm) = self.outline.semi_axes_mm();
        Profile { dome: self.dome, height_mm: self.dome_height.mm(), semi_minor_mm }
    }

    fn clamp_mm(&self, depth: Length) -> f64 {
        depth.clamp(Length::ZERO, self.depth()).mm()
    }

    /// The outline of the section at a depth below the apex.
    pub fn section(&self, depth: Length) -> Outline {
        self.outline.scaled(self.profile().scale(self.clamp_mm(depth)))
    }

    /// The surface of a filling that stands at a depth: the area of the section there.
    pub fn surface(&self, depth: Length) -> Area {
        let scale = self.profile().scale(self.clamp_mm(depth));
        Area::from_mm2(self.outline.area().mm2() * scale * scale)
    }

    /// What it takes to fill the mould from the apex up to a depth.
    pub fn volume_to(&self, depth: Length) -> Volume {
        Volume::from_mm3(self.volume_to_mm3(self.clamp_mm(depth)))
    }

    pub(crate) fn volume_to_mm3(&self, depth_mm: f64) -> f64 {
        let wall_mm = (depth_mm - self.dome_height.mm()).max(0.0);
        self.outline.area().mm2() * (self.profile().filled_mm(depth_mm) + wall_mm)
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

    /// Bisection between the apex and the edge, where the volume rises without a break; above it is linear.
    pub(crate) fn depth_for_mm(&self, volume_mm3: f64, tolerance_mm: f64) -> Result<f64, GeometryError> {
        let most_mm3 = self.volume().mm3();
        if !(0.0..=most_mm3 * (1.0 + 1e-12)).contains(&volume_mm3) {
            return Err(GeometryError::VolumeOutOfRange { asked_mm3: volume_mm3, most_mm3 });
        }
        let dome_mm = self.dome_height.mm();
        let dome_mm3 = self.volume_to_mm3(dome_mm);
        if volume_mm3 >= dome_mm3 {
            let above_mm = (volume_mm3 - dome_mm3) / self.outline.area().mm2();
            return Ok((dome_mm + above_mm).min(self.depth().mm()));
        }
        let (mut low_mm, mut high_mm) = (0.0, dome_mm);
        loop {
            let middle_mm = 0.5 * (low_mm + high_mm);
            // The second test ends the search when the numbers themselves are exhausted.
            if high_mm - low_mm <= tolerance_mm || middle_mm <= low_mm || middle_mm >= high_mm {
                return Ok(middle_mm);
            }
            if self.volume_to_mm3(middle_mm) < volume_mm3 {
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

    /// The area of the domed face, without wall and back, to `tolerance`.
    pub fn curved_area(&self, tolerance: Area) -> Area {
        let (a_mm, b_mm) = self.outline.semi_axes_mm();
        Area::from_mm2(self.profile().curved_area_mm2(a_mm, b_mm, tolerance.mm2()))
    }

    /// The area of the straight wall, to `tolerance`.
    pub fn wall_area(&self, tolerance: Area) -> Area {
        let wall_mm = self.wall_height.mm();
        let tolerance_mm = tolerance.mm2() / wall_mm.max(1e-6);
        Area::from_mm2(self.outline.perimeter_mm(tolerance_mm) * wall_mm)
    }

    /// The line over the dome from edge to edge along the length, to `tolerance`: a strand laid lengthwise needs
    /// this and an allowance.
    pub fn arc_along_length(&self, tolerance: Length) -> Length {
        let (a_mm, _) = self.outline.semi_axes_mm();
        Length::from_mm(self.profile().arc_mm(a_mm, tolerance.mm()))
    }

    /// The line over the dome from edge to edge across the width, to `tolerance`.
    pub fn arc_across_width(&self, tolerance: Length) -> Length {
        let (_, b_mm) = self.outline.semi_axes_mm();
        Length::from_mm(self.profile().arc_mm(b_mm, tolerance.mm()))
    }

    /// How high the centroid of the stone lies above its back.
    pub fn centroid_above_back(&self) -> Length {
        let (wall_mm, dome) = (self.wall_height.mm(), self.profile());
        let dome_mm = dome.filled_mm(self.dome_height.mm());
        let moment = dome_mm * (wall_mm + dome.centroid_mm()) + 0.5 * wall_mm * wall_mm;
        Length::from_mm(moment / (dome_mm + wall_mm))
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

    prop_compose! {
        fn any_cavity()(
            length in 1.0..100.0_f64,
            ratio in 0.5..1.0_f64,
            rise in 0.05..1.0_f64,
            wall in 0.0..20.0_f64,
            kind in 0..4_usize,
        ) -> Cavity {
            let dome = [Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola, Dome::Flat][kind];
            let width = length * ratio;
            let (dome_mm, wall_mm) =
                if dome == Dome::Flat { (0.0, wall + 0.1) } else { ((rise * width / 2.0 - 1e-6).max(0.1), wall) };
            let outline = Outline::Oval { length: Length::from_mm(length), width: Length::from_mm(width) };
            Cavity::new(outline, dome, Length::from_mm(dome_mm), Length::from_mm(wall_mm)).unwrap()
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
            let box_mm3 = cavity.outline().area().mm2() * cavity.dome_height().mm();
            let dome_mm3 = cavity.volume_to(cavity.dome_height()).mm3();
            prop_assert!(dome_mm3 <= box_mm3 * 2.0 / 3.0 * (1.0 + 1e-12));
            prop_assert!(dome_mm3 >= box_mm3 / 3.0);
        }
    }
}
