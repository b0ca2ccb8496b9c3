//! Holes, corners and the kind of job, on real meshes and on built ones.
//!
//! Values of the real models: the exact cylinders of their STEP files, listed by OCCT (through
//! cadquery-ocp 8.0.1.1.0). Their meshes have a chord height of 0.05 mm and 0.2 rad, but points of
//! a tessellation lie on the surface, so radii are held to coordinate rounding: f32 at 400 mm is
//! 2.4e-5 mm, and a fit over many points does not do worse than 4e-5. Edges where curved faces
//! cross miss the surface by up to 0.0054 in these files; radii of faces with such edges are held
//! to 2e-3.

use crate::shapes::data;
use geometry::features::corner::{inside_corners, sharp_inside_corners, smallest_inside_radius};
use geometry::features::face::Surface;
use geometry::features::fit::fit_faces;
use geometry::features::hole::{End, Hole, holes};
use geometry::features::job::{Answer, JobKind, milling_job};
use geometry::features::thread::tap_drill;
use geometry::mesh::Mesh;
use geometry::model::load;
use geometry::unit::LengthUnit;
use glam::{DMat4, DVec3, dvec3};
use std::f64::consts::{PI, TAU};

const AXES: [DVec3; 6] = [
    DVec3::X,
    DVec3::NEG_X,
    DVec3::Y,
    DVec3::NEG_Y,
    DVec3::Z,
    DVec3::NEG_Z,
];

fn model(name: &str, unit: LengthUnit) -> Mesh {
    load(&data(name), name, Some(unit)).unwrap().mesh
}

/// (count, step diameter, step length, axis) of all cylindrical steps, smallest first.
fn cylinders(found: &[Hole]) -> Vec<(usize, f64, f64, DVec3)> {
    let mut out: Vec<(usize, f64, f64, DVec3)> = Vec::new();
    for hole in found {
        for step in hole.steps.iter().filter(|s| !s.is_cone()) {
            let length = step.to_mm - step.from_mm;
            let same = |o: &&mut (usize, f64, f64, DVec3)| {
                (o.1 - step.diameter_mm).abs() < 0.01
                    && (o.2 - length).abs() < 0.01
                    && o.3.cross(hole.toward).length() < 1e-3
            };
            match out.iter_mut().find(same) {
                Some(known) => known.0 += 1,
                None => out.push((1, step.diameter_mm, length, hole.toward)),
            }
        }
    }
    out.sort_by(|a, b| a.1.total_cmp(&b.1));
    out
}

fn assert_cylinders(name: &str, unit: LengthUnit, want: &[(usize, f64, f64, DVec3)]) {
    let mesh = model(name, unit);
    let solid = fit_faces(&mesh);
    let got = cylinders(&holes(&solid, 20.0));
    assert_eq!(got.len(), want.len(), "{name}: {got:?}");
    for (g, w) in got.iter().zip(want) {
        assert_eq!(g.0, w.0, "{name}: {g:?} against {w:?}");
        assert!((g.1 - w.1).abs() < 1e-3, "{name}: {g:?} against {w:?}");
        assert!((g.2 - w.2).abs() < 1e-3, "{name}: {g:?} against {w:?}");
        assert!(
            g.3.cross(w.3).length() < 1e-4,
            "{name}: {g:?} against {w:?}"
        );
    }
}

#[test]
fn holes_of_real_models_are_those_of_their_exact_files() {
    // Listed to three decimals: 6.7564, 9.89167, 11.1125 behind the rounding.
    let block = [
        (8, 6.756, 19.05, DVec3::Z),
        (1, 9.892, 63.5, DVec3::Y),
        (8, 11.112, 6.35, DVec3::Z),
    ];
    assert_cylinders("featuretype_mm.stl", LengthUnit::Millimetre, &block);
    assert_cylinders("featuretype_inch.stl", LengthUnit::Inch, &block);
    assert_cylinders("featuretype.3mf", LengthUnit::Inch, &block);
    let bracket = [
        (2, 20.0, 45.0, DVec3::Y),
        (4, 25.0, 50.0, DVec3::Z),
        (4, 35.0, 100.0, DVec3::Z),
    ];
    for name in ["nist_ctc_01_asme1_rd.stl", "nist_ctc_01_asme1_ap242-e1.stl"] {
        assert_cylinders(name, LengthUnit::Millimetre, &bracket);
    }
    assert_cylinders(
        "base_interface_AP203.stl",
        LengthUnit::Millimetre,
        &[(4, 6.604, 4.763, DVec3::Z), (1, 152.4, 4.763, DVec3::Z)],
    );
    assert_cylinders(
        "motor_antigravity_4004_custom_shaft.stl",
        LengthUnit::Millimetre,
        &[],
    );
}

