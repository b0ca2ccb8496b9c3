//! Laws of curves and surfaces: derivatives are slopes, closest points are closest, inversion
//! undoes evaluation.

use crate::build::frame;
use glam::{DVec2, DVec3};
use step::brep::{BSplineCurve, BSplineSurface, Curve, Surface};
use step::surfaces::chart::Chart;

fn spline_curve(rational: bool) -> Curve {
    let points: Vec<DVec3> = (0..7)
        .map(|i| {
            let t = f64::from(i);
            DVec3::new(2.0 * t, 3.0 * (1.3 * t).sin(), (0.7 * t).cos())
        })
        .collect();
    Curve::BSpline(BSplineCurve {
        degree: 3,
        weights: rational.then(|| (0..7).map(|i| 1.0 + 0.3 * f64::from(i % 3)).collect()),
        points,
        knots: vec![0., 0., 0., 0., 1., 2.5, 3., 4., 4., 4., 4.],
        closed: false,
    })
}

fn curves() -> Vec<(&'static str, Curve, [f64; 2])> {
    let f = frame(DVec3::new(1., -2., 0.5), DVec3::new(1., 2., 3.), DVec3::X);
    let conic = |t: [f64; 2], c: Curve, n| (n, c, t);
    let trimmed = Curve::Trimmed {
        basis: Box::new(Curve::Circle {
            frame: f,
            radius: 3.0,
        }),
        t0: 2.0,
        t1: 0.5,
        same_sense: false,
    };
    let composite = Curve::Composite {
        segments: vec![(spline_curve(false), true), (spline_curve(true), false)],
    };
    vec![
        conic(
            [-1., 2.],
            Curve::Line {
                origin: DVec3::ONE,
                direction: DVec3::new(1., 2., -1.),
            },
            "line",
        ),
        conic(
            [0., 6.],
            Curve::Circle {
                frame: f,
                radius: 3.0,
            },
            "circle",
        ),
        conic(
            [0., 6.],
            Curve::Ellipse {
                frame: f,
                rx: 3.0,
                ry: 1.0,
            },
            "ellipse",
        ),
        conic(
            [-2., 2.],
            Curve::Parabola {
                frame: f,
                focal: 0.7,
            },
            "parabola",
        ),
        conic(
            [-2., 2.],
            Curve::Hyperbola {
                frame: f,
                rx: 1.0,
                ry: 2.0,
            },
            "hyperbola",
        ),
        conic([0.1, 3.9], spline_curve(false), "spline"),
        conic([0.1, 3.9], spline_curve(true), "rational spline"),
        conic([0.1, 1.4], trimmed, "trimmed circle"),
        conic([0.1, 0.9], composite, "composite"),
        conic(
            [0.5, 5.5],
            Curve::Offset {
                basis: Box::new(Curve::Ellipse {
                    frame: f,
                    rx: 3.0,
                    ry: 2.0,
                }),
                distance: 0.4,
                reference: f.z,
            },
            "offset",
        ),
    ]
}

#[test]
fn curve_derivatives_are_slopes_and_closest_points_closest() {
    for (name, c, [a, b]) in curves() {
        assert_eq!(c.problem(), None, "{name}");
        for i in 0..=12 {
            let t = a + (b - a) * f64::from(i) / 12.0;
            let h = 1e-5;
            let [p, d1, d2] = c.eval(t, 2);
            let slope = (c.point(t + h) - c.point(t - h)) / (2.0 * h);
            let bend = (c.eval(t + h, 1)[1] - c.eval(t - h, 1)[1]) / (2.0 * h);
            // Central differences are off by h^2 times the next derivative, and by rounding / h.
            assert!(
                slope.distance(d1) < 1e-6 * (1.0 + d2.length()),
                "{name} at {t}: {slope} {d1}"
            );
            assert!(
                bend.distance(d2) < 1e-4 * (1.0 + d2.length()),
                "{name} at {t}: {bend} {d2}"
            );
            let found = c.point(c.closest(p));
            assert!(found.distance(p) < 1e-9, "{name} at {t}: {found} {p}");
            // Beside the curve nothing sampled may be nearer than what is found.
            let q = p + 0.3 * DVec3::new(0.3, -0.5, 0.8);
            let nearest = c.point(c.closest(q)).distance(q);
            for k in 0..=400 {
                let s = a + (b - a) * f64::from(k) / 400.0;
                assert!(c.point(s).distance(q) > nearest - 1e-9, "{name} at {t}");
            }
        }
    }
}

