//! Kinds of job, thin places, flats and undercuts on built shapes whose sizes are known.

use geometry::features::corner::{inside_corners, sharp_inside_corners, smallest_inside_radius};
use geometry::features::directions::candidate_directions;
use geometry::features::face::{SolidFaces, Surface};
use geometry::features::fit::fit_faces;
use geometry::features::flat::wide_flats;
use geometry::features::hole::{Hole, holes};
use geometry::features::job::{Answer, JobKind, milling_job};
use geometry::features::thin::{ThinKind, thin_places};
use geometry::features::undercut::undercuts;
use geometry::mesh::Mesh;
use glam::{DMat4, DVec2, DVec3, dvec2, dvec3};
use std::f64::consts::{PI, TAU};

const BOX: [DVec3; 3] = [DVec3::X, DVec3::Y, DVec3::Z];

/// Triangles of a simple polygon, by cutting ears.
fn ears(profile: &[DVec2]) -> Vec<[usize; 3]> {
    let area = |a: DVec2, b: DVec2, c: DVec2| (b - a).perp_dot(c - a);
    let mut left: Vec<usize> = (0..profile.len()).collect();
    let mut out = Vec::new();
    while left.len() > 2 {
        let n = left.len();
        let ear = (0..n)
            .find(|&i| {
                let [a, b, c] = [left[(i + n - 1) % n], left[i], left[(i + 1) % n]];
                let [p, q, r] = [a, b, c].map(|k| profile[k]);
                area(p, q, r) > 0.0
                    && left.iter().all(|&k| {
                        let x = profile[k];
                        [a, b, c].contains(&k)
                            || area(p, q, x) < 0.0
                            || area(q, r, x) < 0.0
                            || area(r, p, x) < 0.0
                    })
            })
            .expect("a simple polygon has an ear");
        out.push([left[(ear + n - 1) % n], left[ear], left[(ear + 1) % n]]);
        left.remove(ear);
    }
    out
}

/// A counterclockwise profile extruded along Z. Face 0 and 1 are the caps, the side over edge `k`
/// is face `face[k]`.
fn prism(profile: &[DVec2], length: f64, face: &[u32]) -> (Mesh, Vec<u32>) {
    let n = profile.len() as u32;
    let mut points: Vec<DVec3> = profile.iter().map(|p| p.extend(0.0)).collect();
    points.extend(profile.iter().map(|p| p.extend(length)));
    let (mut triangles, mut faces) = (Vec::new(), Vec::new());
    for ear in ears(profile) {
        let [a, b, c] = ear.map(|k| k as u32);
        triangles.extend([[a, c, b], [a + n, b + n, c + n]]);
        faces.extend([0, 1]);
    }
    for k in 0..n {
        let j = (k + 1) % n;
        triangles.extend([[k, j, j + n], [k, j + n, k + n]]);
        faces.extend([face[k as usize]; 2]);
    }
    (Mesh::new(points, triangles, None).unwrap(), faces)
}

fn plain(profile: &[DVec2], length: f64) -> Mesh {
    let face: Vec<u32> = (2..2 + profile.len() as u32).collect();
    prism(profile, length, &face).0
}

/// A closed profile of (radius, height) turned about Z.
fn lathe(profile: &[(f64, f64)], chords: usize) -> Mesh {
    let n = profile.len();
    let mut points = Vec::new();
    for k in 0..chords {
        let (s, c) = (TAU * k as f64 / chords as f64).sin_cos();
        points.extend(profile.iter().map(|&(r, z)| dvec3(r * c, r * s, z)));
    }
    let mut triangles = Vec::new();
    for k in 0..chords {
        for i in 0..n {
            let at = |k: usize, i: usize| ((k % chords) * n + i % n) as u32;
            let quad = [at(k, i), at(k + 1, i), at(k + 1, i + 1), at(k, i + 1)];
            triangles.extend([[quad[0], quad[1], quad[2]], [quad[0], quad[2], quad[3]]]);
        }
    }
    // Points on the axis coincide; triangles without area go.
    let mesh = Mesh::new(points, triangles, None).unwrap().welded();
    let kept: Vec<u32> = (0..mesh.triangles().len() as u32)
        .filter(|&t| {
            let [a, b, c] = mesh.triangles()[t as usize];
            a != b && b != c && c != a
        })
        .collect();
    mesh.subset(&kept)
}