#[test]
fn ends_and_entries_of_the_bracket() {
    let mesh = model("nist_ctc_01_asme1_rd.stl", LengthUnit::Millimetre);
    let found = holes(&fit_faces(&mesh), 20.0);
    let blind: Vec<_> = found.iter().filter(|h| !h.through).collect();
    assert_eq!(blind.len(), 2);
    for hole in blind {
        assert_eq!(hole.ends, [End::Open, End::Cone]);
        assert!(hole.toward.distance(DVec3::NEG_Y) < 1e-6);
        assert!((hole.at - dvec3(hole.at.x, -125.0, -25.0)).length() < 1e-3);
        assert!((hole.at.x.abs() - 30.0).abs() < 1e-3);
    }
    assert_eq!(found.iter().filter(|h| h.large).count(), 8);
    // Three kinds of hole, each one pattern.
    assert_eq!(found.iter().map(|h| h.alike).max(), Some(2));
}

/// Radii of inside corners that are no engraving, with repeats left out.
fn corner_radii(mesh: &Mesh) -> (Vec<f64>, Vec<f64>) {
    let solid = fit_faces(mesh);
    let corners = inside_corners(&solid, &AXES, &holes(&solid, 20.0));
    let mut radii: Vec<f64> = Vec::new();
    let mut engraved: Vec<f64> = Vec::new();
    for corner in &corners {
        let list = if corner.engraved {
            &mut engraved
        } else {
            &mut radii
        };
        if list.last().is_none_or(|r| corner.radius_mm - r > 5e-3) {
            list.push(corner.radius_mm);
        }
    }
    assert_eq!(
        smallest_inside_radius(&corners).is_some(),
        !radii.is_empty()
    );
    (radii, engraved)
}

fn assert_near(name: &str, got: &[f64], want: &[f64]) {
    assert_eq!(got.len(), want.len(), "{name}: {got:?} against {want:?}");
    for (g, w) in got.iter().zip(want) {
        assert!((g - w).abs() < 2e-3, "{name}: {got:?} against {want:?}");
    }
}

#[test]
fn inside_radii_of_real_models_are_those_of_their_exact_files() {
    let mm = LengthUnit::Millimetre;
    let (radii, engraved) = corner_radii(&model("nist_ctc_01_asme1_rd.stl", mm));
    assert_near("bracket", &radii, &[5.0, 10.0, 20.0, 25.0]);
    // The letters of the engraved mark.
    assert_near("mark", &engraved, &[4.891, 5.276, 6.294, 6.820, 6.852]);
    let (radii, engraved) = corner_radii(&model("nist_ctc_01_asme1_ap242-e1.stl", mm));
    assert_near("bracket", &radii, &[5.0, 10.0, 20.0, 25.0]);
    assert!(engraved.is_empty());
    let (radii, _) = corner_radii(&model("base_interface_AP203.stl", mm));
    assert_near("plate", &radii, &[6.35]);
    let (radii, _) = corner_radii(&model("motor_antigravity_4004_custom_shaft.stl", mm));
    assert_near("shaft", &radii, &[0.1]);
    let (radii, _) = corner_radii(&model("featuretype_mm.stl", mm));
    assert_near("block", &radii, &[2.54, 3.175, 12.7]);
}

