//! Whether a part is a job for a mill at all.

use super::face::{SolidFaces, Surface};
use super::hole::Hole;
use super::piece::{SAME_MM, covered};
use super::round::Round;
use crate::measure::signed_volume;
use glam::DVec3;

/// What kind of work a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobKind {
    /// Made by milling.
    Milled,
    /// Round about one axis: a lathe's work.
    Turned,
    /// One thickness with bends: cut and folded.
    BentSheet,
    /// Flat and thin: cut from sheet by laser, water jet, punch or knife.
    ThinPlate,
}

/// The answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A milling job.
    Yes,
    /// Made otherwise.
    No,
    /// Could be either.
    Doubtful,
}

/// The answer with what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct MillingJob {
    /// Yes, no or doubtful.
    pub answer: Answer,
    /// Kind of work.
    pub kind: JobKind,
    /// One sentence for the reader.
    pub reason: String,
}

/// Share of the surface that must be round about one axis, or square to it, for a turned part, and
/// for a doubtful one (common practice, no source; a shaft with two flats has 0.95).
const TURNED: [f64; 2] = [0.9, 0.75];
/// Sheet is bent up to this thickness without question, mm (common practice, no source).
const SHEET_MM: f64 = 6.0;

/// Judges a solid in millimetres.
pub fn milling_job(solid: &SolidFaces<'_>, holes: &[Hole]) -> MillingJob {
    let area: f64 = solid.faces.iter().map(|f| f.area_mm2).sum();
    thin_plate(solid, area)
        .or_else(|| bent_sheet(solid, area))
        .or_else(|| turned(solid, area, holes))
        .unwrap_or(MillingJob {
            answer: Answer::Yes,
            kind: JobKind::Milled,
            reason: "neither round about one axis, nor bent sheet, nor thin and flat".into(),
        })
}

fn planes(solid: &SolidFaces<'_>) -> Vec<(DVec3, f64, f64)> {
    let plane = |f: &super::face::Face| match f.surface {
        Surface::Plane { normal, origin } => Some((normal, normal.dot(origin), f.area_mm2)),
        _ => None,
    };
    solid.faces.iter().filter_map(plane).collect()
}

/// Flat faces that hold a worthwhile share of the surface.
fn large_faces<'a>(solid: &'a SolidFaces<'_>, area: f64) -> impl Iterator<Item = usize> + use<'a> {
    (0..solid.faces.len()).filter(move |&f| {
        let face = &solid.faces[f];
        matches!(face.surface, Surface::Plane { .. }) && face.area_mm2 > 0.005 * area
    })
}

/// Two flat sides and nothing parallel between them, much longer than thick.
fn thin_plate(solid: &SolidFaces<'_>, area: f64) -> Option<MillingJob> {
    let planes = planes(solid);
    let &(up, top, _) = planes.iter().max_by(|a, b| a.2.total_cmp(&b.2))?;
    let [low, high] = solid.mesh.bounds()?;
    let longest = (high - low).length();
    let heights = solid.mesh.iter_corners().flatten().map(|p| p.dot(up));
    let (bottom, highest) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| {
        (l.min(t), h.max(t))
    });
    let thick = highest - bottom;
    let slack = SAME_MM.max(0.01 * thick);
    let sides: f64 = planes
        .iter()
        .filter(|(n, d, _)| {
            let turn = n.dot(up);
            turn.abs() > 0.9999
                && ((d * turn - highest).abs() < slack || (d * turn - bottom).abs() < slack)
        })
        .map(|p| p.2)
        .sum();
    if thick <= 0.0 || sides < 0.75 * area || (top - highest).abs() > slack {
        return None;
    }
    // Limits by habit (common practice, no source): what a knife, punch or laser does better.
    let slender = longest / thick;
    let answer = if thick <= 1.5 && slender >= 15.0 || thick <= 3.0 && slender >= 40.0 {
        Answer::No
    } else if thick <= 3.0 && slender >= 20.0 || slender >= 60.0 {
        Answer::Doubtful
    } else {
        return None;
    };
    Some(MillingJob {
        answer,
        kind: JobKind::ThinPlate,
        reason: format!(
            "flat, {thick:.2} mm thick and {slender:.0} times as long: usually cut from sheet; \
             on a mill it needs a vacuum or sacrificial plate under it"
        ),
    })
}

