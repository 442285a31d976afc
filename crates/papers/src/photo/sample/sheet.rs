//! The drawing board of the made-up photos: a picture in linear light, strands and grains, and smooth noise.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place off the sheet is cut to its edge, and hashes may wrap"
)]

use crate::photo::PhotoError;
use crate::photo::colour::{linear_to_srgb, srgb_to_linear};
use crate::photo::paper::encode;
use crate::photo::picture::{Colours, Picture};

pub(super) type Light = [f32; 3];
pub(super) type Point = (f32, f32);

/// A picture in linear light while it is drawn.
pub(super) struct Sheet {
    width: usize,
    height: usize,
    pixels: Vec<Light>,
}

impl Sheet {
    /// A woven cloth in soft light from the upper left.
    pub(super) fn cloth(seed: u64, colour: [u8; 3], width_px: u32, height_px: u32) -> Sheet {
        let (width, height) = (width_px.clamp(64, 4096) as usize, height_px.clamp(64, 4096) as usize);
        let mut sheet = Sheet { width, height, pixels: vec![linear(colour); width * height] };
        let (centre, short) = (sheet.at(0.0, 0.0), sheet.short());
        let thread = (short / 150.0).max(2.5);
        // How high a thread stands at each pixel across and down, and how thick that thread is spun.
        let profile = |n: usize, salt: u64| -> Vec<(f32, i32)> {
            let height = |at: usize| {
                let along = at as f32 / thread;
                let spun = 0.75 + 0.5 * noise(seed ^ salt, along.floor() + 0.5, 0.5);
                ((along.fract() * std::f32::consts::PI).sin() * spun, along as i32)
            };
            (0..n).map(height).collect()
        };
        let (columns, rows) = (profile(width, 11), profile(height, 12));
        sheet.paint(|_, (x, y), under| {
            // A pixel's middle lies half a pixel in, so whole numbers are its column and row.
            let ((warp, column), (weft, row)) = (columns[x as usize], rows[y as usize]);
            let weave = if (column + row) % 2 == 0 { warp } else { weft };
            let (dx, dy) = ((x - centre.0) / short, (y - centre.1) / short);
            let folds = noise(seed ^ 0x13, dx * 2.2 + dy, dy * 1.4) - 0.5;
            let light = 0.80 - 0.34 * (dx * 0.6 + dy * 0.8) - 0.28 * (dx * dx + dy * dy) + 0.30 * folds;
            scale(under, light * (0.62 + 0.42 * weave))
        });
        sheet
    }

    pub(super) fn short_px(&self) -> usize {
        self.width.min(self.height)
    }

    pub(super) fn short(&self) -> f32 {
        self.short_px() as f32
    }

    /// A place given from the middle, in shares of the shorter side.
    pub(super) fn at(&self, x: f32, y: f32) -> Point {
        let short = self.short();
        (self.width as f32 / 2.0 + x * short, self.height as f32 / 2.0 + y * short)
    }

    pub(super) fn paint(&mut self, mut colour: impl FnMut(usize, Point, Light) -> Light) {
        for (row, line) in self.pixels.chunks_exact_mut(self.width).enumerate() {
            for (column, pixel) in line.iter_mut().enumerate() {
                let index = row * self.width + column;
                *pixel = colour(index, (column as f32 + 0.5, row as f32 + 0.5), *pixel);
            }
        }
    }

    pub(super) fn shade(&mut self, mut share: impl FnMut(f32, f32) -> f32) {
        self.paint(|_, (x, y), under| scale(under, share(x, y)));
    }

    /// Lays a layer of strands or grains down, with a shadow as far away as they stand off the paper.
    pub(super) fn lay(&mut self, layer: &Layer, light: Light, lift: f32) {
        let lift_px = (lift * self.short()) as usize;
        self.paint(|index, _, under| {
            let (cover, tone) = layer.at(index);
            let shadow = 0.5 * layer.cover_at(index, lift_px) + 0.3 * layer.cover_at(index, lift_px / 2);
            blend(scale(under, 1.0 - 0.7 * shadow), scale(light, tone), cover)
        });
    }

    pub(super) fn jpeg(&self) -> Result<Vec<u8>, PhotoError> {
        let mut rgb = Vec::with_capacity(self.pixels.len() * 3);
        for pixel in &self.pixels {
            // Rounding keeps what is too bright at full light and what is negative at none.
            rgb.extend_from_slice(&linear_to_srgb(pixel.map(|value| (value * 65535.0 + 0.5) as u16), None));
        }
        let (width, height) = (self.width as u32, self.height as u32);
        encode(&Picture { width, height, rgb, colours: Colours::AssumedSrgb }, 90)
    }
}

/// Strands or grains: how much of each pixel they cover and how brightly they are lit.
pub(super) struct Layer {
    width: usize,
    pixels: Vec<(f32, f32)>,
}

impl Layer {
    pub(super) fn of(sheet: &Sheet) -> Layer {
        Layer { width: sheet.width, pixels: vec![(0.0, 0.0); sheet.pixels.len()] }
    }

