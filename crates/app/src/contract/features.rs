//! What the faces of a part say: holes, inside corners, the kind of job.

use super::Note;
use geometry::features::Features;
use geometry::features::flat::Flat;
use geometry::features::hole::{End, Hole};
use geometry::features::job::Answer;
use geometry::features::pattern::{Layout, Pattern};
use geometry::features::thin::{Thin, ThinKind};
use geometry::model::{Body, Model};
use glam::{DMat4, DVec3};
use serde::Serialize;
use units::Severity;

/// Features of a part as the document holds them.
#[derive(Clone, Debug, Default)]
pub struct Said {
    /// yes, no or doubtful.
    pub milling_job: &'static str,
    /// Holes.
    pub holes: Vec<HoleSaid>,
    /// Alike holes in circles, rows and grids.
    pub patterns: Vec<PatternSaid>,
    /// Smallest rounded inside corner.
    pub inside_radius_mm: Option<f64>,
    /// Inside corners without a radius.
    pub sharp_inside_corners: usize,
    /// Thin walls, floors and plates.
    pub thin: Vec<ThinSaid>,
    /// Wide open flats.
    pub flats: Vec<FlatSaid>,
    /// Surface hidden from every direction its faces suggest.
    pub undercut_mm2: f64,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// A thin place.
#[derive(Clone, Debug, Serialize)]
pub struct ThinSaid {
    kind: &'static str,
    thickness_mm: f64,
    span_mm: f64,
    area_mm2: f64,
    at_mm: [f64; 3],
}

/// A wide flat.
#[derive(Clone, Debug, Serialize)]
pub struct FlatSaid {
    toward: [f64; 3],
    at_mm: [f64; 3],
    size_mm: [f64; 2],
    area_mm2: f64,
    face_mill_mm: f64,
    passes: u32,
}

/// One hole.
#[derive(Clone, Debug, Serialize)]
pub struct HoleSaid {
    /// Smallest step.
    pub diameter_mm: f64,
    /// From the entry to the end of the full diameter.
    pub depth_mm: f64,
    /// Open at both ends.
    pub through: bool,
    /// From the part to the spindle.
    pub toward: [f64; 3],
    /// Centre at the entry.
    pub at_mm: [f64; 3],
    /// flat, cone or none.
    pub bottom: &'static str,
    /// Thread its diameter is the tap drill of.
    pub thread: Option<&'static str>,
    /// From the entry down.
    pub steps: Vec<StepSaid>,
    /// Wider again beyond its narrowest step.
    pub both_sides: bool,
    /// Another hole, pocket or slot cuts it on its way.
    pub interrupted: bool,
    /// Alike holes of a body carry one number.
    pub alike: usize,
}

/// Alike holes in one layout.
#[derive(Clone, Debug, Serialize)]
pub struct PatternSaid {
    /// bolt_circle, row or grid.
    pub layout: &'static str,
    /// Numbers of its holes.
    pub holes: Vec<usize>,
    /// Diameter of a bolt circle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub circle_mm: Option<f64>,
    /// Middle of a bolt circle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub centre_mm: Option<[f64; 3]>,
    /// Holes along and across.
    pub count: Vec<usize>,
    /// From hole to hole, along and across.
    pub pitch_mm: Vec<f64>,
}

impl PatternSaid {
    fn of(pattern: &Pattern) -> Self {
        let all = vec![pattern.holes.len()];
        let (layout, circle_mm, centre_mm, count, pitch_mm) = match pattern.layout {
            Layout::BoltCircle {
                centre,
                diameter_mm,
            } => (
                "bolt_circle",
                Some(diameter_mm),
                Some(tidy(centre)),
                all,
                Vec::new(),
            ),
            Layout::Row { pitch_mm, .. } => ("row", None, None, all, vec![pitch_mm]),
            Layout::Grid {
                count, pitch_mm, ..
            } => ("grid", None, None, count.to_vec(), pitch_mm.to_vec()),
        };
        Self {
            layout,
            holes: pattern.holes.clone(),
            circle_mm,
            centre_mm,
            count,
            pitch_mm,
        }
    }