#[test]
fn sharp_corners_of_labelled_blocks() {
    let sharp = |name: &str| {
        let mesh = model(name, LengthUnit::Millimetre);
        sharp_inside_corners(&fit_faces(&mesh), &AXES).len()
    };
    // Two through slots, a through step, two chamfers: every corner is a floor from some side.
    assert_eq!(sharp("mfcad_0-0-5-5-6-23.stl"), 0);
    // Two pockets with four corners and three with six.
    assert_eq!(sharp("mfcad_10-10-11-11-11-23.stl"), 2 * 4 + 3 * 6);
    // One square pocket with sharp corners, judged by eye; the rest is rounded.
    assert_eq!(sharp("featuretype_mm.stl"), 4);
}

#[test]
fn kinds_of_job() {
    let job = |name: &str, unit| {
        let mesh = model(name, unit);
        let solid = fit_faces(&mesh);
        milling_job(&solid, &holes(&solid, 20.0))
    };
    let mm = LengthUnit::Millimetre;
    let shaft = job("motor_antigravity_4004_custom_shaft.stl", mm);
    assert_eq!((shaft.answer, shaft.kind), (Answer::No, JobKind::Turned));
    let plate = job("base_interface_AP203.stl", mm);
    assert_eq!(
        (plate.answer, plate.kind),
        (Answer::Doubtful, JobKind::ThinPlate)
    );
    for name in [
        "featuretype_mm.stl",
        "plate_holes.stl",
        "nist_ctc_01_asme1_rd.stl",
        "mfcad_10-10-11-11-11-23.stl",
    ] {
        assert_eq!(job(name, mm).answer, Answer::Yes, "{name}");
    }
}

/// A block of square tiles, each with one hole turned from a profile of (radius, height), from the
/// top down; the last radius 0 closes it, otherwise it goes through. `lift` raises points of the
/// top by where they are.
struct Drilled<'a> {
    tiles: usize,
    pitch: f64,
    thick: f64,
    chords: usize,
    profile: &'a [(f64, f64)],
    /// Outline of radius 1 by the share of a turn.
    outline: fn(f64) -> (f64, f64),
    lift: fn(f64) -> f64,
}

fn round(turn: f64) -> (f64, f64) {
    ((turn * TAU).cos(), (turn * TAU).sin())
}

fn level(_: f64) -> f64 {
    0.0
}

impl Drilled<'_> {
    fn mesh(&self) -> Mesh {
        let mut points: Vec<DVec3> = Vec::new();
        let mut triangles: Vec<[u32; 3]> = Vec::new();
        let top = self.profile[0].1;
        let lifted = |p: DVec3| {
            let up = if p.z == top { (self.lift)(p.x) } else { 0.0 };
            // Rounded as an STL file does.
            (p + up * DVec3::Z).as_vec3().as_dvec3()
        };
        let mut add = |corners: &[DVec3]| {
            let first = points.len() as u32;
            points.extend(corners.iter().map(|&p| lifted(p)));
            for k in 1..corners.len() as u32 - 1 {
                triangles.push([first, first + k, first + k + 1]);
            }
        };
        let n = self.chords;
        let bottom = top - self.thick;
        for tile in 0..self.tiles * self.tiles {
            let (i, j) = (tile % self.tiles, tile / self.tiles);
            let centre = dvec3(i as f64 * self.pitch, j as f64 * self.pitch, 0.0);
            let half = self.pitch / 2.0;
            let corner = |q: usize, z: f64| {
                let (x, y) = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)][q % 4];
                centre + dvec3(x * half, y * half, z)
            };
            let ring = |k: usize, (r, z): (f64, f64)| {
                let (x, y) = (self.outline)((k % n) as f64 / n as f64);
                centre + dvec3(r * x, r * y, z)
            };
            let last = *self.profile.last().unwrap();
            let closed = last.0 == 0.0;
            for (at, up) in [(self.profile[0], true), (last, false)] {
                if closed && !up {
                    add(&[3, 2, 1, 0].map(|q| corner(q, bottom)));
                    continue;
                }
                for q in 0..4 {
                    let turned = |mut c: [DVec3; 3]| {
                        if !up {
                            c.reverse();
                        }
                        c
                    };
                    for k in q * n / 4..(q + 1) * n / 4 {
                        add(&turned([ring(k, at), corner(q, at.1), ring(k + 1, at)]));
                    }
                    let k = (q + 1) * n / 4;
                    add(&turned([ring(k, at), corner(q, at.1), corner(q + 1, at.1)]));
                }
            }
            for pair in self.profile.windows(2) {
                for k in 0..n {
                    let (a, b) = (ring(k, pair[0]), ring(k + 1, pair[0]));
                    let (c, d) = (ring(k + 1, pair[1]), ring(k, pair[1]));
                    if pair[1].0 == 0.0 {
                        add(&[a, b, c]);
                    } else {
                        add(&[a, b, c, d]);
                    }
                }
            }
            // Sides of the block: between corners 0-1 (+y), 1-2 (-x), 2-3 (-y), 3-0 (+x).
            let border = [j + 1 == self.tiles, i == 0, j == 0, i + 1 == self.tiles];
            for q in (0..4).filter(|&q| border[q]) {
                add(&[
                    corner(q, top),
                    corner(q, bottom),
                    corner(q + 1, bottom),
                    corner(q + 1, top),
                ]);
            }
        }
        Mesh::new(points, triangles, None).unwrap().welded()
    }
}

