//! What carries the load: its reach and how it turns.

use super::{COARSE, asked, load, plan, segments};
use engine::entered::CarrierKind;
use engine::site::route::{Body, ComesIn, Drive, Floor, clear, driven, half_planes, steps};
use glam::DVec2;
use units::{Length, Watch};

#[test]
fn a_fork_truck_needs_more_room_than_its_load() {
    let plan = plan();
    let mut forked = load(1500.0, 900.0, None);
    assert_eq!(asked(&plan, &forked).comes_in, ComesIn::Yes);
    forked.carrier.kind = CarrierKind::Forks;
    assert_ne!(asked(&plan, &forked).comes_in, ComesIn::Yes);
}

#[test]
fn a_carrier_that_cannot_shunt_is_no_plain_yes() {
    let plan = plan();
    let mut jack = load(900.0, 700.0, None);
    jack.carrier.kind = CarrierKind::PalletJack;
    jack.carrier.turning_radius = Some(Length::mm(5000.0));
    let shunted = asked(&plan, &jack);
    assert_eq!(shunted.comes_in, ComesIn::Yes);
    jack.carrier.shunts = Some(false);
    let stiff = asked(&plan, &jack);
    assert!(!stiff.shunts_at.is_empty());
    assert_eq!(stiff.comes_in, ComesIn::CannotSay);
}

/// Corridors of one width that meet at a right angle, as two walls outside and two inside.
fn corner(width: f64) -> Floor {
    let far = 5000.0;
    let things = segments(&[
        [far, 0.0],
        [0.0, 0.0],
        [0.0, far],
        [width, far],
        [width, width],
        [far, width],
        [far, 0.0],
    ]);
    let spot = [[0.0, 3000.0], [width, 3000.0], [width, far], [0.0, far]].map(DVec2::from);
    Floor {
        min: DVec2::ZERO,
        max: DVec2::splat(far),
        things,
        start: DVec2::new(far - 1000.0, 0.5 * width),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    }
}

/// A body L by W that turns on a radius R about a point beside it sweeps a ring from R - W/2 to
/// sqrt((R + W/2)^2 + (L/2)^2). Round a right-angle corner of corridors c wide that ring fits when
/// its outer edge touches both outer walls and the inner corner, sqrt 2 (outer - c) from the middle,
/// lies within the inner edge: c = outer - inner / sqrt 2.
#[test]
fn a_carrier_that_drives_round_a_corner() {
    let (length, width, radius) = (1500.0, 900.0, 1500.0_f64);
    let inner: f64 = radius - 0.5 * width;
    let outer = (radius + 0.5 * width).hypot(0.5 * length);
    let least = outer - inner / std::f64::consts::SQRT_2;
    let body = Body::load(length, width);
    let drive = Drive {
        along: DVec2::X,
        radius_mm: radius,
    };
    let asked = |c: f64| driven(&corner(c), &body, &drive, COARSE, Watch::NOBODY).expect("runs");
    let step = steps(radius);
    let wide = least + step.straight_mm;
    let way = asked(wide).expect("a driven way");
    let floor = corner(wide);
    for pair in way.windows(2) {
        assert!(clear(&body, pair[0], pair[1], &floor.things));
        let (step, turn) = (
            pair[1].at - pair[0].at,
            pair[1].heading_rad - pair[0].heading_rad,
        );
        // No tighter than it steers, and along its heading, forward or back.
        assert!(step.length() >= 2.0 * radius * (0.5 * turn).sin().abs() - 1e-6);
        let middle = DVec2::from_angle(pair[0].heading_rad + 0.5 * turn);
        assert!(step.perp_dot(middle).abs() < 1e-6 * step.length().max(1.0));
    }
    // A free load still turns where this one no longer does.
    let narrow = least - 1.5 * step.straight_mm;
    assert!(2.0 * (std::f64::consts::SQRT_2 * narrow - width) > length);
    assert_eq!(asked(narrow), None);
}

/// A fork truck that may not shunt is answered where its arcs fit.
#[test]
fn arcs_that_fit_are_a_yes_without_shunting() {
    let mut plan = plan();
    plan.doors[0].from.x = 2000.0;
    plan.doors[0].to.x = 4600.0;
    plan.overhead.clear();
    plan.spots[0].outline = [
        [300.0, 3300.0],
        [4800.0, 3300.0],
        [4800.0, 5800.0],
        [300.0, 5800.0],
    ]
    .map(DVec2::from)
    .to_vec();
    let mut jack = load(1000.0, 800.0, None);
    jack.carrier.kind = CarrierKind::PalletJack;
    jack.carrier.turning_radius = Some(Length::mm(800.0));
    jack.carrier.shunts = Some(false);
    let answer = asked(&plan, &jack);
    assert_eq!(answer.comes_in, ComesIn::Yes, "{answer:?}");
    assert!(answer.shunts_at.is_empty());
}
