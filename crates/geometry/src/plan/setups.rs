//! The plan: setups in order, how each is held, which cutter makes what, and what is left.

use super::assign::{self, List, Point, finishing, sensible, shortest_list};
use super::clamp::{Clamp, Groups, Held, groups, hold_all};
use super::direction::setup_rotation;
use super::exempt::Exempt;
use super::hole_tasks;
use super::stock_left::{StockLeft, Swept};
use super::tasks::{self, Made, PlannedTask};
use super::tools::{self, Cutter, CutterKind, MOST_CUTTERS};
use super::view::{self, Lie, View};
use super::{Directions, Options, Shape, directions};
use crate::features::corner::{inside_corners, sharp_inside_corners, smallest_inside_radius};
use glam::{DMat4, DVec3};
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use units::{Cancelled, Watch};

/// How a point of the surface fares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fate {
    /// Finished in a setup by a cutter (numbers).
    Finished {
        /// Setup.
        setup: usize,
        /// Cutter in [`Plan::cutters`].
        cutter: usize,
    },
    /// Part of a hole.
    Hole,
    /// Reached, but only in steps.
    Stepped {
        /// Setup.
        setup: usize,
    },
    /// By no allowed cutter.
    Unreached,
    /// Told apart: a mark, a broken edge, stock left.
    Apart(Exempt),
}

/// One clamping.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlannedSetup {
    /// Unit vector from the part to the spindle, part frame.
    pub toward: DVec3,
    /// Part frame to setup frame: Z towards the spindle, origin at the lowest corner of the stock.
    pub setup_from_part: DMat4,
    /// Size of the stock in that frame, mm.
    pub extent_mm: [f64; 3],
    /// Share of the area that must be cut.
    pub area_share: f64,
    /// How it is held.
    pub clamp: Clamp,
    /// Cutting, in order.
    pub tasks: Vec<PlannedTask>,
}

/// A part's plan. Written down it keeps everything but the points of the surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// Clampings in order.
    pub setups: Vec<PlannedSetup>,
    /// True when no smaller set of directions does.
    pub proven: bool,
    /// Directions tried.
    pub tried: usize,
    /// Every smallest set of directions found (at most 64).
    pub alternatives: Vec<Vec<DVec3>>,
    /// Clampings on machines with more axes.
    pub groups: Groups,
    /// Cutters allowed, in the order of [`Fate::Finished`].
    #[serde(skip)]
    pub cutters: Vec<Cutter>,
    /// Points of the surface and how each fares.
    #[serde(skip)]
    pub surface: Vec<(super::sample::FaceSample, Fate)>,
    /// Area that must be cut, mm2.
    pub must_mm2: f64,
    /// Of it reached by no allowed cutter, mm2.
    pub unreached_mm2: f64,
    /// Of it reached only in steps, mm2.
    pub stepped_mm2: f64,
    /// Engraved marks, mm2.
    pub marks_mm2: f64,
    /// Broken edges, mm2.
    pub breaks_mm2: f64,
    /// Left out as below what the points can tell, mm2.
    pub slivers_mm2: f64,
    /// Steps of holes that no direction makes: (hole, step).
    pub unmade_steps: Vec<(usize, usize)>,
    /// Volume to remove, mm3.
    pub removed_mm3: f64,
    /// Of it out of every cutter's way, mm3.
    pub left_mm3: f64,
    /// Volumes of tasks are right within about this, mm3: what cells and holes were off before
    /// they were scaled.
    pub volume_error_mm3: f64,
    /// Largest depth of any task against the diameter of its tool.
    pub depth_to_diameter: Option<f64>,
    /// Allowance of the stock it was made for, mm.
    pub allowance_mm: f64,
    /// Sharp inside corners that stay uncut from these directions.
    pub sharp_inside_corners: usize,
    /// Cutters left out of the choice, because there are more than it can hold.
    #[serde(default)]
    pub cutters_left_out: usize,
    /// Smallest rounded inside corner along these directions, marks left out, mm.
    pub inside_radius_mm: Option<f64>,
}