fn single(profile: &[(f64, f64)], chords: usize) -> Drilled<'_> {
    Drilled {
        tiles: 1,
        pitch: 40.0,
        thick: 20.0,
        chords,
        profile,
        outline: round,
        lift: level,
    }
}

fn only(mesh: &Mesh) -> Hole {
    let found = holes(&fit_faces(mesh), 20.0);
    assert_eq!(found.len(), 1, "{found:?}");
    found.into_iter().next().unwrap()
}

#[test]
fn built_meshes_are_sound() {
    for profile in [
        &[(4.0, 0.0), (4.0, -20.0)][..],
        &[(4.0, 0.0), (4.0, -9.0), (0.0, -9.0)],
    ] {
        let m = geometry::measure::measure(&single(profile, 24).mesh());
        assert!(m.damage.is_sound(), "{:?}", m.damage);
        assert!(m.volume > 0.0);
    }
}

#[test]
fn blind_hole_with_drill_point_at_any_tessellation() {
    for chords in [8, 12, 24, 64, 360] {
        let tip = -12.0 - 3.0 / (59f64).to_radians().tan();
        let mesh = single(&[(3.0, 0.0), (3.0, -12.0), (0.0, tip)], chords).mesh();
        let hole = only(&mesh);
        assert!((hole.diameter_mm - 6.0).abs() < 1e-4, "{chords}: {hole:?}");
        assert!((hole.depth_mm - 12.0).abs() < 1e-5, "{chords}: {hole:?}");
        assert_eq!(hole.ends, [End::Open, End::Cone], "{chords}");
        assert!(!hole.through && hole.toward.distance(DVec3::Z) < 1e-6);
        assert!(hole.at.length() < 1e-4, "{hole:?}");
        assert_eq!(hole.steps.len(), 1);
    }
}

