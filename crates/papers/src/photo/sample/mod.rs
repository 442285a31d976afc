//! Simple made-up photos of stones and of opened packets, for demonstrations and for trying the program out.
//!
//! Nothing here is a real person's material. The same request always gives the same picture: every irregularity
//! comes from the seed.

mod sheet;

use super::PhotoError;
use sheet::{Dice, Layer, Light, Point, Sheet, add, blend, fall, linear, noise, rise, scale, sum};

/// The outline of a made-up stone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SampleOutline {
    /// A round stone.
    Round,
    /// An oval stone, lying on its side, three quarters as high as it is wide.
    Oval,
}

/// A made-up stone on a cloth. Colours are sRGB.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SampleStone {
    /// Chooses the irregularities.
    pub seed: u64,
    /// The outline.
    pub outline: SampleOutline,
    /// The tinted resin behind the material.
    pub ground: [u8; 3],
    /// The strands set into it.
    pub strand: [u8; 3],
    /// Specks of leaf or ash between the strands, if any.
    pub flecks: Option<[u8; 3]>,
    /// The rim of its setting, or no setting.
    pub metal: Option<[u8; 3]>,
    /// The cloth below.
    pub cloth: [u8; 3],
}

impl Default for SampleStone {
    fn default() -> SampleStone {
        SampleStone {
            seed: 1,
            outline: SampleOutline::Oval,
            ground: [44, 92, 116],
            strand: [176, 132, 84],
            flecks: Some([226, 190, 110]),
            metal: Some([205, 205, 208]),
            cloth: [120, 122, 116],
        }
    }
}

/// What lies on the paper of a made-up packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SampleContents {
    /// A lock of hair tied with thread.
    Lock,
    /// A small heap of ashes.
    Ashes,
    /// A few pressed petals.
    Petals,
}

/// A made-up opened paper packet on a cloth. Colours are sRGB.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SamplePacket {
    /// Chooses the irregularities.
    pub seed: u64,
    /// What lies on the paper.
    pub contents: SampleContents,
    /// The colour of the material.
    pub colour: [u8; 3],
    /// The cloth below.
    pub cloth: [u8; 3],
}

/// Draws a made-up photo of a stone, as JPEG. Sizes are in pixels and kept within 64 to 4096.
///
/// # Errors
///
/// `NotWritten` if the JPEG cannot be encoded.
pub fn stone_picture(stone: &SampleStone, width_px: u32, height_px: u32) -> Result<Vec<u8>, PhotoError> {
    let mut sheet = Sheet::cloth(stone.seed, stone.cloth, width_px, height_px);
    let across = 0.36 * sheet.short();
    let half = match stone.outline {
        SampleOutline::Round => (across, across),
        SampleOutline::Oval => (across * 1.16, across * 0.87),
    };
    let shadow = sheet.at(0.012, 0.035);
    sheet.shade(|x, y| {
        let (u, v) = ((x - shadow.0) / (half.0 * 1.1), (y - shadow.1) / (half.1 * 1.1));
        1.0 - 0.75 * fall(1.0 + 0.16, 0.72, (u * u + v * v).sqrt())
    });
    let strands = stone_strands(stone, &sheet, half);
    draw_stone(&mut sheet, stone, half, &strands);
    sheet.jpeg()
}

/// Draws a made-up photo of an opened packet, as JPEG. Sizes are in pixels and kept within 64 to 4096.
///
/// # Errors
///
/// `NotWritten` if the JPEG cannot be encoded.
pub fn packet_picture(packet: &SamplePacket, width_px: u32, height_px: u32) -> Result<Vec<u8>, PhotoError> {
    let mut sheet = Sheet::cloth(packet.seed, packet.cloth, width_px, height_px);
    draw_paper(&mut sheet, packet.seed);
    let mut dice = Dice(packet.seed ^ 0x51);
    let light = linear(packet.colour);
    match packet.contents {
        SampleContents::Lock => draw_lock(&mut sheet, light, &mut dice),
        SampleContents::Ashes => draw_ashes(&mut sheet, light, &mut dice),
        SampleContents::Petals => draw_petals(&mut sheet, light, &mut dice),
    }
    sheet.jpeg()
}