/// Changes whenever a plan of the same part may come out otherwise.
pub const ALGORITHM: u32 = 6;

/// Plans a part.
pub fn plan(shape: &Shape<'_>, options: &Options, watch: Watch<'_>) -> Result<Plan, Cancelled> {
    let found = directions(shape, options, watch)?;
    let (cutters, cutters_left_out) = tools::listed(&options.cutters);
    let cutters = view::search_order(&cutters);
    let mut order: Vec<usize> = found.chosen.directions.clone();
    let own = |c: &usize| -> f64 {
        let served = found.samples.all.iter().zip(&found.served);
        served
            .filter(|(_, m)| *m >> c & 1 == 1)
            .map(|(s, _)| s.area_mm2)
            .sum()
    };
    // The setup that makes most comes first; the others then stand on made faces. In hundredths,
    // so that the spread of points decides nothing.
    let whole: f64 = found.samples.all.iter().map(|s| s.area_mm2).sum();
    let rank = |c: &usize| (100.0 * own(c) / whole.max(f64::MIN_POSITIVE)).round() as i64;
    order.sort_by(|a, b| rank(b).cmp(&rank(a)).then(a.cmp(b)));
    let views: Vec<Arc<View>> = order
        .iter()
        .filter_map(|c| {
            let candidate = &found.candidates[*c];
            View::new(
                shape,
                candidate.toward,
                candidate.setup_from_part(shape),
                options.allowance_mm,
                found.chord_mm,
            )
            .map(Arc::new)
        })
        .collect();
    let maker = Maker {
        shape,
        options,
        found: &found,
        order,
        views,
        cutters: &cutters,
    };
    let plan = maker.plan(watch)?;
    Ok(Plan {
        cutters_left_out,
        ..plan
    })
}

/// Radius from which a larger cutter is no reason for another setup, um (common practice, no
/// source).
const AMPLE_UM: i64 = 4000;

pub(super) struct Maker<'a> {
    pub(super) shape: &'a Shape<'a>,
    pub(super) options: &'a Options,
    pub(super) found: &'a Directions,
    order: Vec<usize>,
    pub(super) views: Vec<Arc<View>>,
    pub(super) cutters: &'a [Cutter],
}