#[test]
fn flat_bottom_counterbore_and_countersink() {
    let flat = only(&single(&[(2.5, 0.0), (2.5, -8.0), (0.0, -8.0)], 32).mesh());
    assert_eq!(flat.ends, [End::Open, End::Flat]);
    assert!((flat.depth_mm - 8.0).abs() < 1e-5);
    assert_eq!(flat.thread, Some("M6"));

    let bore = [(5.5, 0.0), (5.5, -6.0), (3.3, -6.0), (3.3, -20.0)];
    let bored = only(&single(&bore, 32).mesh());
    assert!(bored.through && !bored.both_sides);
    let steps: Vec<_> = bored
        .steps
        .iter()
        .map(|s| (s.diameter_mm, s.to_mm))
        .collect();
    for (got, want) in steps.iter().zip([(11.0, 6.0), (6.6, 20.0)]) {
        assert!(
            (got.0 - want.0).abs() < 1e-4 && (got.1 - want.1).abs() < 1e-4,
            "{steps:?}"
        );
    }
    assert_eq!(steps.len(), 2);

    let sink = [(6.0, 0.0), (3.0, -3.0), (3.0, -20.0)];
    let sunk = only(&single(&sink, 32).mesh());
    assert_eq!(sunk.steps.len(), 2);
    assert!(sunk.steps[0].is_cone() && (sunk.steps[0].diameter_mm - 12.0).abs() < 1e-3);
    assert!((sunk.diameter_mm - 6.0).abs() < 1e-4 && (sunk.depth_mm - 20.0).abs() < 1e-4);

    let both = [
        (5.0, 0.0),
        (5.0, -5.0),
        (3.0, -5.0),
        (3.0, -15.0),
        (5.0, -15.0),
        (5.0, -20.0),
    ];
    let both = only(&single(&both, 32).mesh());
    assert!(both.both_sides && both.steps.len() == 3);

    // Wider below: drilled from there.
    let below = [(3.0, 0.0), (3.0, -14.0), (5.0, -14.0), (5.0, -20.0)];
    let below = only(&single(&below, 32).mesh());
    assert!(
        below.toward.distance(DVec3::NEG_Z) < 1e-6 && !below.both_sides,
        "{below:?}"
    );
}

#[test]
fn hole_in_a_face_tilted_30_degrees_starts_where_its_axis_meets_the_face() {
    let profile = [(3.0, 0.0), (3.0, -20.0)];
    let mut drilled = single(&profile, 48);
    drilled.pitch = 24.0;
    drilled.lift = |x| x * (PI / 6.0).tan();
    let hole = only(&drilled.mesh());
    assert!(hole.through && (hole.diameter_mm - 6.0).abs() < 1e-4);
    assert!(hole.at.length() < 1e-3, "{hole:?}");
    assert!((hole.depth_mm - 20.0).abs() < 1e-3, "{hole:?}");
}

#[test]
fn slot_is_no_hole_but_has_its_end_radius() {
    fn stadium(turn: f64) -> (f64, f64) {
        let (x, y) = round(turn);
        (
            x + 2.0 * x.signum() * f64::from(u8::from(x.abs() > 1e-9)),
            y,
        )
    }
    let profile = [(4.0, 0.0), (4.0, -20.0)];
    let mut slot = single(&profile, 48);
    slot.outline = stadium;
    let mesh = slot.mesh();
    let solid = fit_faces(&mesh);
    let found = holes(&solid, 20.0);
    assert!(found.is_empty(), "{found:?}");
    let corners = inside_corners(&solid, &AXES, &found);
    assert_eq!(corners.len(), 2, "{corners:?}");
    for corner in corners {
        assert!((corner.radius_mm - 4.0).abs() < 1e-4);
        assert!(corner.sweep_rad > 165f64.to_radians());
    }
}

#[test]
fn bore_through_two_lugs_is_one_interrupted_hole() {
    let profile = [(3.0, 0.0), (3.0, -20.0)];
    let mut mesh = single(&profile, 32).mesh();
    let lower = mesh
        .transformed(&DMat4::from_translation(dvec3(0.0, 0.0, -28.0)))
        .unwrap();
    mesh.append(&lower);
    let hole = only(&mesh);
    assert!(hole.interrupted && hole.through);
    assert!((hole.depth_mm - 48.0).abs() < 1e-4, "{hole:?}");
}