/// The strands inside a stone: how much of each pixel they cover, and how brightly they are lit.
fn stone_strands(stone: &SampleStone, sheet: &Sheet, half: Point) -> Layer {
    let mut layer = Layer::of(sheet);
    let mut dice = Dice(stone.seed.wrapping_mul(31) ^ 0x7A);
    let centre = sheet.at(0.0, 0.0);
    let bow = dice.within(0.25, 0.5);
    for _ in 0..150 {
        let (a, b, c) = (dice.within(-0.5, 0.5), dice.within(-0.2, 0.2), dice.within(-0.16, 0.16));
        let place = |x: f32, y: f32| (centre.0 + x * half.0, centre.1 + y * half.1);
        let curve = [
            place(-1.05, 0.36 + 0.45 * a + b),
            place(-0.35, 0.10 - bow + 0.75 * a + c),
            place(0.30, bow - 0.15 + 0.75 * a - c),
            place(1.05, -0.40 + 0.50 * a - b),
        ];
        layer.strand(curve, 0.0011 * sheet.short() * dice.within(0.7, 1.3), dice.within(0.45, 1.35));
    }
    layer
}

fn draw_stone(sheet: &mut Sheet, stone: &SampleStone, half: Point, strands: &Layer) {
    let (ground, hair, metal) = (linear(stone.ground), linear(stone.strand), stone.metal.map(linear));
    let flecks = stone.flecks.map(linear);
    let (centre, short) = (sheet.at(0.0, 0.0), sheet.short());
    let rim = if metal.is_some() { 0.07 } else { 0.0 };
    let edge_px = half.0.min(half.1);
    let lift = sheet.short_px() / 160;
    let seed = stone.seed;
    sheet.paint(|index, (x, y), under| {
        let (u, v) = ((x - centre.0) / half.0, (y - centre.1) / half.1);
        let d = (u * u + v * v).sqrt();
        let outside = (d - 1.0 - rim) * edge_px;
        if outside > 1.0 {
            return under;
        }
        let drawn = match metal {
            Some(metal) if d > 1.0 => rim_light(metal, (u, v), (d - 1.0) / rim),
            _ => {
                let swirl =
                    noise(seed, u * 1.7 + v + noise(seed ^ 9, u * 1.7 - v, v * 1.7 + u), v * 2.2 - u * 0.7);
                let mut body = blend(scale(ground, 0.55), add(scale(ground, 1.25), 0.02), swirl);
                if let Some(fleck) = flecks {
                    let patch = rise(0.45, 0.6, noise(seed ^ 4, u * 3.0, v * 3.0));
                    if patch > 0.0 {
                        let spot = noise(seed ^ 3, x / short * 90.0, y / short * 90.0);
                        let glint = 0.5 + noise(seed ^ 5, x / short * 160.0, y / short * 160.0);
                        body = blend(body, scale(fleck, glint), patch * rise(0.80, 0.86, spot));
                    }
                }
                // Strands lie above the ground, so each throws a soft shadow down and to the right.
                body = scale(body, 1.0 - 0.55 * strands.cover_at(index, lift));
                let (cover, tone) = strands.at(index);
                let hair = scale(hair, tone);
                let shown = blend(body, hair, cover * fall(0.99, 0.9, d));
                dome_light(shown, ground, (u, v), d)
            }
        };
        blend(under, drawn, (0.5 - outside).clamp(0.0, 1.0))
    });
}

