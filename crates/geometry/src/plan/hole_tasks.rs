//! Steps of holes made in one setup, gathered to tasks.

use super::drilled::HoleStep;
use super::finish;
use super::setups::Maker;
use super::tasks::{Key, PlannedKind, PlannedTask, PlannedTool, blank, sort, um};
use super::tools::{Cutter, CutterKind, own_is_enough};
use super::view::View;
use crate::features::LARGEST_DRILL_MM;
use crate::features::hole::{End, Hole};
use glam::DVec3;
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_4;

/// A hole is milled with a cutter of this share of its diameter, so that chips get out (common
/// practice, no source).
const HOLE_MILL_SHARE: f64 = 0.75;
/// Point of a 118 degree drill, share of the diameter: 0.5 tan 31 deg.
const POINT_SHARE: f64 = 0.3004;

/// Hole tasks of a setup; `made` are numbers of steps made in it.
pub(super) fn of_steps(maker: &Maker<'_>, view: &View, made: &[usize]) -> Vec<PlannedTask> {
    let mut tasks: BTreeMap<(Key, i64, i64, i64), PlannedTask> = BTreeMap::new();
    let mut add = |task: PlannedTask| {
        let key = (
            task.kind,
            task.tool,
            um(task.diameter_mm),
            um(task.corner_mm),
        );
        // Alike holes share a task; other depths are other tasks. Fitted holes differ by microns.
        let depth = (task.cut_depth_mm * 20.0).round() as i64;
        let tip = (task.depth_mm * 20.0).round() as i64;
        let at = (key, um(task.pitch_mm), depth, tip);
        match tasks.get_mut(&at) {
            Some(known) => {
                known.count += 1;
                known.volume_mm3 += task.volume_mm3;
                known.area_mm2 += task.area_mm2;
                known.must_mm2 += task.must_mm2;
                known.reach_mm = known.reach_mm.max(task.reach_mm);
            }
            None => {
                tasks.insert(at, task);
            }
        }
    };
    for &s in made {
        let step = &maker.found.steps[s];
        let here = StepHere::new(maker, view, made, step);
        if step.opens.is_some() {
            add(here.countersink(step));
        } else if let Some(work) = here.work(maker, step) {
            let finish = work.task(here.task(PlannedKind::Bore, PlannedTool::Boring, 0.0));
            let last_mm3 = finish.as_ref().map_or(0.0, |t| t.volume_mm3);
            let mut first = if work.is_drilled() {
                here.drilled(maker, step, work.opened_mm())
            } else {
                here.milled(maker.cutters, step)
            };
            first.volume_mm3 = (first.volume_mm3 - last_mm3).max(0.0);
            add(first);
            if let Some(task) = finish {
                add(task);
            }
        } else if step.diameter_mm > LARGEST_DRILL_MM {
            add(here.milled(maker.cutters, step));
            add(here.bored(step));
        } else if here.core_mm > 0.0 {
            add(here.milled(maker.cutters, step));
        } else {
            add(here.drilled(maker, step, step.diameter_mm));
        }
    }
    let mut out: Vec<PlannedTask> = tasks.into_values().collect();
    sort(&mut out);
    out
}

/// A step as it lies in a setup.
struct StepHere {
    length_mm: f64,
    /// Diameter already drilled through it, mm.
    core_mm: f64,
    /// Length of wider steps above it that its drill passes, mm.
    passed_mm: f64,
    depth_mm: f64,
    reach_mm: f64,
    pointed: bool,
    wall_mm2: f64,
    volume_mm3: f64,
}