#[test]
fn groove_around_a_boss_is_no_hole() {
    // Outer wall down, floor inward, boss wall up, boss top.
    let ring = [(9.0, 0.0), (9.0, -6.0), (5.0, -6.0), (5.0, 0.0), (0.0, 0.0)];
    let mesh = single(&ring, 48).mesh();
    let found = holes(&fit_faces(&mesh), 20.0);
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn octagonal_pocket_is_no_hole() {
    // Eight sides of 15 mm: chord height 1.5 mm, which no tessellator leaves.
    let mesh = single(&[(18.0, 0.0), (18.0, -6.0), (0.0, -6.0)], 8).mesh();
    assert!(holes(&fit_faces(&mesh), 20.0).is_empty());
}

#[test]
fn rotated_part_has_rotated_holes() {
    let profile = [
        (5.5, 0.0),
        (5.5, -6.0),
        (3.3, -6.0),
        (3.3, -15.0),
        (0.0, -17.0),
    ];
    let mesh = single(&profile, 40).mesh();
    let plain = only(&mesh);
    let mut random = crate::shapes::Random(7);
    for _ in 0..8 {
        let turn = DMat4::from_rotation_translation(random.rotation(), random.point(300.0));
        let moved = mesh.transformed(&turn).unwrap();
        let hole = only(&moved);
        assert!((hole.diameter_mm - plain.diameter_mm).abs() < 1e-4);
        assert!((hole.depth_mm - plain.depth_mm).abs() < 1e-3);
        assert!(hole.toward.distance(turn.transform_vector3(plain.toward)) < 1e-4);
        assert!(hole.at.distance(turn.transform_point3(plain.at)) < 1e-3);
        assert_eq!(hole.ends, plain.ends);
    }
}

#[test]
fn plate_with_a_thousand_holes() {
    let profile = [(1.25, 0.0), (1.25, -6.0)];
    let plate = Drilled {
        tiles: 32,
        pitch: 8.0,
        thick: 6.0,
        chords: 16,
        profile: &profile,
        outline: round,
        lift: level,
    };
    let mesh = plate.mesh();
    let found = holes(&fit_faces(&mesh), 20.0);
    assert_eq!(found.len(), 1024);
    assert!(found.iter().all(|h| h.through && h.alike == 0));
    assert!(found.iter().all(|h| h.thread == Some("M3")));
}

#[test]
fn exact_surfaces_and_fitted_ones_give_the_same_hole() {
    use geometry::features::face::SolidFaces;
    let mesh = single(&[(3.0, 0.0), (3.0, -20.0)], 32).mesh();
    let fitted = fit_faces(&mesh);
    let half = |t: usize| {
        let f = fitted.face_of_triangle[t];
        let round = matches!(fitted.faces[f as usize].surface, Surface::Cylinder { .. });
        let [a, b, c] = mesh.corners(t);
        // The bore cut in two halves, as many exporters do.
        if round && (a + b + c).y > 0.0 {
            fitted.faces.len() as u32
        } else {
            f
        }
    };
    let split: Vec<u32> = (0..mesh.triangles().len()).map(half).collect();
    let bore = Surface::Cylinder {
        axis: DVec3::NEG_Z,
        origin: DVec3::ZERO,
        radius_mm: 3.0,
    };
    let mut surfaces: Vec<Surface> = fitted.faces.iter().map(|f| f.surface).collect();
    for s in &mut surfaces {
        if matches!(s, Surface::Cylinder { .. }) {
            *s = bore;
        }
    }
    surfaces.push(bore);
    let solid = SolidFaces::new(&mesh, &surfaces, &split);
    let exact = holes(&solid, 20.0);
    assert_eq!(exact.len(), 1);
    assert_eq!(exact[0].faces.len(), 2);
    assert_eq!(exact[0].diameter_mm, 6.0);
    let other = only(&mesh);
    assert_eq!(
        (exact[0].through, exact[0].ends),
        (other.through, other.ends)
    );
}

#[test]
fn tap_drills_of_shop_charts() {
    // Drills as a shop chart prints them (doublevision.company/blog/tap-drill-chart), whole sizes
    // by nominal less pitch.
    for (drill, thread) in [
        (5.0, "M6"),
        (6.8, "M8"),
        (6.75, "M8"),
        (10.2, "M12"),
        (17.5, "M20"),
        (8.5, "M10"),
        (2.5, "M3"),
        (3.3, "M4"),
        (4.2, "M5"),
        (5.105, "1/4-20 UNC"),
    ] {
        assert_eq!(tap_drill(drill).map(|t| t.thread), Some(thread), "{drill}");
    }
    for plain in [3.0, 6.0, 6.5, 10.0, 11.0, 35.0] {
        assert_eq!(tap_drill(plain).map(|t| t.thread), None, "{plain}");
    }
}