    /// As a drawing says it.
    pub fn words(&self) -> String {
        match (self.layout, self.circle_mm) {
            (_, Some(d)) => format!("evenly on a circle of {d:.2}"),
            ("row", _) => format!("in a row, {:.2} apart", self.pitch_mm[0]),
            _ => format!(
                "in a grid of {} x {}, {:.2} x {:.2} apart",
                self.count[0], self.count[1], self.pitch_mm[0], self.pitch_mm[1]
            ),
        }
    }
}

/// A step of a hole.
#[derive(Clone, Debug, Serialize)]
pub struct StepSaid {
    /// At its end nearer the entry.
    pub diameter_mm: f64,
    /// At its far end; differs on cones only.
    pub far_diameter_mm: f64,
    /// Depth below the entry at which it ends.
    pub depth_mm: f64,
    /// From its own beginning.
    pub length_mm: f64,
}

impl Said {
    /// Of one body.
    pub fn of_body(name: &str, features: &Features<'_>) -> Self {
        let job = &features.job;
        let (milling_job, severity) = match job.answer {
            Answer::Yes => ("yes", Severity::Info),
            Answer::No => ("no", Severity::Warning),
            Answer::Doubtful => ("doubtful", Severity::Warning),
        };
        let lead = match job.answer {
            Answer::Yes => "a milling job",
            Answer::No => "no milling job",
            Answer::Doubtful => "perhaps no milling job",
        };
        Self {
            milling_job,
            holes: features.holes.iter().map(HoleSaid::of).collect(),
            patterns: features.patterns.iter().map(PatternSaid::of).collect(),
            inside_radius_mm: features.smallest_inside_radius(),
            sharp_inside_corners: features.sharp.len(),
            thin: features.thin.iter().map(ThinSaid::of).collect(),
            flats: features.flats.iter().map(FlatSaid::of).collect(),
            undercut_mm2: features.undercuts.iter().map(|u| u.area_mm2).sum::<f64>() + 0.0,
            notes: remarks(name, features, severity, lead),
        }
    }

    /// Of several bodies together: holes of every occurrence whose place is known, the smallest
    /// radius, corners by count.
    pub fn of_all(bodies: &[(&Body, Said)], name: &str) -> Self {
        let mut out = Self {
            milling_job: match bodies {
                [(_, first), rest @ ..]
                    if rest.iter().all(|(_, s)| s.milling_job == first.milling_job) =>
                {
                    first.milling_job
                }
                _ => "doubtful",
            },
            ..Self::default()
        };
        for (body, said) in bodies {
            for place in &body.occurrences {
                out.holes.extend(said.holes.iter().map(|h| h.moved(place)));
            }
            out.thin.extend(said.thin.iter().cloned());
            out.flats.extend(said.flats.iter().cloned());
            out.undercut_mm2 += body.count as f64 * said.undercut_mm2;
            out.sharp_inside_corners += body.count * said.sharp_inside_corners;
            out.inside_radius_mm = match (out.inside_radius_mm, said.inside_radius_mm) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
            let unknown = body.count - body.occurrences.len().min(body.count);
            if unknown > 0 && !said.holes.is_empty() {
                out.notes.push(Note::new(
                    Severity::Info,
                    name,
                    format!(
                        "{unknown} more of a body with {} holes stand elsewhere; their holes are \
                         not listed again",
                        said.holes.len()
                    ),
                ));
            }
        }
        out.notes.push(Note::new(
            Severity::Info,
            name,
            "whether it is a milling job is said for each body",
        ));
        out
    }