/// Light on the polished dome: shade towards the edge, a glow opposite the window, and the window's reflection.
fn dome_light(body: Light, ground: Light, (u, v): Point, d: f32) -> Light {
    let slope = (u * -0.5 + v * -0.62) * 0.55;
    let edge = d.powi(6);
    let mut lit = scale(body, (0.86 + 0.5 * slope) * (1.0 - 0.5 * edge));
    // Light that entered at the upper left gathers inside at the lower right.
    let glow = rise(0.25, 0.95, u * 0.6 + v * 0.72) * fall(1.0, 0.86, d);
    lit = sum(lit, scale(add(ground, 0.06), 0.55 * glow * (1.0 - ground[1])));
    // The window: a softened square, bent by the dome, with a crossbar.
    let (wu, wv) = (u + 0.36 + 0.10 * v, v + 0.44 - 0.12 * u);
    let pane = fall(0.21, 0.17, wu.abs()) * fall(0.16, 0.125, wv.abs());
    let bar = 1.0 - 0.8 * fall(0.016, 0.008, wu.abs());
    lit = add(lit, 0.62 * pane * bar * (0.75 - 0.9 * wv));
    // A thin line of light follows the far rim.
    let far = rise(0.35, 0.8, (u * 0.6 + v * 0.75) / d.max(0.1));
    add(lit, 0.16 * far * rise(0.90, 0.94, d) * fall(0.975, 0.95, d))
}

/// Light on a polished rim, from its inner edge (0) to its outer edge (1).
fn rim_light(metal: Light, (u, v): Point, across: f32) -> Light {
    let round = (across * 2.0 - 1.0).clamp(-1.0, 1.0);
    let facing = (u * -0.6 + v * -0.75) * round;
    let along = (u * v * 3.0).sin() * 0.12;
    let base = 0.35 + 0.45 * facing + along + 0.25 * (1.0 - round * round);
    let glint = rise(0.45, 0.75, facing) * 0.55;
    add(scale(metal, base.max(0.05)), glint)
}

/// An opened paper: a turned square with two folds across, lit from the upper left, with its shadow.
fn draw_paper(sheet: &mut Sheet, seed: u64) {
    let (centre, short) = (sheet.at(0.0, 0.0), sheet.short());
    let (sin, cos) = (0.12 + 0.1 * (Dice(seed).share() - 0.5)).sin_cos();
    let half = 0.385;
    let turned = move |(x, y): Point, shift: f32| {
        let (dx, dy) = ((x - centre.0) / short - shift * 0.6, (y - centre.1) / short - shift);
        (dx * cos + dy * sin, dy * cos - dx * sin)
    };
    sheet.shade(move |x, y| {
        let (u, v) = turned((x, y), 0.014);
        1.0 - 0.6
            * fall(half * 1.3 + 0.025, half * 1.3 - 0.02, u.abs())
            * fall(half + 0.025, half - 0.02, v.abs())
    });
    sheet.paint(|_, point, under| {
        let (u, v) = turned(point, 0.0);
        let inside = (half * 1.3 - u.abs()).min(half - v.abs()) * short;
        if inside < -1.0 {
            return under;
        }
        // Each fold tips the paper a little, so brightness steps at the fold and eases away from it.
        let fold = |at: f32, along: f32| {
            let far = (along - at) / 0.16;
            0.09 * far.signum() * (-far.abs()).exp() - 0.12 * fall(0.004, 0.0008, (along - at).abs())
        };
        let fibre = noise(seed ^ 0x21, u * 260.0, v * 90.0) - 0.5;
        let mottle = noise(seed ^ 0x22, u * 7.0, v * 7.0) - 0.5;
        let level = 0.80 - 0.10 * (u + v) + fold(0.19, u) + fold(-0.2, u) + fold(0.02, v) * 0.8;
        let paper = scale([0.86, 0.82, 0.73], level + 0.05 * fibre + 0.07 * mottle);
        blend(under, paper, (inside + 0.5).clamp(0.0, 1.0))
    });
}