    pub(super) fn at(&self, index: usize) -> (f32, f32) {
        self.pixels.get(index).copied().unwrap_or_default()
    }

    /// Cover at a place that far up and to the left.
    pub(super) fn cover_at(&self, index: usize, lift_px: usize) -> f32 {
        index.checked_sub(lift_px * self.width + lift_px / 2).map_or(0.0, |index| self.at(index).0)
    }

    /// Draws a cubic Bézier curve, brighter where it runs across the light.
    pub(super) fn strand(&mut self, [a, b, c, d]: [Point; 4], radius_px: f32, tone: f32) {
        let span = (d.0 - a.0).hypot(d.1 - a.1).max(8.0);
        let n_steps = (span * 1.3 / radius_px.clamp(0.7, 2.0)) as usize;
        for step in 0..=n_steps {
            let t = step as f32 / n_steps as f32;
            let s = 1.0 - t;
            let weights = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
            let mix = |a: f32, b: f32, c: f32, d: f32| {
                a * weights[0] + b * weights[1] + c * weights[2] + d * weights[3]
            };
            let slope = s * s * (b.1 - a.1) + 2.0 * s * t * (c.1 - b.1) + t * t * (d.1 - c.1);
            let sheen = 1.0 + 0.55 * (1.0 - (slope * 7.0 / span + 0.4).abs()).max(0.0);
            self.dot((mix(a.0, b.0, c.0, d.0), mix(a.1, b.1, c.1, d.1)), radius_px, tone * sheen);
        }
    }

    pub(super) fn dot(&mut self, (x, y): Point, radius_px: f32, tone: f32) {
        let reach = radius_px + 0.5;
        let (left, right) = ((x - reach).max(0.0) as usize, (x + reach).max(0.0) as usize);
        for row in (y - reach).max(0.0) as usize..=(y + reach).max(0.0) as usize {
            for column in left..=right.min(self.width - 1) {
                let Some(pixel) = self.pixels.get_mut(row * self.width + column) else { continue };
                let (dx, dy) = (column as f32 + 0.5 - x, row as f32 + 0.5 - y);
                let cover = (reach - (dx * dx + dy * dy).sqrt()).clamp(0.0, 1.0);
                pixel.1 += (tone - pixel.1) * cover;
                pixel.0 = pixel.0.max(cover);
            }
        }
    }
}

/// A small number generator (`SplitMix64`: Steele, Lea and Flood, 2014), so that pictures depend on the seed alone.
pub(super) struct Dice(pub(super) u64);

impl Dice {
    pub(super) fn share(&mut self) -> f32 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 40) as f32 / 16_777_216.0
    }

    pub(super) fn within(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * self.share()
    }
}

/// Smooth noise of 0 to 1 on a grid of unit squares.
pub(super) fn noise(seed: u64, x: f32, y: f32) -> f32 {
    let cell = |at: f32| at as i32 - i32::from(at < 0.0);
    let (cell_x, cell_y) = (cell(x), cell(y));
    let ease = |share: f32| share * share * (3.0 - 2.0 * share);
    let (u, v) = (ease(x - cell_x as f32), ease(y - cell_y as f32));
    let corner = |dx: i32, dy: i32| {
        let (column, row) = (cell_x + dx, cell_y + dy);
        let mut mixed = (seed as u32)
            ^ (column as u32).wrapping_mul(0x9E37_79B1)
            ^ (row as u32).wrapping_mul(0x85EB_CA77);
        mixed = (mixed ^ (mixed >> 15)).wrapping_mul(0x2C1B_3C6D);
        mixed = (mixed ^ (mixed >> 12)).wrapping_mul(0x297A_2D39);
        ((mixed ^ (mixed >> 15)) >> 8) as f32 / 16_777_216.0
    };
    let top = corner(0, 0) + (corner(1, 0) - corner(0, 0)) * u;
    let bottom = corner(0, 1) + (corner(1, 1) - corner(0, 1)) * u;
    top + (bottom - top) * v
}

/// 0 below `from`, 1 above `to`, smooth between.
pub(super) fn rise(from: f32, to: f32, value: f32) -> f32 {
    let share = ((value - from) / (to - from)).clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
}

/// 1 below `to`, 0 above `from`, smooth between.
pub(super) fn fall(from: f32, to: f32, value: f32) -> f32 {
    1.0 - rise(to, from, value)
}

pub(super) fn linear(colour: [u8; 3]) -> Light {
    colour.map(|value| srgb_to_linear(f64::from(value) / 255.0) as f32)
}

pub(super) fn scale(light: Light, by: f32) -> Light {
    light.map(|value| value * by)
}

pub(super) fn add(light: Light, white: f32) -> Light {
    light.map(|value| value + white)
}

pub(super) fn sum([a, b, c]: Light, [d, e, f]: Light) -> Light {
    [a + d, b + e, c + f]
}

pub(super) fn blend(under: Light, over: Light, share: f32) -> Light {
    std::array::from_fn(|channel| under[channel] + (over[channel] - under[channel]) * share)
}