fn job(solid: &SolidFaces<'_>) -> (Answer, JobKind) {
    let job = milling_job(solid, &holes(solid, 20.0));
    (job.answer, job.kind)
}

fn arc(centre: DVec2, radius: f64, from: f64, to: f64, chords: usize) -> Vec<DVec2> {
    (0..=chords)
        .map(|k| {
            let angle = from + (to - from) * k as f64 / chords as f64;
            centre + radius * DVec2::from_angle(angle)
        })
        .collect()
}

/// An angle of sheet 2 mm thick, legs 60 and 40, inside radius 3.
fn angle() -> (Vec<DVec2>, Vec<u32>) {
    let centre = dvec2(55.0, 5.0);
    let mut profile = vec![dvec2(0.0, 0.0)];
    profile.extend(arc(centre, 5.0, -PI / 2.0, 0.0, 12));
    profile.extend([dvec2(60.0, 40.0), dvec2(58.0, 40.0)]);
    profile.extend(arc(centre, 3.0, 0.0, -PI / 2.0, 12));
    profile.push(dvec2(0.0, 2.0));
    let mut face = vec![2];
    face.extend([3; 12]);
    face.extend([4, 5, 6]);
    face.extend([7; 12]);
    face.extend([8, 9]);
    (profile, face)
}

#[test]
fn bent_sheet_is_no_milling_job() {
    let (profile, face) = angle();
    let (mesh, of_triangle) = prism(&profile, 80.0, &face);
    let fitted = fit_faces(&mesh);
    assert_eq!(job(&fitted), (Answer::No, JobKind::BentSheet));
    let plane = |normal: DVec3, x: f64, y: f64, z: f64| Surface::Plane {
        normal,
        origin: dvec3(x, y, z),
    };
    let bend = |radius_mm: f64| Surface::Cylinder {
        axis: DVec3::Z,
        origin: dvec3(55.0, 5.0, 0.0),
        radius_mm,
    };
    let surfaces = [
        plane(DVec3::Z, 0.0, 0.0, 0.0),
        plane(DVec3::Z, 0.0, 0.0, 80.0),
        plane(DVec3::Y, 0.0, 0.0, 0.0),
        bend(5.0),
        plane(DVec3::X, 60.0, 0.0, 0.0),
        plane(DVec3::Y, 0.0, 40.0, 0.0),
        plane(DVec3::X, 58.0, 0.0, 0.0),
        bend(3.0),
        plane(DVec3::Y, 0.0, 2.0, 0.0),
        plane(DVec3::X, 0.0, 0.0, 0.0),
    ];
    let exact = SolidFaces::new(&mesh, &surfaces, &of_triangle);
    assert_eq!(job(&exact), (Answer::No, JobKind::BentSheet));
}

#[test]
fn gasket_is_no_milling_job_and_a_thick_ring_is_a_lathe_s() {
    let ring = |thick: f64| {
        let mesh = lathe(
            &[(30.0, 0.0), (40.0, 0.0), (40.0, thick), (30.0, thick)],
            64,
        );
        job(&fit_faces(&mesh))
    };
    assert_eq!(ring(1.0), (Answer::No, JobKind::ThinPlate));
    assert_eq!(ring(20.0), (Answer::No, JobKind::Turned));
}

