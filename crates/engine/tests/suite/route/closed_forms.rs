//! The planner against closed forms.

use super::{FINE, segments};
use engine::site::route::{Body, Decision, Floor, clear, decide, half_planes, largest};
use glam::DVec2;
use units::Watch;

/// Corridors of width a (along x) and b (along y) that meet at a right angle.
fn corner(a: f64, b: f64, arm: f64) -> Floor {
    let (w, h) = (b + arm, a + arm);
    let walls = [
        [w, 0.0],
        [0.0, 0.0],
        [0.0, h],
        [b, h],
        [b, a],
        [w, a],
        [w, 0.0],
    ];
    let spot = [[0.0, a + 0.1 * arm], [b, a + 0.1 * arm], [b, h], [0.0, h]].map(DVec2::from);
    Floor {
        min: DVec2::ZERO,
        max: DVec2::new(w, h),
        things: segments(&walls),
        start: DVec2::new(b + 0.5 * arm, 0.5 * a),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    }
}

/// Longest rectangle of a width that turns a right-angle corner: with its outer side at angle t
/// touching both outer walls, the inner corner (b, a) leaves a sin t + b cos t - L sin t cos t of
/// width, so L(W) = min over t of (a sin t + b cos t - W) / (sin t cos t). Site and purchase checks
/// M14, M15 and their formula for coders; for W = 0 the moving ladder, (a^2/3 + b^2/3)^3/2.
fn longest(a: f64, b: f64, width: f64) -> f64 {
    (1..100_000)
        .map(|n| {
            let (sin, cos) = (f64::from(n) * 1e-5 * std::f64::consts::FRAC_PI_2).sin_cos();
            (a * sin + b * cos - width) / (sin * cos)
        })
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn the_closed_form_gives_the_published_values() {
    // M11, M12: ladder round corridors of 3 and 4 ft; unit corridors. M15: rectangles in inches.
    let ladder = |a: f64, b: f64| (a.powf(2.0 / 3.0) + b.powf(2.0 / 3.0)).powf(1.5);
    assert!((ladder(3.0, 4.0) - 9.8657).abs() < 5e-5);
    assert!((ladder(1.0, 1.0) - 8.0_f64.sqrt()).abs() < 1e-12);
    for (a, b, w, l) in [
        (3.0, 4.0, 0.0, 9.8657),
        (48.0, 48.0, 30.0, 75.76),
        (60.0, 48.0, 32.0, 88.01),
        (96.0, 36.0, 30.0, 112.78),
        (120.0, 84.0, 60.0, 165.00),
        (2.0, 1.5, 0.8, 3.320),
        (4.0, 3.0, 1.0, 7.853),
    ] {
        let found = longest(a, b, w);
        assert!((found - l).abs() < 0.006, "{a} {b} {w}: {found}");
    }
}

/// The planner's yes and no on both sides of the closed form: shrunk by its resolution on every
/// side a load passes; no load longer than the form allows passes.
fn held_against_the_corner(a: f64, b: f64, width: f64) {
    let floor = corner(a, b, 1.2 * longest(a, b, 0.0).min(6000.0));
    let limit = longest(a, b, width);
    let answer =
        |l: f64, w: f64| decide(&floor, &Body::load(l, w), FINE, Watch::NOBODY).expect("runs");
    let at = answer(limit - 1.0, width);
    let by = 2.0 * at.resolution_mm;
    // Shrinking both sides by the resolution leaves this room on every side.
    assert!(
        matches!(
            answer(limit - by, width - by.min(0.9 * width)).decision,
            Decision::Yes(_)
        ),
        "{a} {b} {width}: {limit} less {by}"
    );
    let grown = answer(limit + by, width + by);
    assert_eq!(
        grown.decision,
        Decision::No,
        "{a} {b} {width}: {limit} more {by}"
    );
    // Loads thinner than four boxes are taken four boxes thick for the no.
    if width >= 4.0 * FINE.cell_mm {
        assert_ne!(at.decision, Decision::No, "{a} {b} {width}");
    }
}

#[test]
fn rectangles_round_a_corner() {
    held_against_the_corner(1219.2, 1219.2, 762.0);
    held_against_the_corner(1524.0, 1219.2, 812.8);
    held_against_the_corner(1500.0, 2000.0, 800.0);
}

#[test]
fn a_ladder_round_a_corner() {
    held_against_the_corner(914.4, 1219.2, 1.0);
}

#[test]
fn the_largest_load_round_a_corner() {
    let (a, b) = (1500.0, 1200.0);
    let floor = corner(a, b, 3000.0);
    let body = |s: f64| Body::load(2000.0 * s, 800.0 * s);
    let found = largest(&floor, body, None, 0.005, FINE, Watch::NOBODY).expect("runs");
    // The scale at which the closed form is met.
    let (mut low, mut high) = (0.5, 2.0);
    for _ in 0..60 {
        let s = 0.5 * (low + high);
        if longest(a, b, 800.0 * s) > 2000.0 * s {
            low = s
        } else {
            high = s
        }
    }
    let fails = found.fails.expect("some load fails");
    assert!(
        found.passes <= low && low <= fails,
        "{} {low} {fails}",
        found.passes
    );
    // Both ends within the resolution of the width (26 mm on every side).
    assert!(
        (fails - found.passes) * 800.0 < 4.0 * 26.5,
        "{} {fails}",
        found.passes
    );
    assert!(
        found
            .way
            .windows(2)
            .all(|p| clear(&body(found.passes), p[0], p[1], &floor.things))
    );
}

/// A room with an opening of a width in the middle of a wall 100 mm thick.
fn opening(width: f64) -> Floor {
    let (a, b) = (1500.0 - 0.5 * width, 1500.0 + 0.5 * width);
    let mut things = segments(&[
        [0.0, 0.0],
        [3000.0, 0.0],
        [3000.0, 4000.0],
        [0.0, 4000.0],
        [0.0, 0.0],
    ]);
    things.extend(segments(&[
        [0.0, 1900.0],
        [a, 1900.0],
        [a, 2000.0],
        [0.0, 2000.0],
    ]));
    things.extend(segments(&[
        [3000.0, 1900.0],
        [b, 1900.0],
        [b, 2000.0],
        [3000.0, 2000.0],
    ]));
    let spot = [
        [0.0, 2000.0],
        [3000.0, 2000.0],
        [3000.0, 4000.0],
        [0.0, 4000.0],
    ]
    .map(DVec2::from);
    Floor {
        min: DVec2::ZERO,
        max: DVec2::new(3000.0, 4000.0),
        things,
        start: DVec2::new(1500.0, 950.0),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    }
}

#[test]
fn straight_doors() {
    // 53 mm more or less is the resolution on both sides together.
    for width in [700.0, 1000.0, 1300.0] {
        let body = Body::load(1400.0, width);
        let answer = |gap: f64| {
            decide(&opening(gap), &body, FINE, Watch::NOBODY)
                .expect("runs")
                .decision
        };
        assert!(matches!(answer(width + 54.0), Decision::Yes(_)), "{width}");
        assert_eq!(answer(width - 54.0), Decision::No, "{width}");
    }
}

/// Round the end of a partition, from one lane to the other: a rectangle that keeps its heading
/// needs only its width in each lane and the bay; turning with it would need more.
#[test]
fn a_u_turn() {
    let (lane, bay) = (1000.0, 1100.0);
    let (w, h) = (2.0 * lane + 100.0, 4000.0);
    let mut things = segments(&[[0.0, 0.0], [w, 0.0], [w, h], [0.0, h], [0.0, 0.0]]);
    things.extend(segments(&[
        [lane, 0.0],
        [lane, h - bay],
        [lane + 100.0, h - bay],
        [lane + 100.0, 0.0],
    ]));
    let spot = [
        [lane + 100.0, 0.0],
        [w, 0.0],
        [w, 2000.0],
        [lane + 100.0, 2000.0],
    ]
    .map(DVec2::from);
    let floor = Floor {
        min: DVec2::ZERO,
        max: DVec2::new(w, h),
        things,
        start: DVec2::new(0.5 * lane, 1000.0),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    };
    let answer = |l: f64, w: f64| {
        decide(&floor, &Body::load(l, w), FINE, Watch::NOBODY)
            .expect("runs")
            .decision
    };
    // Sideways through the bay: both sides at most 1000 less the resolution.
    assert!(matches!(answer(940.0, 900.0), Decision::Yes(_)));
    // The narrow one turns twice: longest round the first corner of lane 1000 and bay 1100.
    let limit = longest(lane, bay, 500.0);
    assert!(matches!(answer(limit - 60.0, 440.0), Decision::Yes(_)));
    assert_eq!(answer(limit + 60.0, 560.0), Decision::No);
    assert_eq!(answer(1060.0, 1060.0), Decision::No);
}