/// One thickness throughout, with bends whose inside and outside share an axis.
fn bent_sheet(solid: &SolidFaces<'_>, area: f64) -> Option<MillingJob> {
    let mut bends: Vec<f64> = Vec::new();
    let cylinders: Vec<(Round, bool)> = solid
        .faces
        .iter()
        .filter_map(|f| match f.surface {
            Surface::Cylinder {
                axis,
                origin,
                radius_mm,
            } => Some((
                Round {
                    origin,
                    axis,
                    radius: radius_mm,
                    slope: 0.0,
                },
                f.concave,
            )),
            _ => None,
        })
        .collect();
    // Sheet parts have tens of bends; hundreds of cylinders are something else.
    if cylinders.len() > 400 {
        return None;
    }
    for (inner, _) in cylinders.iter().filter(|c| c.1) {
        let outer = cylinders
            .iter()
            .filter(|(o, concave)| {
                !concave
                    && o.radius > inner.radius + SAME_MM
                    && o.axis.cross(inner.axis).length() < 0.01
                    && inner.polar(o.origin).1 < SAME_MM.max(0.01 * o.radius)
            })
            .map(|(o, _)| o.radius - inner.radius);
        bends.extend(outer.min_by(f64::total_cmp));
    }
    bends.sort_by(f64::total_cmp);
    let thick = *bends.get(bends.len() / 2)?;
    let planes = planes(solid);
    let large: Vec<_> = planes.iter().filter(|p| p.2 > 0.005 * area).collect();
    let flat: f64 = large
        .iter()
        .filter(|(n, d, _)| {
            large.iter().any(|(m, e, _)| {
                n.dot(*m) < -0.9999 && ((d + e) - thick).abs() < 0.02 * thick + SAME_MM
            })
        })
        .map(|p| p.2)
        .sum();
    let volume = signed_volume(solid.mesh).abs();
    let filled = 2.0 * volume / (area * thick);
    let directions = {
        let mut seen: Vec<DVec3> = Vec::new();
        for (n, ..) in large.iter().filter(|p| p.2 > 0.03 * area) {
            if !seen.iter().any(|s| s.cross(*n).length() < 0.05) {
                seen.push(*n);
            }
        }
        seen.len()
    };
    // A press brake makes inside edges by bending; a sharp one longer than the sheet is thick, as
    // between the floor and the walls of a hollowed box, was cut or moulded.
    let sharp: f64 = large_faces(solid, area)
        .flat_map(|f| {
            let inside = solid.borders[f].iter();
            inside.filter(|b| b.concave_mm > 1.5 * thick)
        })
        .filter(|b| solid.faces[b.other as usize].area_mm2 > 0.005 * area)
        .map(|b| b.concave_mm)
        .sum();
    if sharp > 4.0 * thick {
        return None;
    }
    if flat < 0.5 * area || !(0.7..=1.05).contains(&filled) || directions < 2 {
        return None;
    }
    Some(MillingJob {
        answer: if thick <= SHEET_MM {
            Answer::No
        } else {
            Answer::Doubtful
        },
        kind: JobKind::BentSheet,
        reason: format!("{thick:.2} mm thick throughout with bends: cut and folded from sheet"),
    })
}

/// Round about one axis, with a round outline.
fn turned(solid: &SolidFaces<'_>, area: f64, holes: &[Hole]) -> Option<MillingJob> {
    let axis_of = |s: &Surface| match *s {
        Surface::Cylinder { axis, origin, .. } => Some((axis, origin)),
        Surface::Cone { axis, apex, .. } => Some((axis, apex)),
        Surface::Torus { axis, centre, .. } => Some((axis, centre)),
        _ => None,
    };
    let main = solid
        .faces
        .iter()
        .filter(|f| !f.concave && axis_of(&f.surface).is_some())
        .max_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2))?;
    let (axis, origin) = axis_of(&main.surface)?;
    let line = Round {
        origin,
        axis,
        radius: 1.0,
        slope: 0.0,
    };
    let (u, v) = axis.any_orthonormal_pair();
    let mut share = 0.0;
    let mut outline = 0.0f64;
    let mut arcs: Vec<(f64, f64)> = Vec::new();
    for face in &solid.faces {
        let round = match face.surface {
            Surface::Plane { normal, .. } => normal.cross(axis).length() < 0.01,
            Surface::Sphere { centre, .. } => line.polar(centre).1 < 2.0 * SAME_MM,
            ref s => axis_of(s).is_some_and(|(a, o)| {
                a.cross(axis).length() < 0.01 && line.polar(o).1 < 2.0 * SAME_MM
            }),
        };
        if !round {
            continue;
        }
        share += face.area_mm2 / area;
        if face.concave || matches!(face.surface, Surface::Plane { .. }) {
            continue;
        }
        for &t in &face.triangles {
            let angles = solid.mesh.corners(t as usize).map(|p| {
                let (_, rho, out) = line.polar(p);
                outline = outline.max(rho);
                libm::atan2(out.dot(v), out.dot(u))
            });
            let turn = |a: f64| {
                (a - angles[0] + std::f64::consts::PI).rem_euclid(std::f64::consts::TAU)
                    - std::f64::consts::PI
            };
            let (b, c) = (turn(angles[1]), turn(angles[2]));
            let (low, high) = (b.min(c).min(0.0), b.max(c).max(0.0));
            arcs.push((angles[0] + (low + high) / 2.0, (high - low) / 2.0 + 1e-6));
        }
    }
    let widest = solid
        .mesh
        .points()
        .iter()
        .fold(0.0f64, |w, &p| w.max(line.polar(p).1));
    // 330 degrees: two flats along the whole length of a shaft still leave a turned part only
    // where the round between them goes on elsewhere.
    if widest > 1.01 * outline + SAME_MM || covered(arcs) < 5.76 || share < TURNED[1] {
        return None;
    }
    let aside = holes
        .iter()
        .filter(|h| h.toward.cross(axis).length() > 0.01 || line.polar(h.at).1 > 2.0 * SAME_MM)
        .count();
    let work = if aside > 0 {
        format!(
            "a lathe's work, but {aside} hole(s) off the axis ask for a mill or driven tools after"
        )
    } else {
        "a lathe's work".to_owned()
    };
    Some(MillingJob {
        answer: if share >= TURNED[0] && aside == 0 {
            Answer::No
        } else {
            Answer::Doubtful
        },
        kind: JobKind::Turned,
        reason: format!(
            "{:.0} % of the surface is round about one axis or square to it, {:.2} mm across: \
             {work}",
            100.0 * share,
            2.0 * outline
        ),
    })
}
