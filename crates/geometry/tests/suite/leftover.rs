//! What tools leave: machined surfaces, remaining stock, scallops, against closed forms.

use crate::shapes::block;
use geometry::dexel::TriDexels;
use geometry::height_map::HeightMap;
use geometry::machined::MachinedBounds;
use geometry::mesh::Mesh;
use geometry::reach::Reach;
use geometry::scallop::{Across, ball_mm, ball_stepover_mm, level_mm, steps_mm};
use geometry::tip_bounds::TipBounds;
use geometry::tool_shape::ToolShape;
use glam::{DMat3, DVec2, DVec3, dvec2, dvec3};

const QUARTER: f64 = std::f64::consts::FRAC_PI_4;

fn tool(radius: f64, corner: f64) -> ToolShape {
    ToolShape::new(radius, corner).unwrap()
}

/// A block 40 x 40 x 12 with a square pocket 24 x 24, 10 deep: sharp corners.
fn square_pocket() -> Mesh {
    let mut part = block(dvec3(0.0, 0.0, 0.0), dvec3(40.0, 40.0, 2.0));
    for (low, high) in [
        ((0.0, 0.0), (8.0, 40.0)),
        ((32.0, 0.0), (40.0, 40.0)),
        ((8.0, 0.0), (32.0, 8.0)),
        ((8.0, 32.0), (32.0, 40.0)),
    ] {
        part.append(&block(
            dvec3(low.0, low.1, 2.0),
            dvec3(high.0, high.1, 12.0),
        ));
    }
    part
}

/// A flat tool of radius R leaves R^2 (1 - pi/4) in each sharp corner, full depth; between the
/// bounds at every step, and bounds close up as the step falls.
#[test]
fn the_machined_surface_of_a_pocket_lies_between_its_bounds() {
    let mut width = f64::INFINITY;
    for step in [0.8, 0.4, 0.2] {
        let map = HeightMap::new(&square_pocket(), &DMat3::IDENTITY, step).unwrap();
        let tool = tool(4.0, 0.0);
        let tips = TipBounds::on_level(&map, &tool, 0);
        let machined = MachinedBounds::new(&tips, &tool, 0.0);
        let over = [DVec2::ZERO, DVec2::splat(40.0)];
        let [low, high] = machined.volume_mm3(over);
        let part = 40.0 * 40.0 * 12.0 - 24.0 * 24.0 * 10.0;
        let want = part + 4.0 * 16.0 * (1.0 - QUARTER) * 10.0;
        assert!(low <= want && want <= high, "{low} {want} {high}");
        assert!(high - low < 0.7 * width, "{} after {width}", high - low);
        width = high - low;
        // In the open pocket and on top it is the part itself.
        let [low, high] = machined.at(dvec2(20.0, 20.0));
        assert!(low <= 2.0 && 2.0 <= high && high - low < 1e-4);
    }
}

/// A ball leaves a fillet of its radius along the walls: the surface at distance d from a wall is
/// c - sqrt(c^2 - (c - d)^2) above the floor.
#[test]
fn a_ball_leaves_its_fillet() {
    let map = HeightMap::new(&square_pocket(), &DMat3::IDENTITY, 0.2).unwrap();
    let ball = tool(3.0, 3.0);
    let machined = MachinedBounds::new(&TipBounds::on_level(&map, &ball, 0), &ball, 0.0);
    for k in 1..30 {
        let d = 0.1 * f64::from(k);
        let [low, high] = machined.at(dvec2(8.0 + d, 20.0));
        let want = 2.0 + ball.profile_mm(3.0 - d);
        assert!(low <= want && want <= high, "{d}: {low} {want} {high}");
    }
}

#[test]
fn stock_removed_in_order_counts_once() {
    let (low, high) = (DVec3::ZERO, dvec3(40.0, 40.0, 15.0));
    let turn = |d: DVec3| DMat3::from_quat(glam::DQuat::from_rotation_arc(d, DVec3::Z));
    let mut stock = TriDexels::full(low, high, 0.5);
    let all = stock.volume();
    assert!((all.mm3 - 24000.0).abs() < 1e-6 && all.error_mm3 < 1e-6);
    // Facing from above down to 12: 3 x 40 x 40.
    let faced = stock.remove(&DMat3::IDENTITY, |_| 12.0);
    assert!((faced.mm3 - 4800.0).abs() < 1e-6, "{faced:?}");
    // The same again finds nothing.
    assert!(stock.remove(&DMat3::IDENTITY, |_| 12.0).mm3.abs() < 1e-6);
    // From +x, down to x = 30 where z > 4: in that setup a place's first coordinate is -z.
    let side = turn(DVec3::X);
    let back = side.transpose();
    let cut = |p: DVec2| {
        if (back * p.extend(0.0)).z > 4.0 {
            30.0
        } else {
            1e9
        }
    };
    let shoulder = stock.remove(&side, cut);
    assert!(
        (shoulder.mm3 - 10.0 * 40.0 * 8.0).abs() <= shoulder.error_mm3 + 1e-6,
        "{shoulder:?}"
    );
    // A slot from above across the shoulder counts only what the shoulder left.
    let slot = stock.remove(&DMat3::IDENTITY, |p| {
        if (p.y - 20.0).abs() < 5.0 { 6.0 } else { 1e9 }
    });
    let want = 10.0 * (30.0 * 6.0);
    assert!(
        (slot.mm3 - want).abs() <= slot.error_mm3 + 1e-6,
        "{slot:?} {want}"
    );
    let left = stock.volume();
    let sum = left.mm3 + faced.mm3 + shoulder.mm3 + slot.mm3;
    assert!((sum - 24000.0).abs() < 1e-6, "{sum}");
    assert!(stock.holds(dvec3(5.0, 5.0, 11.0)) && !stock.holds(dvec3(5.0, 20.0, 11.0)));
}

