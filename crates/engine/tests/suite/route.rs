//! The planner against closed forms.

use engine::site::route::*;
use glam::DVec2;
use std::time::Instant;
use units::Watch;

fn segments(lines: &[&[[f64; 2]]]) -> Vec<Segment> {
    lines
        .iter()
        .flat_map(|line| line.windows(2))
        .map(|p| Segment {
            from: p[0].into(),
            to: p[1].into(),
            thing: 0,
        })
        .collect()
}

/// Corridors of width a (along x) and b (along y) that meet at a right angle.
pub fn corner(a: f64, b: f64, arm: f64) -> Floor {
    let (w, h) = (b + arm, a + arm);
    let things = segments(&[&[
        [w, 0.0],
        [0.0, 0.0],
        [0.0, h],
        [b, h],
        [b, a],
        [w, a],
        [w, 0.0],
    ]]);
    let spot = [[0.0, a + 0.2 * arm], [b, a + 0.2 * arm], [b, h], [0.0, h]].map(DVec2::from);
    Floor {
        min: DVec2::ZERO,
        max: DVec2::new(w, h),
        things,
        start: DVec2::new(b + 0.5 * arm, 0.5 * a),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    }
}

#[test]
fn try_it() {
    let floor = corner(1200.0, 1500.0, 5000.0);
    for (l, w) in [
        (2100.0, 800.0),
        (2180.0, 800.0),
        (2200.0, 800.0),
        (2215.0, 800.0),
        (2230.0, 800.0),
        (2250.0, 800.0),
        (2280.0, 800.0),
        (3818.0, 10.0),
        (3750.0, 10.0),
        (3650.0, 10.0),
        (3900.0, 10.0),
        (3950., 10.),
    ] {
        let t = Instant::now();
        let a = decide(
            &floor,
            &Body::load(l, w),
            Fineness { cell_mm: 10.0 },
            Watch::NOBODY,
        )
        .unwrap();
        let text = match &a.decision {
            Decision::Yes(w) => format!("yes {}", w.len()),
            o => format!("{o:?}"),
        };
        eprintln!(
            "{l}x{w}: {text} res {:.1} {:?}",
            a.resolution_mm,
            t.elapsed()
        );
    }
}
#[test]
fn try_largest() {
    let floor = corner(1200.0, 1500.0, 5000.0);
    let t = Instant::now();
    let l = largest(
        &floor,
        |s| Body::load(2000.0 * s, 800.0 * s),
        0.005,
        Fineness { cell_mm: 10.0 },
        Watch::NOBODY,
    )
    .unwrap();
    eprintln!("{} {:?} {:?}", l.passes, l.fails, t.elapsed());
}
