//! Files that are not as they should be: wrong flags, gaps, unshared edges, missing pieces.

use crate::build::{Builder, around, back, frame, upright};
use glam::{DMat4, DVec3};
use std::f64::consts::{PI, TAU};
use step::brep::{Brep, Curve, Edge, EdgeUse, Frame, Loop, Solid, Surface};
use step::tessellate::{SolidMesh, TessellationOptions, tessellate};
use step::{Model, SurfaceKind};

fn run(solid: &Solid) -> SolidMesh {
    tessellate(solid, &TessellationOptions::default(), &|| false).expect("not cancelled")
}

fn model(solid: Solid) -> Model {
    let brep = Brep {
        solids: vec![solid],
        ..Brep::default()
    };
    Model::build(brep, &TessellationOptions::default(), &|| false).expect("not cancelled")
}

/// Plate 20 x 10 x 2 with four holes of radius 1; `spoil` changes the top face's loops.
fn plate(spoil: impl Fn(&mut Vec<Loop>)) -> Solid {
    let mut b = Builder::default();
    let at = |i: usize| DVec3::new(4.0 + 4.0 * i as f64, 5.0, 0.0);
    let rims: Vec<(usize, usize)> = (0..4)
        .map(|i| {
            (
                b.circle(upright(at(i)), 1.0),
                b.circle(upright(at(i) + 2.0 * DVec3::Z), 1.0),
            )
        })
        .collect();
    let p = |x: f64, y: f64, z: f64| DVec3::new(20.0 * x, 10.0 * y, 2.0 * z);
    let ring = |z: f64| [p(0., 0., z), p(1., 0., z), p(1., 1., z), p(0., 1., z)];
    let (low, high) = (ring(0.0), ring(1.0));
    let bottom: Vec<DVec3> = low.iter().rev().copied().collect();
    b.polygon(
        &bottom,
        rims.iter().map(|r| around(&[r.0 as isize])).collect(),
    );
    b.polygon(&high, rims.iter().map(|r| around(&[back(r.1)])).collect());
    spoil(&mut b.faces[1].loops);
    for i in 0..4 {
        let j = (i + 1) % 4;
        b.polygon(&[low[i], low[j], high[j], high[i]], vec![]);
    }
    for (i, r) in rims.iter().enumerate() {
        let wall = Surface::Cylinder {
            frame: upright(at(i)),
            radius: 1.0,
        };
        b.face(
            wall,
            false,
            vec![around(&[back(r.0)]), around(&[r.1 as isize])],
        );
    }
    b.solid()
}

const PLATE_VOLUME: f64 = 400.0 - 8.0 * PI;

#[test]
fn outer_flags_and_order_of_loops_do_not_matter() {
    for turn in 0..5 {
        let mut solid = plate(|loops| loops.rotate_left(turn));
        solid.faces[1].outer = Some(turn % 3);
        let m = run(&solid);
        assert!(
            m.closure.watertight() && m.reservations.is_empty(),
            "{turn}: {:?}",
            m.reservations
        );
        assert!(
            (m.volume_mm3 - PLATE_VOLUME).abs() < 1e-9,
            "{turn}: {}",
            m.volume_mm3
        );
    }
}

#[test]
fn holes_turned_the_wrong_way_are_turned_back_and_said() {
    let solid = plate(|loops| {
        if let Loop::Edges(list) = &mut loops[2] {
            list.iter_mut().for_each(|u| u.forward = !u.forward);
        }
    });
    let m = run(&solid);
    assert!(m.closure.watertight());
    assert!((m.volume_mm3 - PLATE_VOLUME).abs() < 1e-9);
    assert!(
        m.reservations[0].text.contains("wrong way round"),
        "{:?}",
        m.reservations
    );
}

#[test]
fn vertices_off_their_curves_leave_no_gap() {
    let mut solid = plate(|_| {});
    for (i, v) in solid.vertices.iter_mut().enumerate() {
        *v += 2e-4
            * DVec3::new(
                (i as f64).sin(),
                (1.7 * i as f64).cos(),
                (0.3 * i as f64).sin(),
            );
    }
    solid.uncertainty_mm = Some(1e-3);
    let m = run(&solid);
    assert!(
        m.closure.watertight(),
        "{:?} {:?}",
        m.closure,
        m.reservations
    );
    assert!(
        (m.volume_mm3 / PLATE_VOLUME - 1.0).abs() < 1e-4,
        "{}",
        m.volume_mm3
    );
}

