//! Solids with closed forms, in every way their faces can be bounded.

use crate::build::{Builder, around, back, frame, upright};
use glam::DVec3;
use std::f64::consts::{PI, TAU};
use step::brep::{Curve, EdgeUse, Loop, Solid, Surface};
use step::tessellate::{SolidMesh, SurfaceKind, TessellationOptions, tessellate};

/// Gauss sums on smooth pieces are exact to rounding; 1e-10 leaves room for cancellation.
const EXACT: f64 = 1e-10;

fn run(solid: &Solid) -> SolidMesh {
    run_with(solid, TessellationOptions::default())
}

fn run_with(solid: &Solid, options: TessellationOptions) -> SolidMesh {
    tessellate(solid, &options, &|| false).expect("not cancelled")
}

/// Exact values, closure, and a mesh whose volume follows the chord tolerance.
fn check(name: &str, solid: &Solid, volume: f64, area: f64) -> SolidMesh {
    let m = run(solid);
    assert!(m.reservations.is_empty(), "{name}: {:?}", m.reservations);
    assert!(m.closure.watertight(), "{name}: {:?}", m.closure);
    let close = |what: &str, got: f64, want: f64, tolerance: f64| {
        assert!(
            (got - want).abs() <= tolerance * want.abs(),
            "{name}: {what} {got} instead of {want}, off by {:e}",
            (got - want) / want
        );
    };
    close("volume", m.volume_mm3, volume, EXACT);
    close("area", m.area_mm2, area, EXACT);
    // A chord takes at most its tolerance off every point of the surface.
    let slack = 2.0 * m.chord_mm * area / volume + 1e-9;
    close("mesh volume", m.mesh.volume_mm3(), volume, slack);
    m
}

fn cuboid(b: &mut Builder, lo: DVec3, hi: DVec3, top_holes: Vec<Loop>, bottom_holes: Vec<Loop>) {
    let p = |x: f64, y: f64, z: f64| lo + (hi - lo) * DVec3::new(x, y, z);
    let (a, c, d, e) = (p(0., 0., 0.), p(1., 0., 0.), p(1., 1., 0.), p(0., 1., 0.));
    let (f, g, h, k) = (p(0., 0., 1.), p(1., 0., 1.), p(1., 1., 1.), p(0., 1., 1.));
    b.polygon(&[a, e, d, c], bottom_holes);
    b.polygon(&[f, g, h, k], top_holes);
    b.polygon(&[a, c, g, f], vec![]);
    b.polygon(&[c, d, h, g], vec![]);
    b.polygon(&[d, e, k, h], vec![]);
    b.polygon(&[e, a, f, k], vec![]);
}

#[test]
fn box_is_exact() {
    let mut b = Builder::default();
    cuboid(
        &mut b,
        DVec3::new(-1., 2., 3.),
        DVec3::new(9., 7., 5.),
        vec![],
        vec![],
    );
    let m = check("box", &b.solid(), 100.0, 2.0 * (50.0 + 20.0 + 10.0));
    assert_eq!(m.mesh.triangles.len(), 12);
    assert!((m.centroid_mm - DVec3::new(4., 4.5, 4.)).length() < 1e-12);
}

/// Cylinder of radius 3 and height 10, its side with or without a seam edge.
fn cylinder(seam: bool) -> Solid {
    let mut b = Builder::default();
    let low = b.circle(upright(DVec3::ZERO), 3.0);
    let high = b.circle(upright(DVec3::new(0., 0., 10.)), 3.0);
    let side = if seam {
        let s = b.line(DVec3::new(3., 0., 0.), DVec3::new(3., 0., 10.)).edge;
        vec![around(&[low as isize, s as isize, back(high), back(s)])]
    } else {
        vec![around(&[low as isize]), around(&[back(high)])]
    };
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
    let top = upright(DVec3::new(0., 0., 10.));
    b.face(
        Surface::Plane { frame: top },
        true,
        vec![around(&[high as isize])],
    );
    b.solid()
}

