//! What the faces of a part say: holes, inside corners, the kind of job.

use super::Note;
use geometry::features::Features;
use geometry::features::hole::{End, Hole};
use geometry::features::job::Answer;
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
    /// Smallest rounded inside corner.
    pub inside_radius_mm: Option<f64>,
    /// Inside corners without a radius.
    pub sharp_inside_corners: usize,
    /// Remarks.
    pub notes: Vec<Note>,
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
            inside_radius_mm: features.smallest_inside_radius(),
            sharp_inside_corners: features.sharp.len(),
            notes: vec![Note::new(severity, name, format!("{lead}: {}", job.reason))],
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