/// Every face gets vertices and edges of its own, `gap_mm` off the shared ones.
fn unshared(solid: &Solid, gap_mm: f64) -> Solid {
    let mut out = Solid {
        vertices: vec![],
        edges: vec![],
        ..solid.clone()
    };
    for (k, face) in out.faces.iter_mut().enumerate() {
        let shift = gap_mm * DVec3::new((k as f64).cos(), (k as f64).sin(), 0.5);
        for l in &mut face.loops {
            let Loop::Edges(list) = l else { continue };
            for u in list {
                let e = &solid.edges[u.edge];
                let start = out.vertices.len();
                out.vertices.push(solid.vertices[e.start] + shift);
                let end = if e.start == e.end {
                    start
                } else {
                    out.vertices.push(solid.vertices[e.end] + shift);
                    start + 1
                };
                // Half of them run the other way, as other faces would have written them.
                let turned = k % 2 == 1;
                let (start, end) = if turned { (end, start) } else { (start, end) };
                let same_sense = e.same_sense != turned;
                out.edges.push(Edge {
                    start,
                    end,
                    same_sense,
                    ..e.clone()
                });
                *u = EdgeUse {
                    edge: out.edges.len() - 1,
                    forward: u.forward != turned,
                };
            }
        }
    }
    out
}

#[test]
fn faces_that_share_nothing_are_sewn() {
    for gap_mm in [0.0, 2e-4] {
        let mut solid = unshared(&plate(|_| {}), gap_mm);
        solid.uncertainty_mm = Some(1e-3);
        let m = run(&solid);
        assert!(
            m.closure.watertight(),
            "{gap_mm}: {:?} {:?}",
            m.closure,
            m.reservations
        );
        assert!(
            (m.volume_mm3 / PLATE_VOLUME - 1.0).abs() < 1e-4,
            "{}",
            m.volume_mm3
        );
    }
}

#[test]
fn a_missing_face_is_named_and_its_area_said() {
    let mut solid = plate(|_| {});
    solid.faces[0].surface = Surface::Cylinder {
        frame: upright(DVec3::ZERO),
        radius: f64::NAN,
    };
    let m = model(solid);
    assert!(!m.watertight());
    let text: Vec<&str> = m.reservations.iter().map(|r| r.text.as_str()).collect();
    assert!(
        text.iter().any(|t| t.starts_with("left out: radius NaN")),
        "{text:?}"
    );
    assert!(text.iter().any(|t| t.contains("are missing")), "{text:?}");
    assert!(
        text.iter().any(|t| t.contains("does not close")),
        "{text:?}"
    );
    assert!(
        m.reservations
            .iter()
            .any(|r| r.loses_geometry && r.entity == Some(2000))
    );
    // The rectangle with its holes, whose boundary is known.
    assert!((m.solids[0].missing_area_mm2 - (200.0 - 4.0 * PI)).abs() < 0.1);
}

#[test]
fn indices_out_of_range_are_no_panic() {
    let mut solid = plate(|_| {});
    solid.faces[1].loops.push(around(&[9999]));
    solid.faces[2].loops = vec![Loop::Vertex(777), Loop::Poly(vec![1, 2, 888])];
    solid.edges[3].end = 555;
    let m = run(&solid);
    assert!(!m.closure.watertight() && m.reservations.len() >= 3);
}

#[test]
fn mirrored_and_scaled_placements() {
    let mut solid = plate(|_| {});
    solid.placements = vec![
        DMat4::IDENTITY,
        DMat4::from_scale(DVec3::new(-1.0, 1.0, 1.0)),
        DMat4::from_translation(DVec3::new(0., 0., 50.)) * DMat4::from_scale(DVec3::splat(2.0)),
    ];
    let m = model(solid);
    assert_eq!((m.solid_count(), m.face_count()), (3, 30));
    assert!((m.volume_mm3() / PLATE_VOLUME - 10.0).abs() < 1e-9);
    let mesh = m.mesh();
    assert!(mesh.closure().watertight());
    // Were the mirrored copy inside out, its volume would count against the others.
    assert!((mesh.volume_mm3() / PLATE_VOLUME - 10.0).abs() < 0.01);
    let [lo, hi] = m.bounds_mm().expect("not empty");
    assert!(lo.distance(DVec3::new(-20., 0., 0.)) < 1e-9, "{lo}");
    assert!(hi.distance(DVec3::new(40., 20., 54.)) < 1e-9, "{hi}");
    let hole = m.solids[0].faces[6]
        .clone()
        .expect("hole")
        .placed(&m.solids[0].placements[2]);
    let SurfaceKind::Cylinder { radius_mm, .. } = hole.surface else {
        panic!("{hole:?}")
    };
    assert!((radius_mm - 2.0).abs() < 1e-12 && hole.convex == Some(false));
}