    /// Of a model, and of each of its bodies when there are several.
    pub fn of(name: &str, model: &Model) -> Self {
        if model.bodies.is_empty() {
            return Self::of_body(name, &geometry::features::of(model));
        }
        let bodies: Vec<(&Body, Said)> = model
            .bodies
            .iter()
            .map(|b| (b, Self::of_body(name, &geometry::features::of(&b.model))))
            .collect();
        Self::of_all(&bodies, name)
    }
}

/// Share of the surface below which hidden spots are not worth a remark.
const WORTH_SAYING: f64 = 2e-3;

fn remarks(name: &str, features: &Features<'_>, severity: Severity, lead: &str) -> Vec<Note> {
    let mut out = vec![Note::new(
        severity,
        name,
        format!("{lead}: {}", features.job.reason),
    )];
    let deep = |times: f64| {
        let deeper = |h: &&Hole| h.depth_mm > times * h.diameter_mm;
        features.holes.iter().filter(deeper).count()
    };
    let (five, ten) = (deep(5.0), deep(10.0));
    if five > 0 {
        let worst = features
            .holes
            .iter()
            .map(|h| h.depth_mm / h.diameter_mm)
            .fold(0.0, f64::max);
        let more = if ten > 0 {
            format!(", {ten} of them deeper than 10")
        } else {
            String::new()
        };
        out.push(Note::new(
            Severity::Info,
            name,
            format!(
                "{five} hole(s) deeper than 5 diameters{more} (up to {worst:.1}): drilled in \
                 pecks or with coolant through the drill"
            ),
        ));
    }
    let area: f64 = features.solid.faces.iter().map(|f| f.area_mm2).sum();
    let hidden: f64 = features.undercuts.iter().map(|u| u.area_mm2).sum();
    if hidden > WORTH_SAYING * area {
        let at = tidy(features.undercuts[0].at);
        out.push(Note::new(
            Severity::Warning,
            name,
            format!(
                "undercut: about {hidden:.0} mm2 ({:.1} % of the surface) are hidden from every \
                 direction the faces suggest, so no straight tool reaches them; the first near \
                 ({:.1}, {:.1}, {:.1})",
                100.0 * hidden / area,
                at[0],
                at[1],
                at[2]
            ),
        ));
    }
    out
}

impl ThinSaid {
    fn of(thin: &Thin) -> Self {
        Self {
            kind: match thin.kind {
                ThinKind::Wall => "wall",
                ThinKind::Floor => "floor",
                ThinKind::Plate => "plate",
            },
            thickness_mm: thin.thickness_mm,
            span_mm: thin.span_mm,
            area_mm2: thin.area_mm2,
            at_mm: tidy(thin.at),
        }
    }
}

impl FlatSaid {
    fn of(flat: &Flat) -> Self {
        Self {
            toward: tidy(flat.normal),
            at_mm: tidy(flat.at),
            size_mm: flat.size_mm,
            area_mm2: flat.area_mm2,
            face_mill_mm: flat.face_mill_mm,
            passes: flat.passes,
        }
    }
}

impl HoleSaid {
    fn of(hole: &Hole) -> Self {
        Self {
            diameter_mm: hole.diameter_mm,
            depth_mm: hole.depth_mm,
            through: hole.through,
            toward: tidy(hole.toward),
            at_mm: tidy(hole.at),
            bottom: match hole.ends[1] {
                End::Flat | End::Round => "flat",
                End::Cone => "cone",
                End::Open | End::Cavity | End::Closed => "none",
            },
            thread: hole.thread,
            steps: hole
                .steps
                .iter()
                .map(|s| StepSaid {
                    diameter_mm: s.diameter_mm,
                    far_diameter_mm: s.far_diameter_mm,
                    depth_mm: s.to_mm,
                    length_mm: s.to_mm - s.from_mm,
                })
                .collect(),
            both_sides: hole.both_sides,
            interrupted: hole.interrupted,
            alike: hole.alike,
        }
    }

    fn moved(&self, place: &DMat4) -> Self {
        let toward = place.transform_vector3(DVec3::from(self.toward));
        Self {
            toward: tidy(toward.normalize_or_zero()),
            at_mm: tidy(place.transform_point3(DVec3::from(self.at_mm))),
            ..self.clone()
        }
    }
}

/// To a millionth, without negative zeros.
fn tidy(v: DVec3) -> [f64; 3] {
    v.to_array().map(|c| (c * 1e6).round() / 1e6 + 0.0)
}