/// A bar of radius 8 with a hole of radius 2 across it: a band of quads around the hole's mouths.
fn bar_with_cross_hole() -> (Mesh, Vec<u32>) {
    // Seen unrolled the mouth is a closed curve; the wall around it is divided by rays from the
    // middle of the mouth to the border of a patch.
    let (big, small, half) = (8.0f64, 2.0f64, 30.0f64);
    let n = 32;
    let mouth: Vec<(f64, f64)> = (0..n)
        .map(|k| {
            let (s, c) = (TAU * k as f64 / n as f64).sin_cos();
            ((small * c / big).asin(), small * s)
        })
        .collect();
    let on_bar = |angle: f64, z: f64| dvec3(big * angle.sin(), big * angle.cos(), z);
    let mut triangles: Vec<[DVec3; 3]> = Vec::new();
    let edge: Vec<(f64, f64)> = (0..n)
        .map(|k| {
            // Border of the patch, 45 degrees to either side, in the direction of the mouth's point.
            let (a, z) = (mouth[k].0 * big, mouth[k].1);
            let wide = PI / 4.0;
            let t = (wide * big / a.abs().max(1e-12)).min(half / z.abs().max(1e-12));
            ((a * t / big).clamp(-wide, wide), (z * t).clamp(-half, half))
        })
        .collect();
    let corner = |p: (f64, f64)| (p.0.abs() - PI / 4.0).abs() < 1e-9;
    for turn in 0..4 {
        let side = f64::from(turn) * PI / 2.0;
        let at = |p: (f64, f64)| on_bar(p.0 + side, p.1);
        if turn % 2 == 0 {
            for k in 0..n {
                let j = (k + 1) % n;
                let (a, b, c, d) = (mouth[k], mouth[j], edge[j], edge[k]);
                triangles.push([at(a), at(c), at(d)]);
                triangles.push([at(a), at(b), at(c)]);
                // Where the border turns a corner between two rays.
                if corner(c) != corner(d) {
                    let tip = (PI / 4.0 * (c.0 + d.0).signum(), half * (c.1 + d.1).signum());
                    triangles.push([at(d), at(c), at(tip)]);
                }
            }
        }
    }
    // The other two quarters share the patch's border points along their straight sides.
    let mut rows: Vec<f64> = edge
        .iter()
        .filter(|p| corner(**p) && p.0 > 0.0)
        .map(|p| p.1)
        .collect();
    rows.extend([-half, half]);
    rows.sort_by(f64::total_cmp);
    rows.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let mut ends: Vec<f64> = edge.iter().filter(|p| !corner(**p)).map(|p| p.0).collect();
    ends.extend([-PI / 4.0, PI / 4.0]);
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    for turn in [1.0, 3.0] {
        let side = turn * PI / 2.0;
        for cell in ends.windows(2) {
            for row in rows.windows(2) {
                let p = [
                    (cell[0], row[0]),
                    (cell[1], row[0]),
                    (cell[1], row[1]),
                    (cell[0], row[1]),
                ]
                .map(|(a, z)| on_bar(a + side, z));
                triangles.push([p[0], p[2], p[1]]);
                triangles.push([p[0], p[3], p[2]]);
            }
        }
    }
    let bar = triangles.len();
    for k in 0..n {
        let j = (k + 1) % n;
        let (a, b) = (
            on_bar(mouth[k].0, mouth[k].1),
            on_bar(mouth[j].0, mouth[j].1),
        );
        let (c, d) = (dvec3(a.x, -a.y, a.z), dvec3(b.x, -b.y, b.z));
        triangles.push([a, d, b]);
        triangles.push([a, c, d]);
    }
    let wall = triangles.len();
    for turn in 0..4 {
        for cell in ends.windows(2) {
            let side = f64::from(turn) * PI / 2.0;
            for z in [-half, half] {
                let tip = dvec3(0.0, 0.0, z);
                let (a, b) = (on_bar(cell[0] + side, z), on_bar(cell[1] + side, z));
                triangles.push(if z > 0.0 { [tip, b, a] } else { [tip, a, b] });
            }
        }
    }
    let face = (0..triangles.len())
        .map(|t| match t {
            t if t < bar => 0,
            t if t < wall => 1,
            t if triangles[t][0].z < 0.0 => 2,
            _ => 3,
        })
        .collect();
    let points: Vec<DVec3> = triangles
        .iter()
        .flatten()
        // Points reached by two ways differ by rounding.
        .map(|p| (*p * 1e9).round() / 1e9)
        .collect();
    let all = (0..triangles.len() as u32).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]);
    let mesh = Mesh::new(points, all.collect(), None).unwrap().welded();
    (mesh, face)
}

