//! Splines, extrusions, revolutions and offsets against closed forms, and recognition.

use crate::build::{Builder, around, back, frame, upright};
use glam::DVec3;
use std::f64::consts::{FRAC_1_SQRT_2, PI, TAU};
use step::brep::{BSplineCurve, BSplineSurface, Curve, Loop, Solid, Surface};
use step::tessellate::{SurfaceKind, TessellationOptions, tessellate};

/// Full circle as a rational quadratic of nine points (The NURBS Book, section 7.5).
fn nurbs_circle(radius: f64, z: f64) -> BSplineCurve {
    let corner = [
        (1., 0.),
        (1., 1.),
        (0., 1.),
        (-1., 1.),
        (-1., 0.),
        (-1., -1.),
        (0., -1.),
        (1., -1.),
        (1., 0.),
    ];
    BSplineCurve {
        degree: 2,
        points: corner
            .iter()
            .map(|(x, y)| DVec3::new(x * radius, y * radius, z))
            .collect(),
        weights: Some(
            (0..9)
                .map(|i| if i % 2 == 1 { FRAC_1_SQRT_2 } else { 1.0 })
                .collect(),
        ),
        knots: vec![0., 0., 0., 1., 1., 2., 2., 3., 3., 4., 4., 4.],
        closed: true,
    }
}

/// Tube of changing radius between stacked circles: a rational surface closed in u.
fn nurbs_tube(stack: &[(f64, f64)], v_degree: usize) -> BSplineSurface {
    let rings: Vec<BSplineCurve> = stack.iter().map(|&(r, z)| nurbs_circle(r, z)).collect();
    let n = stack.len();
    let weights = rings[0].weights.clone().expect("rational");
    let mut v_knots = vec![0.0; v_degree + 1];
    v_knots.extend((1..n - v_degree).map(|i| i as f64));
    v_knots.extend(vec![(n - v_degree) as f64; v_degree + 1]);
    BSplineSurface {
        u_degree: 2,
        v_degree,
        u_count: 9,
        v_count: n,
        points: (0..9)
            .flat_map(|i| rings.iter().map(move |r| r.points[i]))
            .collect(),
        weights: Some((0..9).flat_map(|i| vec![weights[i]; n]).collect()),
        u_knots: rings[0].knots.clone(),
        v_knots,
    }
}

fn capped(
    surface: Surface,
    low: (f64, f64),
    high: (f64, f64),
    outward: bool,
    spline_rims: bool,
) -> Solid {
    let mut b = Builder::default();
    let rim = |b: &mut Builder, (r, z): (f64, f64)| {
        if spline_rims {
            let v = b.vertex(DVec3::new(r, 0., z));
            b.edge(v, v, Curve::BSpline(nurbs_circle(r, z)))
        } else {
            b.circle(upright(DVec3::new(0., 0., z)), r)
        }
    };
    let (a, c) = (rim(&mut b, low), rim(&mut b, high));
    b.face(
        surface,
        outward,
        vec![around(&[a as isize]), around(&[back(c)])],
    );
    b.face(
        Surface::Plane {
            frame: upright(DVec3::new(0., 0., low.1)),
        },
        false,
        vec![around(&[back(a)])],
    );
    b.face(
        Surface::Plane {
            frame: upright(DVec3::new(0., 0., high.1)),
        },
        true,
        vec![around(&[c as isize])],
    );
    b.solid()
}

fn measure(name: &str, solid: &Solid, volume: f64, tolerance: f64) -> step::tessellate::SolidMesh {
    let m = tessellate(solid, &TessellationOptions::default(), &|| false).expect("not cancelled");
    assert!(m.reservations.is_empty(), "{name}: {:?}", m.reservations);
    assert!(m.closure.watertight(), "{name}: {:?}", m.closure);
    let off = (m.volume_mm3 - volume) / volume;
    assert!(
        off.abs() <= tolerance,
        "{name}: {} instead of {volume}, off by {off:e}",
        m.volume_mm3
    );
    let mesh = (m.mesh.volume_mm3() - volume).abs();
    assert!(
        mesh <= 1.5 * m.chord_mm * m.area_mm2,
        "{name}: mesh off by {mesh}"
    );
    m
}