impl Maker<'_> {
    fn plan(mut self, watch: Watch<'_>) -> Result<Plan, Cancelled> {
        let samples = &self.found.samples.all;
        let in_hole = self.in_hole();
        let must = |i: usize| {
            self.found.exempt[samples[i].face as usize] == Exempt::No
                && !in_hole[samples[i].face as usize]
        };
        // What could make each point, setup by setup.
        let mut ways: Vec<Vec<assign::Options>> = Vec::new();
        for (k, view) in self.views.iter().enumerate() {
            watch.tick("cutters", k, self.views.len())?;
            let bit = self.order[k];
            let (_, extent_mm) = frame(self.shape, view.toward, self.options.allowance_mm);
            let sensible = sensible(self.cutters, extent_mm[0].min(extent_mm[1]));
            ways.push(
                (0..samples.len())
                    .into_par_iter()
                    .map(|i| {
                        if must(i) && self.found.served[i] >> bit & 1 == 1 {
                            let near = &self.found.near[i];
                            let edges = &self.found.edges;
                            let mut way = finishing(view, self.cutters, &samples[i], near, edges);
                            way.too_wide = way.cutters & sensible == 0;
                            if !way.too_wide {
                                way.cutters &= sensible;
                            }
                            way.cutters = assign::own_first(way.cutters, self.cutters);
                            way
                        } else {
                            assign::Options::default()
                        }
                    })
                    .collect(),
            );
        }
        let makes = |k: usize, i: usize| ways[k][i].cutters != 0;
        let held = hold_all(
            self.shape,
            self.options,
            &self.views,
            &self.found.samples,
            &makes,
        );
        let clamps = self.with_clampings_again(held, &mut ways);
        let chosen = self.setup_of_points(&ways, &clamps);
        let lists = self.lists(&ways, &chosen);
        let fates = self.fates(&ways, &chosen, &lists, &must, &in_hole, watch)?;
        self.gather(fates, &lists, clamps, watch)
    }

    /// Adds the clampings that make what is hidden otherwise, each after the setup it repeats, and
    /// leaves their points to them.
    fn with_clampings_again(
        &mut self,
        held: Held,
        ways: &mut Vec<Vec<assign::Options>>,
    ) -> Vec<Clamp> {
        let mut clamps = held.clamps;
        let mut again = held.again;
        // From the back, so that earlier numbers stay.
        again.sort_by_key(|(k, ..)| std::cmp::Reverse(*k));
        for (k, clamp, points) in again {
            let mut own = vec![assign::Options::default(); ways[k].len()];
            for i in points {
                own[i] = ways[k][i].clone();
                for way in ways.iter_mut() {
                    way[i] = assign::Options::default();
                }
            }
            ways.insert(k + 1, own);
            clamps.insert(k + 1, clamp);
            self.order.insert(k + 1, self.order[k]);
            self.views.insert(k + 1, Arc::clone(&self.views[k]));
        }
        clamps
    }

    fn in_hole(&self) -> Vec<bool> {
        let mut out = vec![false; self.shape.solid.faces.len()];
        for &f in self.shape.holes.iter().flat_map(|h| &h.faces) {
            out[f as usize] = true;
        }
        out
    }

    /// The setup that makes each point: out of the jaws, as floor or wall rather than slanted, with
    /// the largest cutter, the earliest.
    fn setup_of_points(
        &self,
        ways: &[Vec<assign::Options>],
        clamps: &[Clamp],
    ) -> Vec<Option<usize>> {
        (0..self.found.samples.all.len())
            .into_par_iter()
            .map(|i| {
                let sample = &self.found.samples.all[i];
                let key = |k: &usize| {
                    let way = &ways[*k][i];
                    let clamp = &clamps[*k];
                    let allowance = self.options.allowance_mm;
                    let gripped = clamp.covers(self.shape, allowance, &self.views[*k], sample);
                    let owned = way.cutters & self.owned() != 0;
                    let largest = (0..self.cutters.len().min(MOST_CUTTERS))
                        .filter(|c| way.cutters >> c & 1 == 1)
                        .map(|c| (self.cutters[c].shape.radius_mm() * 1e3) as i64)
                        .max();
                    (
                        !gripped,
                        !way.too_wide,
                        way.lie != Some(Lie::Slanted),
                        owned,
                        largest.map(|um| um.min(AMPLE_UM)),
                        std::cmp::Reverse(*k),
                    )
                };
                (0..ways.len())
                    .filter(|k| ways[*k][i].cutters != 0)
                    .max_by_key(key)
            })
            .collect()
    }

    /// Cutters the shop has.
    fn owned(&self) -> u128 {
        let own = self.cutters.iter().take(MOST_CUTTERS).enumerate();
        own.filter(|(_, c)| c.owned).map(|(k, _)| 1u128 << k).sum()
    }

    fn lists(&self, ways: &[Vec<assign::Options>], chosen: &[Option<usize>]) -> Vec<List> {
        (0..ways.len())
            .map(|k| {
                let points: Vec<Point> = chosen
                    .iter()
                    .enumerate()
                    .filter(|(_, c)| **c == Some(k))
                    .map(|(i, _)| Point {
                        cutters: ways[k][i].cutters,
                        area_mm2: self.found.samples.all[i].area_mm2,
                        face: self.found.samples.all[i].face,
                        square: ways[k][i].lie != Some(Lie::Slanted),
                    })
                    .collect();
                shortest_list(&points, self.cutters)
            })
            .collect()
    }

    /// How every point fares, with the tip that makes it.
    #[allow(clippy::too_many_arguments, reason = "one step of one walk")]
    fn fates(
        &self,
        ways: &[Vec<assign::Options>],
        chosen: &[Option<usize>],
        lists: &[List],
        must: &(dyn Fn(usize) -> bool + Sync),
        in_hole: &[bool],
        watch: Watch<'_>,
    ) -> Result<Vec<(Fate, Option<Made>)>, Cancelled> {
        watch.check()?;
        let samples = &self.found.samples.all;
        let out = (0..samples.len())
            .into_par_iter()
            .map(|i| {
                let sample = &samples[i];
                if in_hole[sample.face as usize] {
                    return (Fate::Hole, None);
                }
                if !must(i) {
                    return (Fate::Apart(self.found.exempt[sample.face as usize]), None);
                }
                let Some(k) = chosen[i] else {
                    let flats = || self.cutters.iter().filter(|c| c.kind == CutterKind::Flat);
                    let stepped = self.views.iter().position(|v| {
                        flats().any(|c| v.made(c, sample.point, sample.normal, false).is_some())
                    });
                    let fate = stepped.map_or(Fate::Unreached, |setup| Fate::Stepped { setup });
                    return (fate, None);
                };
                let way = &ways[k][i];
                let largest = lists[k]
                    .cutters
                    .iter()
                    .find(|c| way.cutters >> **c & 1 == 1);
                // A sliver goes with the smallest cutter there is.
                let Some(&cutter) = largest.or(lists[k].cutters.last()) else {
                    return (Fate::Unreached, None);
                };
                let view = &self.views[k];
                let made = view.made(&self.cutters[cutter], sample.point, sample.normal, true);
                // Beside a sharp corner the tip stands off; level with the point all the same.
                let tip_z = made.map_or((view.setup_from_part * sample.point).z, |m| m.tip.z);
                let reach_mm = made.map_or(view.z[1] - tip_z, |m| m.reach_mm);
                let neck_mm = made.map_or(0.0, |m| m.neck_mm);
                let lie = way.lie.unwrap_or(Lie::Wall);
                let made = Made {
                    setup: k,
                    cutter,
                    lie,
                    tip_z,
                    reach_mm,
                    neck_mm,
                };
                (Fate::Finished { setup: k, cutter }, Some(made))
            })
            .collect();
        Ok(out)
    }

    fn gather(
        &self,
        fates: Vec<(Fate, Option<Made>)>,
        lists: &[List],
        clamps: Vec<Clamp>,
        watch: Watch<'_>,
    ) -> Result<Plan, Cancelled> {
        let samples = &self.found.samples.all;
        let of = |test: &dyn Fn(&Fate) -> bool| -> f64 {
            let all = fates.iter().zip(samples);
            all.filter(|((f, _), _)| test(f))
                .map(|(_, s)| s.area_mm2)
                .sum()
        };
        let b = self.shape.smallest_box;
        let allowance = self.options.allowance_mm;
        let stock_mm3: f64 = b.extents.iter().map(|e| e + 2.0 * allowance).product();
        let removed_mm3 = (stock_mm3 - self.shape.volume_mm3).max(0.0);
        let mut left = StockLeft::new(self.shape, allowance, removed_mm3);
        let cells_off_mm3 = left.off_mm3;
        let must_mm2 = of(&|f| !matches!(f, Fate::Apart(_)));
        let mut steps_open: Vec<bool> = vec![true; self.found.steps.len()];
        let mut drilled_mm3 = self.take_holes(&mut left);
        let mut edges_open: Vec<bool> = fates
            .iter()
            .map(|(f, _)| *f == Fate::Apart(Exempt::Break))
            .collect();
        let mut setups = Vec::new();
        for (k, (view, clamp)) in self.views.iter().zip(clamps).enumerate() {
            watch.tick("stock", k, self.views.len())?;
            let (setup_from_part, extent_mm) = frame(self.shape, view.toward, allowance);
            let mut tasks = tasks::of_points(self, k, samples, &fates);
            self.take_stock(view, &lists[k], &mut left, &mut tasks, extent_mm);
            let made: Vec<usize> = (0..self.found.steps.len())
                .filter(|s| steps_open[*s] && self.found.steps_served[*s] >> self.order[k] & 1 == 1)
                .filter(|s| self.belongs_here(*s, k))
                .collect();
            for s in &made {
                steps_open[*s] = false;
            }
            tasks.extend(hole_tasks::of_steps(self, view, &made));
            tasks.extend(tasks::broken_edges(self, view, samples, &mut edges_open));
            tasks::sort(&mut tasks);
            let area: f64 = tasks.iter().map(|t| t.must_mm2).sum();
            setups.push(PlannedSetup {
                toward: view.toward,
                setup_from_part,
                extent_mm,
                area_share: area,
                clamp,
                tasks,
            });
        }
        let total: f64 = setups.iter().map(|s| s.area_share).sum();
        for setup in &mut setups {
            setup.area_share /= total.max(f64::MIN_POSITIVE);
        }
        let surface: f64 = self.shape.solid.faces.iter().map(|f| f.area_mm2).sum();
        let error = 0.5 * left.step_mm() * surface;
        let exact_drilled: f64 = setups
            .iter()
            .flat_map(|s| &s.tasks)
            .filter(|t| t.of_hole)
            .map(|t| t.volume_mm3)
            .sum();
        let left_mm3 = scale_volumes(
            &mut setups,
            removed_mm3,
            exact_drilled,
            left.volume_mm3(),
            error,
        );
        drilled_mm3 -= exact_drilled;
        let unmade_steps: Vec<(usize, usize)> = steps_open
            .iter()
            .zip(&self.found.steps)
            .filter(|(open, _)| **open)
            .map(|(_, s)| (s.hole, s.step))
            .collect();
        let toward = |c: &usize| self.found.candidates[*c].toward;
        let all: Vec<DVec3> = self.found.chosen.directions.iter().map(toward).collect();
        let is_mark = |face: u32| self.found.exempt[face as usize] == Exempt::Mark;
        let tasks = || setups.iter().flat_map(|s| &s.tasks);
        let deepest = tasks()
            .filter_map(PlannedTask::depth_to_diameter)
            .max_by(f64::total_cmp);
        // Where no hole is drilled and no neck is needed, the reach of what mills inside the part.
        let depth_to_diameter = deepest.filter(|d| *d > 1e-9).or_else(|| {
            tasks()
                .filter_map(PlannedTask::inside_reach)
                .max_by(f64::total_cmp)
        });
        Ok(Plan {
            setups,
            proven: self.found.chosen.proven,
            tried: self.found.candidates.len(),
            alternatives: self
                .found
                .chosen
                .sets
                .iter()
                .map(|s| s.iter().map(toward).collect())
                .collect(),
            groups: groups(&all),
            cutters: self.cutters.to_vec(),
            must_mm2,
            unreached_mm2: of(&|f| matches!(f, Fate::Unreached)),
            stepped_mm2: of(&|f| matches!(f, Fate::Stepped { .. })),
            marks_mm2: of(&|f| matches!(f, Fate::Apart(Exempt::Mark))),
            breaks_mm2: of(&|f| matches!(f, Fate::Apart(Exempt::Break))),
            slivers_mm2: self.found.slivers_mm2,
            unmade_steps,
            removed_mm3,
            left_mm3,
            volume_error_mm3: cells_off_mm3 + drilled_mm3.abs(),
            depth_to_diameter,
            allowance_mm: allowance,
            cutters_left_out: 0,
            sharp_inside_corners: sharp_inside_corners(self.shape.solid, &all)
                .iter()
                .filter(|c| !c.engraved && !c.faces.iter().any(|f| is_mark(*f)))
                .count(),
            inside_radius_mm: smallest_inside_radius(&inside_corners(
                self.shape.solid,
                &all,
                self.shape.holes,
            )),
            surface: samples
                .iter()
                .copied()
                .zip(fates.into_iter().map(|f| f.0))
                .collect(),
        })
    }

    /// Steps are made in the first setup that can, but a hole whole in one setup when one makes it
    /// whole.
    fn belongs_here(&self, step: usize, k: usize) -> bool {
        let hole = self.found.steps[step].hole;
        let whole_in = |k: &usize| {
            let bit = self.order[*k];
            (0..self.found.steps.len())
                .filter(|s| self.found.steps[*s].hole == hole)
                .all(|s| self.found.steps_served[s] >> bit & 1 == 1)
        };
        match (0..self.order.len()).find(whole_in) {
            Some(first) => first == k,
            None => true,
        }
    }

    /// Cells inside holes go with the holes; their volume.
    fn take_holes(&self, left: &mut StockLeft) -> f64 {
        let steps = &self.found.steps;
        left.take(|p| {
            steps.iter().enumerate().any(|(s, step)| {
                self.found.steps_served[s] != 0 && {
                    let run = step.ends[1] - step.ends[0];
                    let t = (p - step.ends[0]).dot(run) / run.length_squared().max(1e-12);
                    let off = (p - step.ends[0] - run * t).length();
                    (0.0..=1.0).contains(&t) && off <= step.radius_at(t)
                }
            })
        })
    }

    /// Gives face, rough and finishing tasks the stock their cutters take, largest first.
    fn take_stock(
        &self,
        view: &View,
        list: &List,
        left: &mut StockLeft,
        tasks: &mut Vec<PlannedTask>,
        extent_mm: [f64; 3],
    ) {
        let m = view.setup_from_part;
        let top = view.z[1];
        let allowance = self.options.allowance_mm;
        let mut sliced = left.take(|p| (m * p).z >= top);
        // Cells thicker than the allowance show nothing of it. Along an axis of the box the slice is
        // a plate.
        let axes = self.shape.smallest_box.part_from_box;
        let along_box = (axes.transpose() * view.toward).abs().max_element() > 1.0 - 1e-6;
        // Without a point of the top to make here, an earlier setup took it as a wall.
        let faced = tasks.iter().any(|t| t.kind == tasks::PlannedKind::Face);
        if faced && along_box && left.step_along_mm(view.toward) > allowance {
            sliced = extent_mm[0] * extent_mm[1] * allowance;
        }
        tasks::add_face(tasks, sliced, extent_mm, allowance);
        for (n, &c) in list.cutters.iter().enumerate() {
            let cutter = &self.cutters[c];
            // As deep as it is long, and no deeper than under the part.
            let floor = (top - cutter.usable_mm).max(view.z[0] - self.options.allowance_mm);
            let swept = Swept::new(view, cutter, floor);
            let volume = left.take(|p| swept.passes(m * p));
            tasks::add_volume(tasks, cutter, volume, n == 0, top - floor);
        }
    }
}

