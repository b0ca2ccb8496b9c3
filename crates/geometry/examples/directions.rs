//! Prints the directions a model needs: `cargo run --release --example directions MODEL UNIT`.
#![allow(clippy::print_stdout, reason = "an example prints")]

use geometry::features::of;
use geometry::model::load;
use geometry::plan::{Options, Shape, directions};
use geometry::unit::LengthUnit;
use std::time::Instant;

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let bytes = std::fs::read(&args[1]).expect("a model file");
    let unit = args.get(2).and_then(|u| LengthUnit::from_name(u));
    let model = load(&bytes, &args[1], unit).expect("a model");
    let start = Instant::now();
    let found = of(&model);
    let (solid, found) = (found.solid, found.holes);
    println!(
        "{} faces, {} holes, {} triangles, {:.2} s",
        solid.faces.len(),
        found.len(),
        model.mesh.triangles().len(),
        start.elapsed().as_secs_f64()
    );
    let shape = Shape {
        solid: &solid,
        holes: &found,
        smallest_box: &model.smallest_box,
        volume_mm3: model.volume_mm3(),
    };
    let start = Instant::now();
    let d = directions(&shape, &Options::default(), units::Watch::NOBODY).expect("no cancel");
    println!(
        "{} candidates, {} samples, chord {:.4}, {:.2} s",
        d.candidates.len(),
        d.samples.all.len(),
        d.chord_mm,
        start.elapsed().as_secs_f64()
    );
    let total: f64 = d.samples.all.iter().map(|s| s.area_mm2).sum();
    for (c, candidate) in d.candidates.iter().enumerate() {
        let area: f64 = d
            .samples
            .all
            .iter()
            .zip(&d.served)
            .filter(|(_, m)| *m >> c & 1 == 1)
            .map(|(s, _)| s.area_mm2)
            .sum();
        println!(
            "{c:3} {:?} {:.3} serves {:.4}",
            candidate.source,
            candidate.toward,
            area / total
        );
    }
    let sets: Vec<String> = d.chosen.sets.iter().map(|s| format!("{s:?}")).collect();
    println!(
        "chosen {:?} proven {} of {}",
        d.chosen.directions,
        d.chosen.proven,
        sets.join(" ")
    );
    let mut lonely: std::collections::BTreeMap<(u32, u128), (f64, usize)> = Default::default();
    for (s, m) in d.samples.all.iter().zip(&d.served) {
        let g = lonely.entry((s.face, *m)).or_default();
        g.0 += s.area_mm2;
        if std::env::args()
            .nth(3)
            .is_some_and(|f| f.parse() == Ok(s.face))
        {
            println!("{m:b} {:.3}", s.point);
        }
        g.1 += 1;
    }
    for ((face, mask), (area, count)) in lonely {
        if mask.count_ones() <= 1 {
            println!(
                "face {face} {:?} {:?} mask {mask:b}: {area:.2} mm2, {count} points",
                d.exempt[face as usize], solid.faces[face as usize].surface
            );
        }
    }
    for (s, m) in d.steps.iter().zip(&d.steps_served) {
        println!("{s:?} {m:b}");
    }
}