#[test]
fn shaft_with_a_cross_hole_is_doubtful() {
    let (mesh, face) = bar_with_cross_hole();
    let damage = geometry::measure::measure(&mesh).damage;
    assert!(damage.is_sound(), "{damage:?}");
    let bar = |axis, radius_mm| Surface::Cylinder {
        axis,
        origin: DVec3::ZERO,
        radius_mm,
    };
    let end = |z: f64| Surface::Plane {
        normal: DVec3::Z,
        origin: dvec3(0.0, 0.0, z),
    };
    let surfaces = [
        bar(DVec3::Z, 8.0),
        bar(DVec3::Y, 2.0),
        end(-30.0),
        end(30.0),
    ];
    let solid = SolidFaces::new(&mesh, &surfaces, &face);
    let found = holes(&solid, 20.0);
    assert_eq!(found.len(), 1, "{found:?}");
    // The axis enters at the top of the bar, and the wall is as long as the bar is wide there.
    assert!((found[0].diameter_mm - 4.0).abs() < 1e-9, "{found:?}");
    assert!(found[0].through && found[0].toward.cross(DVec3::Y).length() < 1e-5);
    assert!((found[0].at.y.abs() - 8.0).abs() < 1e-3, "{found:?}");
    assert_eq!(job(&solid), (Answer::Doubtful, JobKind::Turned));
}

#[test]
fn half_round_bar_is_a_milling_job() {
    let profile = arc(DVec2::ZERO, 20.0, 0.0, PI, 40);
    let mesh = plain(&profile, 30.0);
    assert_eq!(job(&fit_faces(&mesh)), (Answer::Yes, JobKind::Milled));
}

#[test]
fn walls_of_a_channel_are_thin() {
    let profile = [
        dvec2(0.0, 0.0),
        dvec2(30.0, 0.0),
        dvec2(30.0, 25.0),
        dvec2(29.0, 25.0),
        dvec2(29.0, 5.0),
        dvec2(1.5, 5.0),
        dvec2(1.5, 25.0),
        dvec2(0.0, 25.0),
    ];
    let mesh = plain(&profile, 100.0);
    let found = thin_places(&fit_faces(&mesh));
    let got: Vec<_> = found.iter().map(|t| (t.kind, t.thickness_mm)).collect();
    assert_eq!(got.len(), 2, "{found:?}");
    for (thin, want) in got.iter().zip([1.0, 1.5]) {
        assert_eq!(thin.0, ThinKind::Wall);
        assert!((thin.1 - want).abs() < 1e-9, "{found:?}");
    }
    // The underside: 100 by 30 asks for a cutter of 30 / 0.7.
    let flats = wide_flats(&fit_faces(&mesh));
    let under = flats.iter().find(|f| f.normal.y < -0.9).unwrap();
    assert_eq!((under.face_mill_mm, under.passes), (50.0, 1));
    assert!((under.size_mm[0] - 100.0).abs() < 1e-9 && (under.size_mm[1] - 30.0).abs() < 1e-9);
}

#[test]
fn groove_inside_a_bore_is_undercut() {
    let profile = [
        (10.0, 0.0),
        (30.0, 0.0),
        (30.0, 20.0),
        (10.0, 20.0),
        (10.0, 12.0),
        (15.0, 12.0),
        (15.0, 8.0),
        (10.0, 8.0),
    ];
    let mesh = lathe(&profile, 96);
    let solid = fit_faces(&mesh);
    let found = holes(&solid, 20.0);
    assert_eq!(found.len(), 1, "{found:?}");
    let steps: Vec<f64> = found[0]
        .steps
        .iter()
        .map(|s| s.diameter_mm.round())
        .collect();
    assert_eq!(steps, [20.0, 30.0, 20.0]);
    assert!((found[0].depth_mm - 20.0).abs() < 1e-6, "{found:?}");
    let directions = candidate_directions(&solid, &found, BOX);
    let hidden: f64 = undercuts(&solid, &directions, &found)
        .iter()
        .map(|u| u.area_mm2)
        .sum();
    // Two rings and the wall between them; 96 chords are short of the circle by 1e-3.
    let want = 2.0 * PI * (225.0 - 100.0) + TAU * 15.0 * 4.0;
    assert!((hidden - want).abs() < 2e-3 * want, "{hidden} for {want}");

    let open = lathe(&[(10.0, 0.0), (30.0, 0.0), (30.0, 20.0), (10.0, 20.0)], 96);
    let solid = fit_faces(&open);
    let found = holes(&solid, 20.0);
    let directions = candidate_directions(&solid, &found, BOX);
    assert!(undercuts(&solid, &directions, &found).is_empty());
}