#[test]
fn spline_cylinder_and_cone_are_recognised() {
    let tube = Surface::BSpline(Box::new(nurbs_tube(&[(3., 0.), (3., 10.)], 1)));
    for spline_rims in [true, false] {
        let m = measure(
            "spline cylinder",
            &capped(tube.clone(), (3., 0.), (3., 10.), true, spline_rims),
            90.0 * PI,
            1e-10,
        );
        let side = m.faces[0].clone().expect("side");
        let SurfaceKind::Cylinder {
            radius_mm, axis, ..
        } = side.surface
        else {
            panic!("{side:?}")
        };
        assert!((radius_mm - 3.0).abs() < 3e-9 && axis.z.abs() > 1.0 - 1e-12);
        assert_eq!(side.convex, Some(true));
    }
    let tube = Surface::BSpline(Box::new(nurbs_tube(&[(4., 0.), (1., 9.)], 1)));
    let m = measure(
        "spline cone",
        &capped(tube, (4., 0.), (1., 9.), true, true),
        3.0 * PI * 21.0,
        1e-10,
    );
    let SurfaceKind::Cone {
        apex,
        half_angle_rad,
        ..
    } = m.faces[0].clone().expect("side").surface
    else {
        panic!("not a cone")
    };
    assert!(
        (half_angle_rad.tan() - 1.0 / 3.0).abs() < 1e-8
            && apex.distance(DVec3::new(0., 0., 12.)) < 1e-7
    );
}

/// Volume of a tube whose radius and height are Bezier polynomials of the same parameter.
fn bezier_volume(stack: &[(f64, f64)]) -> f64 {
    let n = stack.len() - 1;
    let binomial =
        |n: usize, k: usize| (0..k).fold(1.0, |b, i| b * (n - i) as f64 / (i + 1) as f64);
    let bern = |t: f64, f: &dyn Fn(usize) -> f64, n: usize| -> f64 {
        (0..=n)
            .map(|k| binomial(n, k) * t.powi(k as i32) * (1. - t).powi((n - k) as i32) * f(k))
            .sum()
    };
    // 200 Simpson panels on a polynomial of degree 3 n - 1 are exact to rounding here.
    let steps = 2000;
    let f = |t: f64| {
        let r = bern(t, &|k| stack[k].0, n);
        let dz = bern(t, &|k| n as f64 * (stack[k + 1].1 - stack[k].1), n - 1);
        PI * r * r * dz
    };
    let h = 1.0 / f64::from(steps);
    (0..steps)
        .map(|i| {
            let a = f64::from(i) * h;
            h / 6.0 * (f(a) + 4.0 * f(a + 0.5 * h) + f(a + h))
        })
        .sum()
}

#[test]
fn vase_as_spline_and_as_revolution() {
    let stack = [(3., 0.), (6., 3.), (1., 6.), (2.5, 10.)];
    let volume = bezier_volume(&stack);
    let spline = Surface::BSpline(Box::new(nurbs_tube(&stack, 3)));
    let m = measure(
        "vase",
        &capped(spline, stack[0], stack[3], true, true),
        volume,
        1e-9,
    );
    assert_eq!(
        m.faces[0].as_ref().map(|f| f.surface),
        Some(SurfaceKind::BSpline)
    );
    let profile = Curve::BSpline(BSplineCurve {
        degree: 3,
        points: stack.iter().map(|&(r, z)| DVec3::new(r, 0., z)).collect(),
        weights: None,
        knots: vec![0., 0., 0., 0., 1., 1., 1., 1.],
        closed: false,
    });
    let turned = Surface::Revolution {
        curve: Box::new(profile),
        origin: DVec3::ZERO,
        axis: DVec3::Z,
    };
    let m2 = measure(
        "turned vase",
        &capped(turned, stack[0], stack[3], true, false),
        volume,
        1e-9,
    );
    assert!(
        (m.area_mm2 / m2.area_mm2 - 1.0).abs() < 1e-8,
        "{} {}",
        m.area_mm2,
        m2.area_mm2
    );
}

#[test]
fn extruded_ellipse() {
    let f = upright(DVec3::ZERO);
    let up = frame(DVec3::new(0., 0., 7.), DVec3::Z, DVec3::X);
    let wall = Surface::Extrusion {
        curve: Box::new(Curve::Ellipse {
            frame: f,
            rx: 5.0,
            ry: 3.0,
        }),
        direction: DVec3::new(0., 0., 2.),
    };
    let mut b = Builder::default();
    let (s, e) = (
        b.vertex(DVec3::new(5., 0., 0.)),
        b.vertex(DVec3::new(5., 0., 7.)),
    );
    let low = b.edge(
        s,
        s,
        Curve::Ellipse {
            frame: f,
            rx: 5.0,
            ry: 3.0,
        },
    );
    let high = b.edge(
        e,
        e,
        Curve::Ellipse {
            frame: up,
            rx: 5.0,
            ry: 3.0,
        },
    );
    b.face(
        wall,
        true,
        vec![around(&[low as isize]), around(&[back(high)])],
    );
    b.face(
        Surface::Plane { frame: f },
        false,
        vec![around(&[back(low)])],
    );
    b.face(
        Surface::Plane { frame: up },
        true,
        vec![around(&[high as isize])],
    );
    measure("ellipse", &b.solid(), PI * 15.0 * 7.0, 1e-10);
}

