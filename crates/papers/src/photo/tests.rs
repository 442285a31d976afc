#[test]
fn scratch_pictures() {
    use super::sample::*;
    let out = std::env::var("SAMPLES").unwrap();
    let s = SampleStone::default();
    let stones = [
        s,
        SampleStone {
            seed: 7,
            outline: SampleOutline::Round,
            ground: [228, 222, 210],
            strand: [84, 56, 38],
            flecks: None,
            metal: Some([206, 164, 84]),
            cloth: [58, 62, 60],
        },
        SampleStone {
            seed: 23,
            outline: SampleOutline::Round,
            ground: [38, 30, 52],
            strand: [214, 206, 190],
            flecks: Some([200, 204, 214]),
            metal: None,
            cloth: [170, 160, 142],
        },
    ];
    for (i, s) in stones.iter().enumerate() {
        let t = std::time::Instant::now();
        let j = stone_picture(s, 1200, 900).unwrap();
        println!("stone {:?} {}", t.elapsed(), j.len());
        std::fs::write(format!("{out}/stone{i}.jpg"), j).unwrap();
    }
    for (i, (c, col)) in [
        (SampleContents::Lock, [112, 74, 44]),
        (SampleContents::Ashes, [150, 148, 142]),
        (SampleContents::Petals, [176, 52, 74]),
    ]
    .into_iter()
    .enumerate()
    {
        let t = std::time::Instant::now();
        let j = packet_picture(
            &SamplePacket { seed: 5 + i as u64, contents: c, colour: col, cloth: [96, 104, 100] },
            1200,
            900,
        )
        .unwrap();
        println!("packet {:?} {}", t.elapsed(), j.len());
        std::fs::write(format!("{out}/packet{i}.jpg"), j).unwrap();
    }
}
