//! Reach of many points at once: bounds from the grid settle most, the exact test the rest.

use super::{Place, Reach, Tolerance, reach, touched};
use crate::height_map::HeightMap;
use crate::samples::Sample;
use crate::tip_bounds::TipBounds;
use crate::tool_shape::ToolShape;
use glam::{DVec2, Vec3Swizzles};
use rayon::prelude::*;
use units::{Cancelled, Watch};

/// Samples between two looks at the cancel flag.
const CHUNK: usize = 512;

/// One tool over one setup, ready for many points.
pub struct Reacher<'a> {
    pub(super) map: &'a HeightMap,
    pub(super) tool: ToolShape,
    pub(super) floor_mm: f64,
    pub(super) tolerance: Tolerance,
    pub(super) bounds: TipBounds,
    /// Cells within the flat bottom of a point's own cell, nearest first.
    pub(super) around: Vec<Offset>,
}

/// A cell next to that of a point.
#[derive(Clone, Copy)]
pub(super) struct Offset {
    pub(super) column: i64,
    pub(super) row: i64,
    /// The place the same way off the point as the cells are off each other, if within the flat
    /// bottom: it lies in the cell.
    pub(super) place: Option<DVec2>,
}

/// What the grid alone says about a level point.
pub(super) enum Level {
    Reached(DVec2),
    Unreached,
    Undecided,
}

impl<'a> Reacher<'a> {
    /// Makes the tip bounds of `tool` over `map`; the tip never goes below `floor_mm`.
    pub fn new(
        map: &'a HeightMap,
        tool: &ToolShape,
        floor_mm: f64,
        tolerance: &Tolerance,
    ) -> Reacher<'a> {
        let bounds = TipBounds::new(map, &tool.eased(tolerance.gouge_mm));
        let (step, flat) = (bounds.step_mm(), tool.flat_mm());
        let reach = (flat / step) as i64 + 1;
        let mut around = Vec::new();
        for row in -reach..=reach {
            for column in -reach..=reach {
                let off = DVec2::new(column as f64, row as f64) * step;
                let nearest = (off.abs() - step).max(DVec2::ZERO).length() - 1e-7 * step;
                if flat > 0.0 && nearest <= flat {
                    around.push(Offset {
                        column,
                        row,
                        place: (off.length() <= flat).then_some(off),
                    });
                }
            }
        }
        around.sort_by_key(|o| o.column * o.column + o.row * o.row);
        Reacher {
            map,
            tool: *tool,
            floor_mm,
            tolerance: *tolerance,
            bounds,
            around,
        }
    }

    /// As [`reach`] for one point; on a level face the tip may be another place that serves.
    pub fn one(&self, sample: &Sample) -> Reach {
        self.by_bounds(sample).unwrap_or_else(|| {
            reach(
                self.map,
                &self.tool,
                sample.point,
                sample.normal,
                self.floor_mm,
                &self.tolerance,
            )
        })
    }

    /// What the bounds alone say; `None` when they do not decide.
    pub fn by_bounds(&self, sample: &Sample) -> Option<Reach> {
        let (point, normal) = (sample.point, sample.normal);
        let gouge = self.tolerance.gouge_mm;
        match Place::of(&self.tool, point, normal, &self.tolerance) {
            Place::Away => Some(Reach::Unreached),
            Place::Level if point.z < self.floor_mm - gouge => Some(Reach::Unreached),
            Place::Level => match self.level(point.xy(), point.z) {
                Level::Reached(axis) => Some(Reach::Finished(axis.extend(point.z))),
                Level::Unreached => Some(Reach::Unreached),
                Level::Undecided => None,
            },
            Place::At(tip) if tip.z < self.floor_mm - gouge => Some(Reach::Unreached),
            Place::At(tip) => {
                let [lower, upper] = self.bounds.at(tip.xy());
                if lower > tip.z + gouge {
                    Some(Reach::Unreached)
                } else if upper <= tip.z + gouge {
                    Some(touched(&self.tool, tip, normal, &self.tolerance))
                } else {
                    None
                }
            }
        }
    }

    pub(super) fn level(&self, point: DVec2, z: f64) -> Level {
        let z = z + self.tolerance.gouge_mm;
        let (column, row) = self.bounds.cell(point);
        let mut blocked = true;
        for offset in &self.around {
            let [lower, upper] = self
                .bounds
                .at_cell(column + offset.column, row + offset.row);
            if let Some(place) = offset.place
                && upper <= z
            {
                return Level::Reached(point + place);
            }
            blocked &= lower > z;
        }
        if blocked {
            Level::Unreached
        } else {
            Level::Undecided
        }
    }

    /// Reach of all samples, in order.
    pub fn all(&self, samples: &[Sample], watch: Watch<'_>) -> Result<Vec<Reach>, Cancelled> {
        in_chunks(samples, watch, |sample| self.one(sample))
    }
}

/// `answer` for every sample, in parallel, in order, until cancelled.
pub(super) fn in_chunks<T: Send>(
    samples: &[Sample],
    watch: Watch<'_>,
    answer: impl Fn(&Sample) -> T + Sync,
) -> Result<Vec<T>, Cancelled> {
    let chunks: Result<Vec<Vec<T>>, Cancelled> = samples
        .par_chunks(CHUNK)
        .map(|chunk| {
            watch.check()?;
            Ok(chunk.iter().map(&answer).collect())
        })
        .collect();
    Ok(chunks?.into_iter().flatten().collect())
}

/// [`reach`] of every sample (points and normals in the setup's frame): the same answers, many
/// times faster. Where a level face is reached, the tip may be another place that serves.
pub fn reach_all(
    map: &HeightMap,
    tool: &ToolShape,
    samples: &[Sample],
    floor_mm: f64,
    tolerance: &Tolerance,
    watch: Watch<'_>,
) -> Result<Vec<Reach>, Cancelled> {
    watch.check()?;
    Reacher::new(map, tool, floor_mm, tolerance).all(samples, watch)
}
