//! Prints a model's plan: `cargo run --release --example plan MODEL [UNIT]`.
#![allow(clippy::print_stdout, reason = "an example prints")]

use geometry::features::of;
use geometry::model::load;
use geometry::plan::{Options, Shape, plan};
use geometry::unit::LengthUnit;
use std::time::Instant;

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let bytes = std::fs::read(&args[1]).expect("a model file");
    let unit = args.get(2).and_then(|u| LengthUnit::from_name(u));
    let model = load(&bytes, &args[1], unit).expect("a model");
    let features = of(&model);
    let shape = Shape::of(&model, &features);
    let start = Instant::now();
    let plan = plan(&shape, &Options::default(), units::Watch::NOBODY).expect("not cancelled");
    println!(
        "{:.2} s, {} tried, proven {}, {} alternatives, {:?}",
        start.elapsed().as_secs_f64(),
        plan.tried,
        plan.proven,
        plan.alternatives.len(),
        plan.groups
    );
    println!(
        "must {:.0}, unreached {:.1}, stepped {:.1}, marks {:.1}, breaks {:.1}, slivers {:.1} mm2; removed {:.0}, left {:.0}, error {:.0} mm3; depth/diameter {:?}; unmade {:?}",
        plan.must_mm2,
        plan.unreached_mm2,
        plan.stepped_mm2,
        plan.marks_mm2,
        plan.breaks_mm2,
        plan.slivers_mm2,
        plan.removed_mm3,
        plan.left_mm3,
        plan.volume_error_mm3,
        plan.depth_to_diameter,
        plan.unmade_steps
    );
    for setup in &plan.setups {
        println!(
            "toward {:.3} extent {:.1?} share {:.3} {:?}",
            setup.toward, setup.extent_mm, setup.area_share, setup.clamp
        );
        for t in &setup.tasks {
            println!(
                "   {:8} {:8} D{:<6.2} r{:<4.1} reach {:6.1} depth {:6.1} cut {:6.1} n{:<3} {:12.1} mm3 {:10.1} mm2{}",
                format!("{:?}", t.kind),
                format!("{:?}", t.tool),
                t.diameter_mm,
                t.corner_mm,
                t.reach_mm,
                t.depth_mm,
                t.cut_depth_mm,
                t.count,
                t.volume_mm3,
                t.area_mm2,
                if t.of_hole { " hole" } else { "" }
            );
        }
    }
}