#[test]
fn plate_of_five_thousand_holes() {
    // Each tile 6 mm square with one hole; exact surfaces stand in for a STEP file's.
    let (tiles, chords, radius, thick) = (71usize, 12usize, 1.6, 5.0);
    let mut triangles: Vec<[DVec3; 3]> = Vec::new();
    let mut surfaces = vec![
        Surface::Plane {
            normal: DVec3::Z,
            origin: DVec3::ZERO,
        },
        Surface::Plane {
            normal: DVec3::NEG_Z,
            origin: dvec3(0.0, 0.0, -thick),
        },
    ];
    let mut face: Vec<u32> = Vec::new();
    for tile in 0..tiles * tiles {
        let centre = dvec3(
            (tile % tiles) as f64 * 6.0,
            (tile / tiles) as f64 * 6.0,
            0.0,
        );
        let ring = |k: usize| {
            let angle = TAU * k as f64 / chords as f64 + PI / 4.0;
            centre + radius * dvec3(angle.cos(), angle.sin(), 0.0)
        };
        let corner = |q: usize| {
            let (x, y) = [(3.0, 3.0), (-3.0, 3.0), (-3.0, -3.0), (3.0, -3.0)][q % 4];
            centre + dvec3(x, y, 0.0)
        };
        let down = DVec3::Z * thick;
        for k in 0..chords {
            let q = (k * 4 + chords / 2) / chords;
            let (a, b) = (ring(k), ring(k + 1));
            triangles.extend([[a, corner(q), b], [a - down, b - down, corner(q) - down]]);
            face.extend([0, 1]);
            let next = ((k + 1) * 4 + chords / 2) / chords;
            if next != q {
                triangles.extend([
                    [b, corner(q), corner(next)],
                    [b - down, corner(next) - down, corner(q) - down],
                ]);
                face.extend([0, 1]);
            }
            triangles.extend([[a, b, b - down], [a, b - down, a - down]]);
            face.extend([surfaces.len() as u32; 2]);
        }
        surfaces.push(Surface::Cylinder {
            axis: DVec3::Z,
            origin: centre,
            radius_mm: radius,
        });
    }
    let points = triangles.iter().flatten().copied().collect();
    let all = (0..triangles.len() as u32).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]);
    let mesh = Mesh::new(points, all.collect(), None).unwrap();
    let exact = holes(&SolidFaces::new(&mesh, &surfaces, &face), 20.0);
    assert_eq!(exact.len(), tiles * tiles);
    assert!(exact.iter().all(|h| h.through && h.diameter_mm == 3.2));
    assert!(exact.iter().all(|h| h.alike == 0));
    let fitted = holes(&fit_faces(&mesh), 20.0);
    assert_eq!(fitted.len(), exact.len());
    assert!(
        fitted
            .iter()
            .all(|h| h.through && (h.diameter_mm - 3.2).abs() < 1e-4)
    );
}