#[test]
fn cylinder_with_and_without_seam() {
    for seam in [true, false] {
        let m = check(
            "cylinder",
            &cylinder(seam),
            PI * 90.0,
            TAU * 3.0 * 10.0 + TAU * 9.0,
        );
        let side = m.faces[0].clone().expect("side face");
        let SurfaceKind::Cylinder { radius_mm, .. } = side.surface else {
            panic!("{side:?}")
        };
        assert_eq!(radius_mm, 3.0);
        assert_eq!(side.convex, Some(true));
        assert!((side.sweep_rad - TAU).abs() < 1e-9);
        for d in [DVec3::X, DVec3::Y, -DVec3::X, DVec3::new(0.6, 0.8, 0.)] {
            assert!((m.reach(d) - 3.0).abs() < 1e-9, "{}", m.reach(d));
        }
    }
}

#[test]
fn block_with_a_hole_through() {
    let mut b = Builder::default();
    let low = b.circle(upright(DVec3::new(5., 5., 0.)), 2.0);
    let high = b.circle(upright(DVec3::new(5., 5., 4.)), 2.0);
    cuboid(
        &mut b,
        DVec3::ZERO,
        DVec3::new(12., 10., 4.),
        vec![around(&[back(high)])],
        vec![around(&[low as isize])],
    );
    let wall = Surface::Cylinder {
        frame: upright(DVec3::new(5., 5., -7.)),
        radius: 2.0,
    };
    b.face(
        wall,
        false,
        vec![around(&[back(low)]), around(&[high as isize])],
    );
    let volume = 480.0 - PI * 16.0;
    let area = 2.0 * (120.0 + 48.0 + 40.0) - TAU * 4.0 + TAU * 8.0;
    let m = check("hole", &b.solid(), volume, area);
    assert_eq!(m.faces[6].as_ref().and_then(|f| f.convex), Some(false));
}

fn sphere(loops: Vec<Loop>, b: Builder) -> Solid {
    let mut b = b;
    b.face(
        Surface::Sphere {
            frame: upright(DVec3::new(1., 2., 3.)),
            radius: 5.0,
        },
        true,
        loops,
    );
    b.solid()
}

#[test]
fn whole_sphere_however_bounded() {
    let (volume, area) = (500.0 * PI / 3.0, 100.0 * PI);
    check(
        "sphere without bounds",
        &sphere(vec![], Builder::default()),
        volume,
        area,
    );
    let mut b = Builder::default();
    let pole = b.vertex(DVec3::new(1., 2., -2.));
    check(
        "sphere with a vertex",
        &sphere(vec![Loop::Vertex(pole)], b),
        volume,
        area,
    );
    let mut b = Builder::default();
    let (s, n) = (
        b.vertex(DVec3::new(1., 2., -2.)),
        b.vertex(DVec3::new(1., 2., 8.)),
    );
    let f = frame(DVec3::new(1., 2., 3.), -DVec3::Y, DVec3::X);
    let seam = b.edge(
        s,
        n,
        Curve::Circle {
            frame: f,
            radius: 5.0,
        },
    );
    let m = check(
        "sphere with a seam",
        &sphere(vec![around(&[seam as isize, back(seam)])], b),
        volume,
        area,
    );
    assert!((m.centroid_mm - DVec3::new(1., 2., 3.)).length() < 1e-9);
    assert!((m.reach(DVec3::new(0.36, 0.48, 0.8)) - (0.36 + 0.96 + 2.4 + 5.0)).abs() < 1e-9);
}

#[test]
fn sphere_octant_with_a_corner_at_the_pole() {
    let mut b = Builder::default();
    let o = DVec3::ZERO;
    let [x, y, z] = [DVec3::X, DVec3::Y, DVec3::Z].map(|d| b.vertex(4.0 * d));
    let arc = |b: &mut Builder, s: usize, e: usize, axis: DVec3, from: DVec3| {
        b.edge(
            s,
            e,
            Curve::Circle {
                frame: frame(o, axis, from),
                radius: 4.0,
            },
        )
    };
    let xy = arc(&mut b, x, y, DVec3::Z, DVec3::X);
    let yz = arc(&mut b, y, z, DVec3::X, DVec3::Y);
    let zx = arc(&mut b, z, x, DVec3::Y, DVec3::Z);
    b.face(
        Surface::Sphere {
            frame: upright(o),
            radius: 4.0,
        },
        true,
        vec![around(&[xy as isize, yz as isize, zx as isize])],
    );
    let mut flat = |axis: DVec3, arc: usize, from: DVec3, to: DVec3| {
        let (a, c) = (b.line(o, from), b.line(to, o));
        let uses = vec![
            EdgeUse {
                edge: c.edge,
                forward: !c.forward,
            },
            EdgeUse {
                edge: arc,
                forward: false,
            },
            EdgeUse {
                edge: a.edge,
                forward: !a.forward,
            },
        ];
        b.face(
            Surface::Plane {
                frame: frame(o, -axis, from),
            },
            true,
            vec![Loop::Edges(uses)],
        );
    };
    flat(DVec3::Z, xy, 4.0 * DVec3::X, 4.0 * DVec3::Y);
    flat(DVec3::X, yz, 4.0 * DVec3::Y, 4.0 * DVec3::Z);
    flat(DVec3::Y, zx, 4.0 * DVec3::Z, 4.0 * DVec3::X);
    check("octant", &b.solid(), 32.0 * PI / 3.0, 8.0 * PI + 12.0 * PI);
}