/// A skew cut halves a cube through its middle, whatever the direction.
#[test]
fn a_skew_plane_halves_a_cube() {
    for d in [
        dvec3(1.0, 0.3, 0.2),
        dvec3(-0.4, 0.5, 0.9),
        dvec3(1.0, 1.0, 1.0),
    ] {
        for step in [1.0, 0.5] {
            let mut stock = TriDexels::full(DVec3::splat(-10.0), DVec3::splat(10.0), step);
            let turn = DMat3::from_quat(glam::DQuat::from_rotation_arc(d.normalize(), DVec3::Z));
            let got = stock.remove(&turn, |_| 0.0);
            assert!((got.mm3 - 4000.0).abs() <= got.error_mm3, "{got:?}");
            assert!(got.error_mm3 < 0.2 * step * 8000.0);
        }
    }
}

/// A drilled cylinder: the error stays within the bound and shrinks with the step.
#[test]
fn a_round_hole_in_stock() {
    let want = 4.0 * QUARTER * 36.0 * 10.0;
    for step in [0.8, 0.4, 0.2] {
        let mut stock = TriDexels::full(DVec3::ZERO, dvec3(20.0, 20.0, 10.0), step);
        let cut = |p: DVec2| {
            if p.distance(DVec2::splat(10.03)) < 6.0 {
                -1.0
            } else {
                1e9
            }
        };
        let got = stock.remove(&DMat3::IDENTITY, cut);
        assert!((got.mm3 - want).abs() <= got.error_mm3, "{got:?} {want}");
    }
}

/// Walk the profile of passes along a face and find the highest point left, by brute force.
#[test]
fn ridges_against_walking_the_profile() {
    let c: f64 = 4.0;
    for w in [0.2f64, 1.0, 3.0] {
        for across in [Across::Straight, Across::Convex(15.0), Across::Concave(9.0)] {
            // Ball centres and the point halfway, along the line from the face's own centre.
            let left = match across {
                Across::Straight => c - (c * c - w * w / 4.0).sqrt(),
                Across::Convex(r) | Across::Concave(r) => {
                    let sign = if matches!(across, Across::Convex(_)) {
                        1.0
                    } else {
                        -1.0
                    };
                    let half: f64 = 0.5 * w / r;
                    let centre = dvec2((r + sign * c) * half.sin(), (r + sign * c) * half.cos());
                    // Walk off the face along the middle line until the ball is met.
                    let (mut a, mut b) = (0.0, c);
                    for _ in 0..60 {
                        let h = 0.5 * (a + b);
                        let inside = dvec2(0.0, r + sign * h).distance(centre) < c;
                        if inside { b = h } else { a = h }
                    }
                    a
                }
            };
            let got = ball_mm(c, w, across);
            assert!((got - left).abs() < 1e-9, "{w} {across:?} {got} {left}");
        }
        assert!((ball_mm(c, ball_stepover_mm(c, 0.01), Across::Straight) - 0.01).abs() < 1e-12);
    }
    assert_eq!(ball_mm(c, 0.5, Across::Concave(3.0)), f64::INFINITY);
    assert_eq!(level_mm(&tool(5.0, 1.0), 8.0), 0.0);
    assert!((level_mm(&tool(5.0, 1.0), 9.0) - (1.0 - 0.75f64.sqrt())).abs() < 1e-12);
    assert_eq!(level_mm(&tool(5.0, 0.0), 10.5), f64::INFINITY);
}

/// Steps down a face at 30 degrees: the corner of a step stands s cos 30 off the face.
#[test]
fn a_stepped_face_is_finished_only_within_tolerance() {
    let normal = DVec3::new(0.5, 0.0, 0.75f64.sqrt());
    let corner_off_face = dvec3(0.0, 0.0, 0.2).dot(normal);
    assert!((steps_mm(0.2, normal.z) - corner_off_face).abs() < 1e-12);
    let stepped = Reach::Stepped(DVec3::ZERO);
    assert_eq!(stepped.with_steps(0.2, normal.z, 0.1), stepped);
    assert_eq!(
        stepped.with_steps(0.1, normal.z, 0.1),
        Reach::Finished(DVec3::ZERO)
    );
    assert_eq!(Reach::Unreached.with_steps(0.0, 1.0, 1.0), Reach::Unreached);
}
