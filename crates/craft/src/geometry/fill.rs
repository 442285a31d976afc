//! "Fill to here": where each pour ends in a mould.

use super::{Cavity, GeometryError};
use crate::units::{Area, Length, Volume};

/// The end of one pour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FillMark {
    /// How thick this layer is at its thickest, over the apex of what lies below.
    pub thickness: Length,
    /// Where its surface stands, above the apex of the mould.
    pub depth: Length,
    /// How far its surface stays below the rim.
    pub below_rim: Length,
    /// What this layer takes.
    pub volume: Volume,
    /// All that is in the mould by then.
    pub filled: Volume,
    /// The open surface: what lies under the lamp.
    pub surface: Area,
}

impl Cavity {
    fn mark(&self, from: Length, to: Length) -> FillMark {
        let filled = self.volume_to(to);
        FillMark {
            thickness: to - from,
            depth: to,
            below_rim: self.depth() - to,
            volume: Volume::from_mm3(filled.mm3() - self.volume_to(from).mm3()),
            filled,
            surface: self.surface(to),
        }
    }

    /// The marks for layers of given thicknesses, poured one after the other from the apex up.
    ///
    /// # Errors
    /// The first layer that is not thicker than nothing, or that would stand above the rim.
    pub fn fill_by_thickness(&self, layers: &[Length]) -> Result<Vec<FillMark>, GeometryError> {
        let mut below = Length::ZERO;
        let mut marks = Vec::with_capacity(layers.len());
        for (i, &thickness) in layers.iter().enumerate() {
            let layer = i + 1;
            if !thickness.is_positive() {
                return Err(GeometryError::EmptyLayer { layer, asked: thickness.to_string() });
            }
            let depth = below + thickness;
            if depth > self.depth() {
                let (asked, most) = (depth.to_string(), self.depth().to_string());
                return Err(GeometryError::OverTheRim { layer, asked, most });
            }
            marks.push(self.mark(below, depth));
            below = depth;
        }
        Ok(marks)
    }

    /// The marks for poured volumes, each depth to `tolerance`. Depths are worked out from the running total, so
    /// their doubts do not add up.
    ///
    /// # Errors
    /// The first layer that is not more than nothing, or that the mould cannot hold.
    pub fn fill_by_volume(
        &self,
        layers: &[Volume],
        tolerance: Length,
    ) -> Result<Vec<FillMark>, GeometryError> {
        let most_mm3 = self.volume().mm3();
        let (mut below, mut total_mm3) = (Length::ZERO, 0.0);
        let mut marks = Vec::with_capacity(layers.len());
        for (i, &volume) in layers.iter().enumerate() {
            let layer = i + 1;
            if volume.mm3().is_nan() || volume.mm3() <= 0.0 {
                return Err(GeometryError::EmptyLayer { layer, asked: format!("{:.2} mm³", volume.mm3()) });
            }
            total_mm3 += volume.mm3();
            let filled = Volume::from_mm3(total_mm3);
            let Ok(depth) = self.depth_for(filled, tolerance) else {
                let (asked, most) = (format!("{total_mm3:.2} mm³"), format!("{most_mm3:.2} mm³"));
                return Err(GeometryError::OverTheRim { layer, asked, most });
            };
            // What was poured is what the layer takes, whatever the depth was rounded to.
            marks.push(FillMark { volume, filled, ..self.mark(below, depth) });
            below = depth;
        }
        Ok(marks)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Dome, FINEST, Outline};
    use super::*;
    use proptest::prelude::*;

    fn mould() -> Cavity {
        let outline = Outline::Oval { length: Length::from_mm(18.0), width: Length::from_mm(13.0) };
        Cavity::new(outline, Dome::HalfEllipse, Length::from_mm(4.0), Length::from_mm(1.5)).unwrap()
    }

    #[test]
    fn no_layers_leave_no_marks() {
        assert_eq!(mould().fill_by_thickness(&[]), Ok(vec![]));
        assert_eq!(mould().fill_by_volume(&[], FINEST), Ok(vec![]));
    }

    #[test]
    fn a_layer_above_the_rim_is_named() {
        let layers = [2.0, 3.0, 1.0].map(Length::from_mm);
        assert_eq!(
            mould().fill_by_thickness(&layers).unwrap_err().to_string(),
            "with layer 3 the mould would hold 6 mm, but it takes 5.5 mm at most; pour less or leave the layer out"
        );
        let pours = [400.0, 400.0].map(Volume::from_mm3);
        assert_eq!(
            mould().fill_by_volume(&pours, FINEST).unwrap_err().to_string(),
            "with layer 2 the mould would hold 800.00 mm³, but it takes 765.76 mm³ at most; pour less or leave the layer out"
        );
        assert_eq!(
            mould().fill_by_thickness(&[Length::ZERO]).unwrap_err().to_string(),
            "layer 1 is 0 mm; a layer must be more than nothing"
        );
        assert!(mould().fill_by_volume(&[Volume::from_mm3(f64::NAN)], FINEST).is_err());
    }

    #[test]
    fn a_full_mould_reaches_the_rim_exactly() {
        let layers = [1.0, 1.0, 2.0, 1.5].map(Length::from_mm);
        let marks = mould().fill_by_thickness(&layers).unwrap();
        let last = marks.last().unwrap();
        assert_eq!(last.below_rim, Length::ZERO);
        assert!((last.filled.mm3() - mould().volume().mm3()).abs() < 1e-9);
        assert!((last.surface.mm2() - mould().outline().area().mm2()).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn pouring_the_volumes_of_the_layers_gives_the_same_marks(parts in prop::collection::vec(1..100_i64, 1..6)) {
            let sum: i64 = parts.iter().sum();
            let layers: Vec<Length> =
                parts.iter().map(|part| Length::from_micro(part * 5_500_000 / sum)).collect();
            let by_thickness = mould().fill_by_thickness(&layers).unwrap();
            let volumes: Vec<Volume> = by_thickness.iter().map(|mark| mark.volume).collect();
            let by_volume = mould().fill_by_volume(&volumes, FINEST).unwrap();
            let total: f64 = volumes.iter().map(|v| v.mm3()).sum();
            prop_assert!((total - by_thickness.last().unwrap().filled.mm3()).abs() < 1e-9);
            for (one, other) in by_thickness.iter().zip(&by_volume) {
                prop_assert!((one.depth - other.depth).abs() <= Length::from_micro(2));
                prop_assert!((one.below_rim - other.below_rim).abs() <= Length::from_micro(2));
            }
        }
    }
}