#[test]
fn hemisphere_about_any_axis() {
    // The rim runs straight through the poles of the second frame.
    for axis in [
        DVec3::Z,
        DVec3::X,
        DVec3::new(1., 1., 0.),
        DVec3::new(1., 2., 3.),
    ] {
        let mut b = Builder::default();
        let rim = b.circle(upright(DVec3::ZERO), 2.0);
        let x = step::numeric::any_perpendicular(axis);
        let surface = Surface::Sphere {
            frame: frame(DVec3::ZERO, axis, x),
            radius: 2.0,
        };
        b.face(surface, true, vec![around(&[rim as isize])]);
        b.face(
            Surface::Plane {
                frame: upright(DVec3::ZERO),
            },
            false,
            vec![around(&[back(rim)])],
        );
        check(
            "hemisphere",
            &b.solid(),
            16.0 * PI / 3.0,
            8.0 * PI + 4.0 * PI,
        );
    }
}

#[test]
fn torus_whole_and_cut() {
    let surface = || Surface::Torus {
        frame: upright(DVec3::ZERO),
        major: 5.0,
        minor: 2.0,
        select_outer: true,
    };
    let (volume, area) = (2.0 * PI * PI * 5.0 * 4.0, 4.0 * PI * PI * 10.0);
    let mut b = Builder::default();
    b.face(surface(), true, vec![]);
    check("torus without bounds", &b.solid(), volume, area);
    // Two seams, each used twice.
    let mut b = Builder::default();
    let big = b.circle(upright(DVec3::ZERO), 7.0);
    let small = b.circle(frame(DVec3::new(5., 0., 0.), -DVec3::Y, DVec3::X), 2.0);
    b.face(
        surface(),
        true,
        vec![around(&[
            big as isize,
            small as isize,
            back(big),
            back(small),
        ])],
    );
    check("torus with seams", &b.solid(), volume, area);
    // Lower and upper half: rings about the axis.
    let mut b = Builder::default();
    let (outer, inner) = (
        b.circle(upright(DVec3::ZERO), 7.0),
        b.circle(upright(DVec3::ZERO), 3.0),
    );
    b.face(
        surface(),
        true,
        vec![around(&[outer as isize]), around(&[back(inner)])],
    );
    b.face(
        surface(),
        true,
        vec![around(&[back(outer)]), around(&[inner as isize])],
    );
    check("torus in two halves", &b.solid(), volume, area);
    // Quarter and three quarters: rings about the tube.
    let mut b = Builder::default();
    let one = b.circle(frame(DVec3::new(5., 0., 0.), -DVec3::Y, DVec3::X), 2.0);
    let two = b.circle(frame(DVec3::new(0., 5., 0.), DVec3::X, DVec3::Y), 2.0);
    b.face(
        surface(),
        true,
        vec![around(&[back(one)]), around(&[two as isize])],
    );
    b.face(
        surface(),
        true,
        vec![around(&[one as isize]), around(&[back(two)])],
    );
    check("torus in a quarter and the rest", &b.solid(), volume, area);
}

#[test]
fn spindle_torus_apple_and_lemon() {
    let (major, minor): (f64, f64) = (1.0, 2.0);
    // Pappus on the arc: the outer arc from the axis round to the axis, and what it leaves inside.
    let t = (-major / minor).acos();
    let outer_area = TAU * minor * (major * 2.0 * t + minor * 2.0 * t.sin());
    let disc = |t: f64| minor * minor * (t - t.sin() * t.cos());
    let cap = {
        // Part of the disc on the far side of the axis and its first moment about the axis.
        let a = PI - t;
        let (area, moment) = (disc(a), 2.0 / 3.0 * minor.powi(3) * a.sin().powi(3));
        TAU * (moment - major * area)
    };
    let inner_area = TAU * minor * (minor * 2.0 * t.sin() - major * 2.0 * (PI - t));
    let apple_volume = TAU * major * PI * minor * minor + cap;
    for (outer, volume, area) in [(true, apple_volume, outer_area), (false, cap, inner_area)] {
        let mut b = Builder::default();
        let surface = Surface::Torus {
            frame: upright(DVec3::ZERO),
            major,
            minor,
            select_outer: outer,
        };
        b.face(surface, true, vec![]);
        check("spindle torus", &b.solid(), volume, area);
    }
}