impl StepHere {
    fn new(maker: &Maker<'_>, view: &View, made: &[usize], step: &HoleStep) -> StepHere {
        let hole: &Hole = &maker.shape.holes[step.hole];
        let along = view.toward.dot(hole.toward) > 0.0;
        let far: DVec3 = step.ends[usize::from(along)];
        let length_mm = step.ends[0].distance(step.ends[1]);
        let narrowest = made
            .iter()
            .map(|s| &maker.found.steps[*s])
            .filter(|o| o.hole == step.hole && o.opens.is_none())
            .map(|o| o.diameter_mm)
            .fold(f64::INFINITY, f64::min);
        let is_core = step.opens.is_none() && step.diameter_mm <= narrowest + 1e-3;
        let drilled = narrowest.min(LARGEST_DRILL_MM);
        let core_mm = if is_core && step.diameter_mm <= LARGEST_DRILL_MM {
            0.0
        } else if narrowest.is_finite() && !is_core && narrowest <= drilled {
            narrowest
        } else {
            0.0
        };
        let wider = made
            .iter()
            .map(|s| &maker.found.steps[*s])
            .filter(|o| o.hole == step.hole && o.mean_mm() > step.diameter_mm + 1e-3)
            .map(|o| o.ends[0].distance(o.ends[1]))
            .sum();
        let passed_mm = if is_core && step.diameter_mm <= LARGEST_DRILL_MM {
            wider
        } else {
            0.0
        };
        let [a, b] = step.diameters_mm;
        // A frustum of a cone.
        let whole = FRAC_PI_4 * length_mm * (a * a + a * b + b * b) / 3.0;
        let core = FRAC_PI_4 * core_mm * core_mm * length_mm;
        StepHere {
            length_mm,
            core_mm,
            passed_mm,
            depth_mm: view.z[1] + maker.options.allowance_mm - (view.setup_from_part * far).z,
            reach_mm: view.drill_reach_mm(far),
            pointed: hole.ends[usize::from(along)] == End::Cone,
            wall_mm2: std::f64::consts::PI * step.mean_mm() * length_mm,
            volume_mm3: (whole - core).max(0.0)
                + FRAC_PI_4 * step.diameter_mm * step.diameter_mm * passed_mm,
        }
    }

    fn task(&self, kind: PlannedKind, tool: PlannedTool, diameter_mm: f64) -> PlannedTask {
        PlannedTask {
            volume_mm3: self.volume_mm3,
            must_mm2: self.wall_mm2,
            area_mm2: self.wall_mm2,
            depth_mm: self.depth_mm,
            cut_depth_mm: self.length_mm,
            step_mm: self.length_mm,
            // Where the holder goes in as well, the tool still sticks out as deep as it cuts.
            reach_mm: self.reach_mm.max(self.length_mm),
            of_hole: true,
            ..blank(kind, tool, diameter_mm, 0.0)
        }
    }

    /// What the step is to become beyond what is drawn.
    fn work<'a>(&self, maker: &Maker<'_>, step: &'a HoleStep) -> Option<finish::Made<'a>> {
        let wanted = maker.options.finish.iter();
        let mut own = wanted.filter(|f| f.hole == step.hole && f.step == step.step);
        Some(finish::Made {
            step,
            finish: own.next()?.finish,
            through: maker.shape.holes[step.hole].through,
            core_mm: self.core_mm,
        })
    }

    fn drilled(&self, maker: &Maker<'_>, step: &HoleStep, diameter_mm: f64) -> PlannedTask {
        let mut task = self.task(PlannedKind::Drill, PlannedTool::Drill, diameter_mm);
        let point = POINT_SHARE * diameter_mm;
        let through = maker.shape.holes[step.hole].through;
        task.cut_depth_mm = self.length_mm + self.passed_mm;
        if through || self.pointed {
            task.depth_mm += point;
            task.reach_mm += point;
        }
        task
    }

    fn milled(&self, cutters: &[Cutter], step: &HoleStep) -> PlannedTask {
        let most = if self.core_mm > 0.0 {
            step.diameter_mm
        } else {
            HOLE_MILL_SHARE * step.diameter_mm
        };
        let flat = || cutters.iter().filter(|c| c.kind == CutterKind::Flat);
        let radius = |c: &&Cutter| c.shape.radius_mm();
        let long_enough = || {
            let fits = |c: &&Cutter| {
                2.0 * c.shape.radius_mm() <= most + 1e-3 && c.usable_mm >= self.length_mm
            };
            flat().filter(fits)
        };
        let widest = long_enough().max_by(|a, b| radius(a).total_cmp(&radius(b)));
        let own = long_enough()
            .filter(|c| c.owned && widest.is_some_and(|w| own_is_enough(c, w)))
            .max_by(|a, b| radius(a).total_cmp(&radius(b)));
        let long_enough = own.or(widest);
        let any = flat().min_by(|a, b| radius(a).total_cmp(&radius(b)));
        let diameter = long_enough
            .or(any)
            .map_or(most, |c| 2.0 * c.shape.radius_mm());
        self.task(PlannedKind::Rough, PlannedTool::Flat, diameter)
    }

    fn bored(&self, step: &HoleStep) -> PlannedTask {
        let mut task = self.task(PlannedKind::Bore, PlannedTool::Boring, step.diameter_mm);
        // The milling before took the volume and made the wall; the bar brings it to size.
        task.volume_mm3 = 0.0;
        task.must_mm2 = 0.0;
        task
    }

    fn countersink(&self, step: &HoleStep) -> PlannedTask {
        let wide = step.diameters_mm[0].max(step.diameters_mm[1]);
        self.task(PlannedKind::Chamfer, PlannedTool::Chamfer, wide)
    }
}