/// Half a circle as a rational quadratic, turned about its own diameter: a sphere with collapsed
/// rows at both poles.
fn nurbs_sphere(radius: f64) -> BSplineSurface {
    let ring = nurbs_circle(1.0, 0.0);
    let profile = [
        (0., -1., 1.),
        (1., -1., FRAC_1_SQRT_2),
        (1., 0., 1.),
        (1., 1., FRAC_1_SQRT_2),
        (0., 1., 1.),
    ];
    let w = ring.weights.clone().expect("rational");
    BSplineSurface {
        u_degree: 2,
        v_degree: 2,
        u_count: 9,
        v_count: 5,
        points: (0..9)
            .flat_map(|i| {
                let c = ring.points[i];
                profile.map(|(r, z, _)| radius * DVec3::new(c.x * r, c.y * r, z))
            })
            .collect(),
        weights: Some((0..9).flat_map(|i| profile.map(|p| p.2 * w[i])).collect()),
        u_knots: ring.knots,
        v_knots: vec![0., 0., 0., 1., 1., 2., 2., 2.],
    }
}

#[test]
fn spline_sphere_with_collapsed_poles() {
    // Recognised as a sphere.
    let mut b = Builder::default();
    b.face(Surface::BSpline(Box::new(nurbs_sphere(4.0))), true, vec![]);
    let m = measure("spline sphere", &b.solid(), 256.0 * PI / 3.0, 1e-9);
    assert!(matches!(
        m.faces[0].as_ref().map(|f| f.surface),
        Some(SurfaceKind::Sphere { .. })
    ));
    // Squashed to an ellipsoid it stays a spline, with two poles.
    let mut s = nurbs_sphere(4.0);
    for p in &mut s.points {
        p.z *= 0.5;
        p.x *= 1.25;
    }
    let mut b = Builder::default();
    b.face(Surface::BSpline(Box::new(s.clone())), true, vec![]);
    let m = measure(
        "ellipsoid",
        &b.solid(),
        4.0 / 3.0 * PI * 5.0 * 4.0 * 2.0,
        1e-9,
    );
    assert!((m.reach(DVec3::X) - 5.0).abs() < 1e-6 && (m.reach(DVec3::Z) - 2.0).abs() < 1e-6);
    // Upper half only: one ring, one pole inside.
    let mut b = Builder::default();
    let v = b.vertex(DVec3::new(5., 0., 0.));
    let rim = b.edge(
        v,
        v,
        Curve::Ellipse {
            frame: upright(DVec3::ZERO),
            rx: 5.0,
            ry: 4.0,
        },
    );
    b.face(
        Surface::BSpline(Box::new(s)),
        true,
        vec![around(&[rim as isize])],
    );
    b.face(
        Surface::Plane {
            frame: upright(DVec3::ZERO),
        },
        false,
        vec![around(&[back(rim)])],
    );
    measure(
        "half ellipsoid",
        &b.solid(),
        2.0 / 3.0 * PI * 5.0 * 4.0 * 2.0,
        1e-9,
    );
}

#[test]
fn revolved_circle_is_a_torus_and_offsets_stay_elementary() {
    let circle = Curve::Circle {
        frame: frame(DVec3::new(5., 0., 0.), -DVec3::Y, DVec3::X),
        radius: 2.0,
    };
    let ring = Surface::Revolution {
        curve: Box::new(circle),
        origin: DVec3::ZERO,
        axis: DVec3::Z,
    };
    let mut b = Builder::default();
    b.face(ring, true, vec![]);
    let m = measure("revolved circle", &b.solid(), TAU * 5.0 * PI * 4.0, 1e-10);
    assert!(matches!(
        m.faces[0].as_ref().map(|f| f.surface),
        Some(SurfaceKind::Torus { .. })
    ));
    let base = Surface::Sphere {
        frame: upright(DVec3::ZERO),
        radius: 3.0,
    };
    let mut b = Builder::default();
    b.face(
        Surface::Offset {
            basis: Box::new(base),
            distance: 1.0,
        },
        true,
        vec![],
    );
    measure("offset sphere", &b.solid(), 256.0 / 3.0 * PI, 1e-10);
}

#[test]
fn inside_out_solid_is_turned() {
    let mut b = Builder::default();
    b.face(
        Surface::Sphere {
            frame: upright(DVec3::ZERO),
            radius: 2.0,
        },
        false,
        Vec::<Loop>::new(),
    );
    let m =
        tessellate(&b.solid(), &TessellationOptions::default(), &|| false).expect("not cancelled");
    assert!(m.inside_out && m.volume_mm3 > 0.0 && m.mesh.volume_mm3() > 0.0);
}