#[test]
fn cone_with_apex_and_frustum() {
    let half_angle = 0.5_f64.atan();
    let surface = Surface::Cone {
        frame: upright(DVec3::ZERO),
        radius: 1.0,
        half_angle,
    };
    // Tip at z = -2, rim at z = 4 with radius 3.
    for bounds in 0..3 {
        let mut b = Builder::default();
        let rim = b.circle(upright(DVec3::new(0., 0., 4.)), 3.0);
        let tip = b.vertex(DVec3::new(0., 0., -2.));
        let side = match bounds {
            0 => vec![around(&[back(rim)]), Loop::Vertex(tip)],
            1 => vec![around(&[back(rim)])],
            _ => {
                let s = b.line(DVec3::new(0., 0., -2.), DVec3::new(3., 0., 4.)).edge;
                vec![around(&[back(rim), back(s), s as isize])]
            }
        };
        b.face(surface.clone(), true, side);
        let top = upright(DVec3::new(0., 0., 4.));
        b.face(
            Surface::Plane { frame: top },
            true,
            vec![around(&[rim as isize])],
        );
        let slant = (36.0_f64 + 9.0).sqrt();
        check(
            "cone",
            &b.solid(),
            PI * 9.0 * 6.0 / 3.0,
            PI * 3.0 * slant + PI * 9.0,
        );
    }
    let mut b = Builder::default();
    let (low, high) = (
        b.circle(upright(DVec3::ZERO), 1.0),
        b.circle(upright(DVec3::new(0., 0., 4.)), 3.0),
    );
    b.face(
        surface,
        true,
        vec![around(&[low as isize]), around(&[back(high)])],
    );
    b.face(
        Surface::Plane {
            frame: upright(DVec3::ZERO),
        },
        false,
        vec![around(&[back(low)])],
    );
    let top = upright(DVec3::new(0., 0., 4.));
    b.face(
        Surface::Plane { frame: top },
        true,
        vec![around(&[high as isize])],
    );
    let m = check(
        "frustum",
        &b.solid(),
        PI * 4.0 / 3.0 * 13.0,
        PI * 4.0 * 20.0_f64.sqrt() + PI * 10.0,
    );
    let side = m.faces[0].clone().expect("side");
    assert!((side.along_mm[0] - 2.0).abs() < 1e-9 && (side.along_mm[1] - 6.0).abs() < 1e-9);
}

#[test]
fn cylinder_cut_at_a_slant() {
    // Plane z = 5 + x through a cylinder of radius 2: an ellipse all the way round.
    let mut b = Builder::default();
    let low = b.circle(upright(DVec3::ZERO), 2.0);
    let r = 8.0_f64.sqrt();
    let slant = frame(
        DVec3::new(0., 0., 5.),
        DVec3::new(-1., 0., 1.),
        DVec3::new(1., 0., 1.),
    );
    let v = b.vertex(DVec3::new(2., 0., 7.));
    let high = b.edge(
        v,
        v,
        Curve::Ellipse {
            frame: slant,
            rx: r,
            ry: 2.0,
        },
    );
    b.face(
        Surface::Cylinder {
            frame: upright(DVec3::ZERO),
            radius: 2.0,
        },
        true,
        vec![around(&[low as isize]), around(&[back(high)])],
    );
    b.face(
        Surface::Plane {
            frame: upright(DVec3::ZERO),
        },
        false,
        vec![around(&[back(low)])],
    );
    b.face(
        Surface::Plane { frame: slant },
        true,
        vec![around(&[high as isize])],
    );
    let m = check(
        "slanted cylinder",
        &b.solid(),
        PI * 20.0,
        PI * 20.0 + PI * 4.0 + PI * 2.0 * r,
    );
    assert!((m.reach(DVec3::Z) - 7.0).abs() < 1e-9);
}