#[test]
fn stated_properties_that_disagree_are_said() {
    let mut solid = plate(|_| {});
    solid.stated.volume_mm3 = Some(PLATE_VOLUME * 1.0005);
    solid.stated.area_mm2 = Some(1.0);
    solid.stated.centroid_mm = Some(DVec3::new(10.0, 5.0, 1.0));
    let m = model(solid);
    assert_eq!(m.reservations.len(), 1, "{:?}", m.reservations);
    assert!(
        m.reservations[0]
            .text
            .starts_with("the file states an area of 1.000000 mm^2")
    );
}

#[test]
fn edges_of_no_length_and_against_their_curves() {
    // A cylinder whose loops pass through a zero-length edge and whose rim runs against its circle.
    let mut b = Builder::default();
    let low = b.circle(upright(DVec3::ZERO), 3.0);
    let down = frame(DVec3::new(0., 0., 10.), -DVec3::Z, DVec3::X);
    let high = b.circle(down, 3.0);
    b.edges[high].same_sense = false;
    let v = b.edges[low].start;
    let dot = b.edge(
        v,
        v,
        Curve::Line {
            origin: DVec3::new(3., 0., 0.),
            direction: DVec3::Y,
        },
    );
    let side = vec![around(&[low as isize, dot as isize]), around(&[back(high)])];
    b.face(
        Surface::Cylinder {
            frame: upright(DVec3::ZERO),
            radius: 3.0,
        },
        true,
        side,
    );
    b.face(
        Surface::Plane {
            frame: upright(DVec3::ZERO),
        },
        false,
        vec![around(&[back(low)])],
    );
    let top: Frame = upright(DVec3::new(0., 0., 10.));
    b.face(
        Surface::Plane { frame: top },
        true,
        vec![around(&[high as isize])],
    );
    let m = run(&b.solid());
    assert!(
        m.closure.watertight() && m.reservations.is_empty(),
        "{:?}",
        m.reservations
    );
    assert!((m.volume_mm3 / (90.0 * PI) - 1.0).abs() < 1e-10);
    assert!((m.area_mm2 / (TAU * 30.0 + TAU * 9.0) - 1.0).abs() < 1e-10);
}

#[test]
fn arcs_closer_than_their_chords_are_divided_until_they_clear() {
    // A hole that comes within 0.2 micrometres of the rim: coarse chords would cross.
    let mut b = Builder::default();
    let rim = |b: &mut Builder, z: f64| b.circle(upright(DVec3::new(0., 0., z)), 10.0);
    let (low, high) = (rim(&mut b, 0.0), rim(&mut b, 1.0));
    let x = 10.0 - 4.0 - 2e-4;
    let hole = |b: &mut Builder, z: f64| {
        // Starts where it is farthest from the rim, so that no vertex helps.
        b.circle(frame(DVec3::new(x, 0., z), DVec3::Z, -DVec3::X), 4.0)
    };
    let (hole_low, hole_high) = (hole(&mut b, 0.0), hole(&mut b, 1.0));
    let flat = |z: f64| Surface::Plane {
        frame: upright(DVec3::new(0., 0., z)),
    };
    b.face(
        flat(0.0),
        false,
        vec![around(&[back(low)]), around(&[hole_low as isize])],
    );
    b.face(
        flat(1.0),
        true,
        vec![around(&[high as isize]), around(&[back(hole_high)])],
    );
    let wall = Surface::Cylinder {
        frame: upright(DVec3::ZERO),
        radius: 10.0,
    };
    b.face(
        wall,
        true,
        vec![around(&[low as isize]), around(&[back(high)])],
    );
    let inner = Surface::Cylinder {
        frame: upright(DVec3::new(x, 0., 0.)),
        radius: 4.0,
    };
    b.face(
        inner,
        false,
        vec![around(&[back(hole_low)]), around(&[hole_high as isize])],
    );
    let m = run(&b.solid());
    assert!(
        m.closure.watertight() && m.reservations.is_empty(),
        "{:?}",
        m.reservations
    );
    assert!(
        (m.volume_mm3 / (84.0 * PI) - 1.0).abs() < 1e-10,
        "{}",
        m.volume_mm3
    );
    assert!((m.mesh.volume_mm3() / m.volume_mm3 - 1.0).abs() < 0.01);
}