/// A bowed lock of hair, tied near one end.
fn draw_lock(sheet: &mut Sheet, light: Light, dice: &mut Dice) {
    let short = sheet.short();
    let mut hair = Layer::of(sheet);
    let mut tie = Layer::of(sheet);
    for _ in 0..170 {
        let (across, loose) = (dice.within(-1.0, 1.0), dice.within(-1.0, 1.0));
        let (start, end) = (dice.within(-0.38, -0.33), dice.within(0.24, 0.37));
        let curve = [
            sheet.at(start, 0.17 + start * 0.1 + 0.035 * across),
            sheet.at(-0.16, -0.02 - 0.10 + 0.030 * across + 0.01 * loose),
            sheet.at(0.06, -0.20 + 0.085 * across + 0.03 * loose),
            sheet.at(end, 0.12 + 0.10 * across + 0.07 * loose),
        ];
        hair.strand(curve, 0.0012 * short * dice.within(0.7, 1.3), dice.within(0.4, 1.3));
    }
    // The thread goes round where the hair runs at a slope, so each turn lies across that slope.
    for turn in 0..6 {
        let along = 0.0062 * turn as f32;
        let place = |out: f32, bulge: f32| {
            sheet.at(-0.243 + 0.78 * along + 0.62 * out - bulge, 0.017 - 0.62 * along + 0.78 * out + bulge)
        };
        let curve = [place(-0.046, 0.004), place(-0.02, 0.0), place(0.02, 0.0), place(0.046, 0.004)];
        tie.strand(curve, 0.0028 * short, dice.within(0.75, 1.1));
    }
    sheet.lay(&hair, light, 0.012);
    sheet.lay(&tie, linear([196, 198, 204]), 0.004);
}

/// A heap of grains, each a lit speck on a mound.
fn draw_ashes(sheet: &mut Sheet, light: Light, dice: &mut Dice) {
    let short = sheet.short();
    let mut layer = Layer::of(sheet);
    for grain in 0..20000 {
        let (angle, spread) = (dice.within(0.0, std::f32::consts::TAU), dice.share());
        // The first grains scatter wide; the later ones lie on the heap.
        let reach = if grain < 900 { 0.25 * spread.sqrt() } else { 0.145 * spread.powf(0.7) };
        let ragged = 1.0 + 0.25 * (noise(77, 1.6 * angle.cos() + 9.0, 1.6 * angle.sin() + 9.0) - 0.5);
        let (x, y) = (reach * ragged * 1.25 * angle.cos(), reach * ragged * 0.85 * angle.sin());
        let slope = 1.0 - 0.28 * (angle + 0.8).cos() * (reach / 0.14).min(1.0);
        let size = short * (0.0008 + 0.0022 * dice.share().powi(4));
        layer.dot(sheet.at(x, y), size, slope * dice.within(0.55, 1.35));
    }
    sheet.lay(&layer, light, 0.003);
}

/// Petals: teardrops with veins, each with its own shadow.
fn draw_petals(sheet: &mut Sheet, light: Light, dice: &mut Dice) {
    let places = [(-0.25, -0.13), (0.03, -0.19), (0.27, -0.06), (-0.12, 0.08), (0.14, 0.14), (-0.31, 0.17)];
    let mut petals = Layer::of(sheet);
    for (x, y) in places {
        let turn = dice.within(0.0, std::f32::consts::TAU);
        let (sin, cos) = turn.sin_cos();
        let (long, wide) = (dice.within(0.15, 0.2), dice.within(0.05, 0.068));
        let (root_x, root_y) = (x - 0.5 * long * cos, y - 0.5 * long * sin);
        for vein in -60..=60 {
            let side = vein as f32 / 60.0;
            let bend = wide * side;
            let tip = long * (1.0 - 0.22 * side * side - 0.03 * (side * 4.0 + turn).sin());
            let place = |along: f32, out: f32| {
                sheet.at(root_x + along * cos - out * sin, root_y + along * sin + out * cos)
            };
            let curve = [
                place(0.0, 0.06 * bend),
                place(0.3 * tip, 0.5 * bend),
                place(0.7 * tip, 1.5 * bend),
                place(tip, 0.72 * bend),
            ];
            let tone = 0.78 + 0.22 * (side * 2.2 + turn).cos() + dice.within(-0.06, 0.06);
            petals.strand(curve, 0.0030 * sheet.short(), tone);
        }
    }
    sheet.lay(&petals, light, 0.007);
}