fn surfaces() -> Vec<(&'static str, Surface, [DVec2; 2])> {
    let f = frame(DVec3::new(1., -2., 0.5), DVec3::new(1., 2., 3.), DVec3::X);
    let area = |a: f64, b: f64, c: f64, d: f64| [DVec2::new(a, c), DVec2::new(b, d)];
    let net = BSplineSurface {
        u_degree: 3,
        v_degree: 2,
        u_count: 5,
        v_count: 4,
        points: (0..20)
            .map(|k| {
                let (i, j) = (f64::from(k / 4), f64::from(k % 4));
                DVec3::new(
                    3.0 * i,
                    2.0 * j,
                    (i * 0.9).sin() + 0.4 * (j * 1.3).cos() * i,
                )
            })
            .collect(),
        weights: Some((0..20).map(|k| 1.0 + 0.2 * f64::from(k % 3)).collect()),
        u_knots: vec![0., 0., 0., 0., 1., 2., 2., 2., 2.],
        v_knots: vec![0., 0., 0., 0.5, 1., 1., 1.],
    };
    let spline = Surface::BSpline(Box::new(net));
    vec![
        ("plane", Surface::Plane { frame: f }, area(-3., 4., -2., 5.)),
        (
            "cylinder",
            Surface::Cylinder {
                frame: f,
                radius: 2.0,
            },
            area(-3., 3., -2., 5.),
        ),
        (
            "cone",
            Surface::Cone {
                frame: f,
                radius: 2.0,
                half_angle: 0.4,
            },
            area(-3., 3., 0., 5.),
        ),
        (
            "sphere",
            Surface::Sphere {
                frame: f,
                radius: 2.0,
            },
            area(-3., 3., -1.4, 1.4),
        ),
        (
            "torus",
            Surface::Torus {
                frame: f,
                major: 5.0,
                minor: 2.0,
                select_outer: true,
            },
            area(-3., 3., -3., 3.),
        ),
        ("spline", spline.clone(), area(0.01, 1.99, 0.01, 0.99)),
        (
            "extrusion",
            Surface::Extrusion {
                curve: Box::new(spline_curve(true)),
                direction: DVec3::new(0.2, 0.3, 1.0),
            },
            area(0.1, 3.9, -2., 2.),
        ),
        (
            "revolution",
            Surface::Revolution {
                curve: Box::new(spline_curve(false)),
                origin: DVec3::new(0., -20., 0.),
                axis: DVec3::new(0.5, 0.1, 0.),
            },
            area(-3., 3., 0.1, 3.9),
        ),
        (
            "offset",
            Surface::Offset {
                basis: Box::new(spline),
                distance: 0.3,
            },
            area(0.1, 1.9, 0.05, 0.95),
        ),
    ]
}

#[test]
fn surface_derivatives_are_slopes_and_inversion_undoes_evaluation() {
    for (name, s, [lo, hi]) in surfaces() {
        assert_eq!(s.problem(), None, "{name}");
        let at = |i: i32, j: i32| lo + (hi - lo) * DVec2::new(f64::from(i), f64::from(j)) / 7.0;
        let some: Vec<DVec3> = (0..8)
            .map(|i| at(i, i))
            .map(|q| s.point(q.x, q.y))
            .collect();
        let chart = Chart::new(&s, true, &some, 1e-7).expect("usable");
        for (i, j) in (0..8).flat_map(|i| (0..8).map(move |j| (i, j))) {
            let q = at(i, j);
            let h = 1e-5;
            let g = s.eval(q.x, q.y, 2);
            let east = (s.point(q.x + h, q.y) - s.point(q.x - h, q.y)) / (2.0 * h);
            let north = (s.point(q.x, q.y + h) - s.point(q.x, q.y - h)) / (2.0 * h);
            let mixed = (s.eval(q.x, q.y + h, 1).u - s.eval(q.x, q.y - h, 1).u) / (2.0 * h);
            let size = 1.0 + g.uu.length() + g.vv.length() + g.uv.length();
            assert!(east.distance(g.u) < 1e-6 * size, "{name} du at {q}");
            assert!(north.distance(g.v) < 1e-6 * size, "{name} dv at {q}");
            assert!(mixed.distance(g.uv) < 1e-4 * size, "{name} duv at {q}");
            // From the chart's own seeds, and from a guess some way off.
            let p = g.p;
            let found = chart.point(chart.invert(p, None));
            assert!(found.distance(p) < 1e-8, "{name} at {q}: {found} {p}");
            let guess = chart.invert(p, None) + 0.05 * (hi - lo);
            let near = chart.invert(p, Some(guess));
            assert!(chart.point(near).distance(p) < 1e-6, "{name} near {q}");
        }
    }
}

#[test]
fn a_mesh_is_written_as_binary_stl() {
    let mesh = step::Mesh {
        points: vec![DVec3::ZERO, DVec3::X, DVec3::Y, DVec3::new(0., 0., 25.4)],
        triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]],
        face_of_triangle: vec![0; 4],
    };
    let mut bytes = Vec::new();
    step::stl::write_stl(&mesh, &mut bytes).expect("memory");
    assert_eq!(bytes.len(), 84 + 4 * 50);
    assert!(!bytes.starts_with(b"solid"));
    assert_eq!(bytes[80..84], 4_u32.to_le_bytes());
    let float = |at: usize| f32::from_le_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    // Normal of the first triangle, and the height of the last corner of the second.
    assert_eq!([float(84), float(88), float(92)], [0.0, 0.0, -1.0]);
    assert_eq!(float(84 + 50 + 12 + 24 + 8), 25.4);
}
