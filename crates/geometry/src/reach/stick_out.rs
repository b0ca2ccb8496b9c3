//! How long tools must stick out so that what is above their flutes stays clear.

use super::Place;
use super::all::{Reacher, in_chunks};
use crate::height_map::HeightMap;
use crate::samples::Sample;
use crate::tip_bounds::TipBounds;
use crate::tool_shape::ToolShape;
use glam::{DVec2, DVec3, Vec3Swizzles};
use units::{Cancelled, Watch};

/// A cylinder of a shank, holder or spindle nose: everything from `from_mm` up, counted from the
/// end that may first touch, is within `radius_mm` of the axis or belongs to a wider step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BodyStep {
    /// Radius, mm.
    pub radius_mm: f64,
    /// Where it begins, mm above the body's lower end.
    pub from_mm: f64,
}

/// Least length from the tip to a body's lower end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StickOut {
    /// Place of the tip it holds for.
    pub tip: DVec3,
    /// With this length the body is clear.
    pub length_mm: f64,
    /// No admissible place of the tip allows less than this.
    pub least_mm: f64,
}

/// One step of the body over one thing it must clear.
struct Clear<'a> {
    map: &'a HeightMap,
    tool: ToolShape,
    from_mm: f64,
    bounds: TipBounds,
}

/// Least stick-out of a body (`steps`) over every sample the tool reaches, `None` for others.
///
/// The body clears the part, everything in `around` (stock as it stands, jaws, plates, each seen
/// in the setup's frame) and the clamp plane at the reacher's floor. On a level face the tip may
/// stand at many places; the shortest found is given with a bound on what any other could save,
/// refined by exact tests until `length_mm` is exact for its tip to `precision_mm`.
pub fn stick_out_all(
    reacher: &Reacher<'_>,
    steps: &[BodyStep],
    around: &[&HeightMap],
    samples: &[Sample],
    precision_mm: f64,
    watch: Watch<'_>,
) -> Result<Vec<Option<StickOut>>, Cancelled> {
    let mut body = Vec::new();
    for step in steps {
        let Ok(cylinder) = ToolShape::new(step.radius_mm, 0.0) else {
            continue;
        };
        let tool = cylinder.eased(reacher.tolerance.gouge_mm);
        for map in std::iter::once(&reacher.map).chain(around) {
            watch.check()?;
            body.push(Clear {
                map,
                tool,
                from_mm: step.from_mm,
                bounds: TipBounds::new(map, &tool),
            });
        }
    }
    // A body that begins below its first step, or over the clamp plane only, still has to stay
    // above that plane.
    let lowest = steps.iter().map(|s| s.from_mm).fold(0.0, f64::min);
    let floor = reacher.floor_mm - lowest;
    in_chunks(samples, watch, |sample| {
        let tip = reacher.one(sample).tip()?;
        Some(least(reacher, &body, floor, sample, tip, precision_mm))
    })
}

/// Between which heights the body's lower end may come to stand.
fn end_bounds(body: &[Clear<'_>], floor: f64, axis: DVec2) -> [f64; 2] {
    body.iter().fold([floor, floor], |[low, high], clear| {
        let [l, h] = clear.bounds.at(axis);
        [low.max(l - clear.from_mm), high.max(h - clear.from_mm)]
    })
}

fn end_exact(body: &[Clear<'_>], floor: f64, axis: DVec2) -> f64 {
    body.iter().fold(floor, |z, clear| {
        let tip = clear.map.tip(&clear.tool, axis);
        tip.map_or(z, |t| z.max(t.tip_z - clear.from_mm))
    })
}

fn least(
    reacher: &Reacher<'_>,
    body: &[Clear<'_>],
    floor: f64,
    sample: &Sample,
    tip: DVec3,
    precision_mm: f64,
) -> StickOut {
    let level = matches!(
        Place::of(
            &reacher.tool,
            sample.point,
            sample.normal,
            &reacher.tolerance
        ),
        Place::Level
    );
    let mut axis = tip.xy();
    let [mut low, mut high] = end_bounds(body, floor, axis);
    if level {
        let z = sample.point.z + reacher.tolerance.gouge_mm;
        let point = sample.point.xy();
        let (column, row) = reacher.bounds.cell(point);
        for offset in &reacher.around {
            // Nothing can be shorter than none at all.
            if high <= tip.z {
                break;
            }
            let at = (column + offset.column, row + offset.row);
            let [lower, upper] = reacher.bounds.at_cell(at.0, at.1);
            if lower > z {
                continue;
            }
            if let Some(place) = offset.place
                && upper <= z
            {
                let end = end_bounds(body, floor, point + place);
                if end[1] < high {
                    high = end[1];
                    axis = point + place;
                }
            }
            low = low.min(least_in_cell(reacher, body, floor, at));
        }
    }
    if high - low.max(tip.z) > precision_mm {
        high = end_exact(body, floor, axis).min(high);
        if !level {
            low = high;
        }
    }
    StickOut {
        tip: axis.extend(tip.z),
        length_mm: (high - tip.z).max(0.0),
        least_mm: (low.min(high) - tip.z).max(0.0),
    }
}

/// Lowest the body's end could stand for any axis within a cell of the tool's grid: the least of
/// the body's own cells that overlap it.
fn least_in_cell(reacher: &Reacher<'_>, body: &[Clear<'_>], floor: f64, at: (i64, i64)) -> f64 {
    let (origin, ..) = reacher.bounds.extent();
    let step = reacher.bounds.step_mm();
    let corner = origin + DVec2::new(at.0 as f64, at.1 as f64) * step;
    body.iter().fold(floor, |z, clear| {
        let hair = DVec2::splat(1e-7 * step);
        let (c0, r0) = clear.bounds.cell(corner - hair);
        let (c1, r1) = clear.bounds.cell(corner + step + hair);
        let mut least = f64::INFINITY;
        for row in r0..=r1 {
            for column in c0..=c1 {
                least = least.min(clear.bounds.at_cell(column, row)[0]);
            }
        }
        z.max(least - clear.from_mm)
    })
}