/// Every triangle in four, then all in another order, points unshared and renumbered.
fn shuffled(mesh: &Mesh, random: &mut crate::shapes::Random) -> Mesh {
    let mut all: Vec<[DVec3; 3]> = mesh
        .iter_corners()
        .flat_map(|[a, b, c]| {
            let (p, q, r) = ((a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0);
            [[a, p, r], [p, b, q], [r, q, c], [p, q, r]]
        })
        .collect();
    for i in (1..all.len()).rev() {
        all.swap(i, random.below(i + 1));
        all[i].rotate_left(random.below(3));
    }
    let points = all.iter().flatten().copied().collect();
    let triangles = (0..all.len() as u32).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]);
    Mesh::new(points, triangles.collect(), None).unwrap()
}

type Found = (Vec<Hole>, Option<f64>, usize, Answer);

fn found(mesh: &Mesh, axes: [DVec3; 3]) -> Found {
    let solid = fit_faces(mesh);
    let found = holes(&solid, 20.0);
    let directions = candidate_directions(&solid, &found, axes);
    let corners = inside_corners(&solid, &directions, &found);
    let sharp = sharp_inside_corners(&solid, &directions).len();
    let job = milling_job(&solid, &found).answer;
    (found, smallest_inside_radius(&corners), sharp, job)
}

/// The same features, those of `other` carried back and scaled.
fn assert_same(what: &str, one: &Found, other: &Found, other_from_one: &DMat4, scale: f64) {
    assert_eq!(one.0.len(), other.0.len(), "{what}");
    let near = |a: f64, b: f64| (a * scale - b).abs() < 2e-3 * scale.max(1.0);
    for hole in &one.0 {
        let toward = other_from_one.transform_vector3(hole.toward).normalize();
        let at = other_from_one.transform_point3(hole.at);
        let twin = other.0.iter().any(|o| {
            // A through hole alike at both ends may be drilled from either.
            let same_end =
                o.toward.distance(toward) < 1e-3 && o.at.distance(at) < 5e-3 * scale.max(1.0);
            let far = at - toward * hole.depth_mm * scale;
            let other_end = hole.through
                && o.toward.distance(-toward) < 1e-3
                && o.at.distance(far) < 5e-3 * scale.max(1.0);
            (same_end || other_end)
                && near(hole.diameter_mm, o.diameter_mm)
                && near(hole.depth_mm, o.depth_mm)
                && o.through == hole.through
                && o.steps.len() == hole.steps.len()
                && o.interrupted == hole.interrupted
        });
        assert!(twin, "{what}: {hole:?} not in {:?}", other.0);
    }
    match (one.1, other.1) {
        (Some(a), Some(b)) => assert!(near(a, b), "{what}: {a} {b}"),
        (a, b) => assert_eq!(a, b, "{what}"),
    }
    assert_eq!((one.2, one.3), (other.2, other.3), "{what}");
}

#[test]
fn turning_mirroring_scaling_and_cutting_up_a_part_change_nothing() {
    let name = "featuretype_mm.stl";
    let unit = Some(geometry::unit::LengthUnit::Millimetre);
    let mesh = geometry::model::load(&crate::shapes::data(name), name, unit)
        .unwrap()
        .mesh;
    let plain = found(&mesh, BOX);
    assert_eq!(plain.0.len(), 9);
    let mut random = crate::shapes::Random(11);
    let turn = DMat4::from_rotation_translation(random.rotation(), random.point(100.0));
    let mirror = turn * DMat4::from_scale(dvec3(-1.0, 1.0, 1.0));
    let double = DMat4::from_scale(DVec3::splat(2.0));
    for (what, place, scale) in [
        ("turned", turn, 1.0),
        ("mirrored", mirror, 1.0),
        ("doubled", double, 2.0),
    ] {
        let moved = mesh.transformed(&place).unwrap();
        // As a file of f32 holds it.
        let points = moved
            .points()
            .iter()
            .map(|p| p.as_vec3().as_dvec3())
            .collect();
        let moved = Mesh::new(points, moved.triangles().to_vec(), None).unwrap();
        let axes = BOX.map(|a| place.transform_vector3(a).normalize());
        assert_same(what, &plain, &found(&moved, axes), &place, scale);
    }
    let cut = shuffled(&mesh, &mut random);
    assert_same("cut up", &plain, &found(&cut, BOX), &DMat4::IDENTITY, 1.0);
}
