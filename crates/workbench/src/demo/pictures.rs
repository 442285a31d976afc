//! The demo's photos: drawn, never taken.

use craft::digest::Digest;
use craft::order::PhotoKind;
use papers::photo::PhotoError;
use papers::photo::sample::{
    SampleContents, SampleOutline, SamplePacket, SampleStone, packet_picture, stone_picture,
};

use super::DemoPhoto;

/// Width and height of a drawn photo.
const SIZE_PX: (u32, u32) = (480, 360);

/// The grey cloth on the bench.
const CLOTH: [u8; 3] = [112, 118, 116];

/// What is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) enum Scene {
    /// An opened packet with a lock in it.
    Lock([u8; 3]),
    /// An opened packet with a heap of ashes, earth or powder.
    Heap([u8; 3]),
    /// An opened packet with petals.
    Petals([u8; 3]),
    /// A loose stone: its outline, the colour behind, the strands or grains, and specks where there are any.
    Stone(SampleOutline, [u8; 3], [u8; 3], Option<[u8; 3]>),
    /// The same, set in silver.
    Set(SampleOutline, [u8; 3], [u8; 3], Option<[u8; 3]>),
}

/// Draws a scene; `seed` chooses the irregularities.
pub(super) fn draw(scene: Scene, seed: u64) -> Result<DemoPhoto, PhotoError> {
    let bytes = match scene {
        Scene::Lock(colour) => packet(SampleContents::Lock, colour, seed)?,
        Scene::Heap(colour) => packet(SampleContents::Ashes, colour, seed)?,
        Scene::Petals(colour) => packet(SampleContents::Petals, colour, seed)?,
        Scene::Stone(outline, ground, strand, flecks) => {
            stone(&SampleStone { seed, outline, ground, strand, flecks, metal: None, cloth: CLOTH })?
        }
        Scene::Set(outline, ground, strand, flecks) => {
            let metal = Some([205, 205, 208]);
            stone(&SampleStone { seed, outline, ground, strand, flecks, metal, cloth: CLOTH })?
        }
    };
    let digest = Digest::of(&bytes);
    Ok(DemoPhoto { bytes, digest, kind: PhotoKind::Jpeg })
}

fn packet(contents: SampleContents, colour: [u8; 3], seed: u64) -> Result<Vec<u8>, PhotoError> {
    packet_picture(&SamplePacket { seed, contents, colour, cloth: CLOTH }, SIZE_PX.0, SIZE_PX.1)
}

fn stone(stone: &SampleStone) -> Result<Vec<u8>, PhotoError> {
    stone_picture(stone, SIZE_PX.0, SIZE_PX.1)
}