/// Setup frame with its origin at the lowest corner of the stock, and the stock's size in it.
fn frame(shape: &Shape<'_>, toward: DVec3, allowance_mm: f64) -> (DMat4, [f64; 3]) {
    let b = shape.smallest_box;
    let rotation = setup_rotation(toward, &b.part_from_box);
    let half = DVec3::from_array(b.extents) / 2.0 + DVec3::splat(allowance_mm);
    let turned = rotation * b.part_from_box;
    let reach =
        turned.x_axis.abs() * half.x + turned.y_axis.abs() * half.y + turned.z_axis.abs() * half.z;
    let low = rotation * b.centre - reach;
    let frame = DMat4::from_translation(-low) * DMat4::from_mat3(rotation);
    (frame, (2.0 * reach).to_array())
}

/// Scales what cutters take so that all tasks together are what is removed, less what stays out of
/// every cutter's way; that volume.
fn scale_volumes(
    setups: &mut [PlannedSetup],
    removed_mm3: f64,
    holes_mm3: f64,
    left_mm3: f64,
    error_mm3: f64,
) -> f64 {
    // Cells left within half a cell of the surface are the grid's doing.
    let left = if left_mm3 <= error_mm3 {
        0.0
    } else {
        left_mm3 - error_mm3
    };
    let mills = || setups.iter().flat_map(|s| &s.tasks).filter(|t| !t.of_hole);
    let milled: f64 = mills().map(|t| t.volume_mm3).sum();
    let rest = (removed_mm3 - holes_mm3 - left).max(0.0);
    let factor = if milled > 0.0 { rest / milled } else { 0.0 };
    for task in setups.iter_mut().flat_map(|s| &mut s.tasks) {
        if !task.of_hole {
            task.volume_mm3 *= factor;
        }
    }
    left
}
