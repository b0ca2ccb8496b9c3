//! Points and hole steps of one setup gathered to tasks.

use super::Shape;
use super::sample::FaceSample;
use super::setups::{Fate, Maker};
use super::tools::{Cutter, CutterKind};
use super::view::{Lie, View};
use crate::features::face::Surface;
use glam::DVec3;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::f64::consts::FRAC_1_SQRT_2;

/// Kind of cutting, in the order it is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum PlannedKind {
    /// The top of the stock milled flat.
    Face,
    /// Bulk removal.
    Rough,
    /// Holes drilled.
    Drill,
    /// Floors, finished.
    Bottom,
    /// Walls, finished.
    Side,
    /// Curved and slanted surfaces, line by line.
    Freeform,
    /// Holes bored.
    Bore,
    /// Holes reamed.
    Ream,
    /// Threads tapped.
    Tap,
    /// Threads milled.
    Thread,
    /// Edges and countersinks.
    Chamfer,
}

/// Tool of a task.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum PlannedTool {
    /// Square corners.
    Flat,
    /// Rounded corners.
    Bull,
    /// Ball nose.
    Ball,
    /// Face mill.
    Face,
    /// Twist drill.
    Drill,
    /// Boring head.
    Boring,
    /// Reamer.
    Reamer,
    /// Tap, or thread mill for that thread.
    Tap,
    /// Chamfering tool.
    Chamfer,
}

/// One piece of cutting.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlannedTask {
    /// Kind.
    pub kind: PlannedKind,
    /// Shape of tool.
    pub tool: PlannedTool,
    /// Its diameter, mm; 0 for a face mill, which any shop chooses itself.
    pub diameter_mm: f64,
    /// Its corner radius, mm.
    pub corner_mm: f64,
    /// Pitch of a thread, mm; 0 otherwise.
    pub pitch_mm: f64,
    /// Least stick-out from the holder, mm.
    pub reach_mm: f64,
    /// Least length below the shank of an end mill, mm.
    pub neck_mm: f64,
    /// Volume removed, mm3.
    pub volume_mm3: f64,
    /// Surface swept, mm2.
    pub area_mm2: f64,
    /// Surface of the part made, mm2.
    pub must_mm2: f64,
    /// Places.
    pub count: u32,
    /// Depth of the tip below the top of the stock, mm.
    pub depth_mm: f64,
    /// Height of wall, or length of hole, mm.
    pub cut_depth_mm: f64,
    /// Length of the step of a hole it makes, without wider ones passed on the way, mm.
    pub step_mm: f64,
    /// Goes round the outside of the part.
    pub outside: bool,
    /// Part of a hole.
    pub of_hole: bool,
    /// Sharp edges broken, which asks for no setup.
    pub edges: bool,
}

impl PlannedTask {
    /// Depth the tool works at against its diameter: for holes the length of the step against its
    /// own diameter, for an end mill the length it needs below its shank. `None` for roughing, which
    /// goes level by level, and for tools whose size does not follow the depth.
    pub fn depth_to_diameter(&self) -> Option<f64> {
        let deep = match self.kind {
            PlannedKind::Drill | PlannedKind::Bore | PlannedKind::Ream => self.step_mm,
            PlannedKind::Bottom | PlannedKind::Side | PlannedKind::Freeform => self.neck_mm,
            _ => return None,
        };
        (self.diameter_mm > 0.0).then_some(deep / self.diameter_mm)
    }

    /// Stick-out of an end mill that works inside the part against its diameter.
    pub fn inside_reach(&self) -> Option<f64> {
        let mills = matches!(self.kind, PlannedKind::Bottom | PlannedKind::Side);
        (mills && !self.outside && self.diameter_mm > 0.0)
            .then_some(self.reach_mm / self.diameter_mm)
    }
}

/// How a point is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Made {
    pub setup: usize,
    pub cutter: usize,
    pub lie: Lie,
    pub tip_z: f64,
    pub reach_mm: f64,
    pub neck_mm: f64,
}

/// Flat slanted faces along outside edges up to this wide are chamfered, mm (common practice, no
/// source); wider ones are milled.
const CHAMFER_MM: f64 = 6.0;
/// Smallest chamfer mill on general sale, mm (common practice, no source).
const LEAST_CHAMFER_MILL_MM: f64 = 6.0;

pub(super) type Key = (PlannedKind, PlannedTool, i64, i64);

pub(super) fn um(mm: f64) -> i64 {
    (mm * 1000.0).round() as i64
}

fn tool_of(cutter: &Cutter) -> PlannedTool {
    match cutter.kind {
        CutterKind::Flat => PlannedTool::Flat,
        CutterKind::Bull => PlannedTool::Bull,
        CutterKind::Ball => PlannedTool::Ball,
    }
}

pub(super) fn blank(
    kind: PlannedKind,
    tool: PlannedTool,
    diameter_mm: f64,
    corner_mm: f64,
) -> PlannedTask {
    PlannedTask {
        kind,
        tool,
        diameter_mm,
        corner_mm,
        pitch_mm: 0.0,
        reach_mm: 0.0,
        neck_mm: 0.0,
        volume_mm3: 0.0,
        area_mm2: 0.0,
        must_mm2: 0.0,
        count: 1,
        depth_mm: 0.0,
        cut_depth_mm: 0.0,
        step_mm: 0.0,
        outside: false,
        of_hole: false,
        edges: false,
    }
}

/// Finishing tasks of a setup from its points; those on the very top become the face task.
pub(super) fn of_points(
    maker: &Maker<'_>,
    setup: usize,
    samples: &[FaceSample],
    fates: &[(Fate, Option<Made>)],
) -> Vec<PlannedTask> {
    let view = &maker.views[setup];
    let stock_top = view.z[1] + maker.options.allowance_mm;
    let mut tasks: BTreeMap<Key, PlannedTask> = BTreeMap::new();
    // Points come face by face: one face of one task is a run.
    let mut places: BTreeMap<(Key, u32), [f64; 2]> = BTreeMap::new();
    for (sample, (_, made)) in samples.iter().zip(fates) {
        let Some(made) = made.filter(|m| m.setup == setup) else {
            continue;
        };
        let cutter = &maker.cutters[made.cutter];
        let z = (view.setup_from_part * sample.point).z;
        let (diameter, corner) = (2.0 * cutter.shape.radius_mm(), cutter.shape.corner_mm());
        let (kind, tool, diameter, corner) = match made.lie {
            Lie::Floor if view.z[1] - z <= 1e-4 * (1.0 + view.z[1].abs()) => {
                (PlannedKind::Face, PlannedTool::Face, 0.0, 0.0)
            }
            Lie::Floor => (PlannedKind::Bottom, tool_of(cutter), diameter, corner),
            Lie::Wall => (PlannedKind::Side, tool_of(cutter), diameter, corner),
            _ if is_chamfer(maker.shape, sample.face, view) => {
                let across = chamfer_mill_mm(width_of(maker.shape, sample.face));
                (PlannedKind::Chamfer, PlannedTool::Chamfer, across, 0.0)
            }
            _ => (PlannedKind::Freeform, tool_of(cutter), diameter, corner),
        };
        let key = (kind, tool, um(diameter), um(corner));
        let task = tasks
            .entry(key)
            .or_insert_with(|| blank(kind, tool, diameter, corner));
        task.area_mm2 += sample.area_mm2;
        task.must_mm2 += sample.area_mm2;
        task.reach_mm = task.reach_mm.max(made.reach_mm);
        task.neck_mm = task.neck_mm.max(made.neck_mm);
        task.depth_mm = task.depth_mm.max(stock_top - made.tip_z);
        task.outside |= is_outside(maker.shape, sample);
        let span = places.entry((key, sample.face)).or_insert([z, z]);
        *span = [span[0].min(z), span[1].max(z)];
    }
    let mut count: BTreeMap<Key, u32> = BTreeMap::new();
    for ((key, face), span) in places {
        let Some(task) = tasks.get_mut(&key) else {
            continue;
        };
        *count.entry(key).or_default() += 1;
        if key.0 == PlannedKind::Chamfer {
            let leg = width_of(maker.shape, face) * FRAC_1_SQRT_2;
            task.cut_depth_mm = task.cut_depth_mm.max(leg);
            continue;
        }
        if key.0 != PlannedKind::Side {
            task.cut_depth_mm = task.depth_mm;
            let below_part = task.depth_mm - maker.options.allowance_mm;
            task.reach_mm = task
                .reach_mm
                .max(least_reach_mm(task.diameter_mm, below_part));
            continue;
        }
        // Points lie inside the face; where all of it is made here, it ends at its corners.
        let corners = z_range(maker.shape, face, view);
        let inset = (corners[1] - corners[0]) / 10.0;
        let low = if span[0] - corners[0] < inset {
            corners[0]
        } else {
            span[0]
        };
        let high = if corners[1] - span[1] < inset {
            corners[1]
        } else {
            span[1]
        };
        task.cut_depth_mm = task.cut_depth_mm.max(high - low);
        task.depth_mm = task.depth_mm.max(stock_top - low);
        task.reach_mm = task.reach_mm.max(task.cut_depth_mm);
    }
    for (key, n) in count {
        if let Some(task) = tasks.get_mut(&key)
            && key.0 == PlannedKind::Bottom
        {
            task.count = n;
        }
    }
    tasks.into_values().collect()
}

/// Least stick-out of an end mill, mm: even where its holder has all the room it sticks out as far
/// as its diameter, or as deep as it goes (common practice, no source).
fn least_reach_mm(diameter_mm: f64, deep_mm: f64) -> f64 {
    diameter_mm.min(deep_mm).max(0.0)
}

fn z_range(shape: &Shape<'_>, face: u32, view: &View) -> [f64; 2] {
    shape.solid.faces[face as usize]
        .triangles
        .iter()
        .flat_map(|t| shape.solid.mesh.corners(*t as usize))
        .map(|p| (view.setup_from_part * p).z)
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[l, h], z| {
            [l.min(z), h.max(z)]
        })
}

fn is_outside(shape: &Shape<'_>, sample: &FaceSample) -> bool {
    let b = shape.smallest_box;
    let axes = [
        b.part_from_box.x_axis,
        b.part_from_box.y_axis,
        b.part_from_box.z_axis,
    ];
    axes.iter().zip(b.extents).any(|(axis, extent)| {
        sample.normal.dot(*axis).abs() > 0.999
            && ((sample.point - b.centre).dot(*axis).abs() - extent / 2.0).abs() < 1e-3 * extent
    })
}

/// A point near the outside of the box across its upright sides.
fn is_outside_edge(shape: &Shape<'_>, point: DVec3) -> bool {
    let b = shape.smallest_box;
    let axes = [
        b.part_from_box.x_axis,
        b.part_from_box.y_axis,
        b.part_from_box.z_axis,
    ];
    axes.iter().zip(b.extents).any(|(axis, extent)| {
        ((point - b.centre).dot(*axis).abs() - extent / 2.0).abs() < LEAST_CHAMFER_MILL_MM / 4.0
    })
}

/// Width of a long narrow face: twice its area over its outline.
fn width_of(shape: &Shape<'_>, face: u32) -> f64 {
    let round: f64 = shape.solid.borders[face as usize]
        .iter()
        .map(|b| b.convex_mm + b.concave_mm + b.smooth_mm)
        .sum();
    2.0 * shape.solid.faces[face as usize].area_mm2 / round.max(f64::MIN_POSITIVE)
}

/// Diameter of a 90 degree chamfer mill for a face of this width, mm.
fn chamfer_mill_mm(width_mm: f64) -> f64 {
    (2.0 * width_mm).ceil().max(LEAST_CHAMFER_MILL_MM)
}

/// Edges to break that a chamfer mill passes in a setup anyway: `open` are the points no earlier
/// setup broke. None asks for a setup; the others are broken by hand.
pub(super) fn broken_edges(
    maker: &Maker<'_>,
    view: &View,
    samples: &[FaceSample],
    open: &mut [bool],
) -> Option<PlannedTask> {
    let across = LEAST_CHAMFER_MILL_MM;
    let mut task = blank(PlannedKind::Chamfer, PlannedTool::Chamfer, across, 0.0);
    let mut length = 0.0;
    for (sample, open) in samples.iter().zip(open) {
        if !*open
            || view.lie(sample.normal) != Lie::Slanted
            || !view.is_visible(sample.point, sample.normal)
        {
            continue;
        }
        *open = false;
        let width = width_of(maker.shape, sample.face);
        task.area_mm2 += sample.area_mm2;
        length += sample.area_mm2 / width.max(f64::MIN_POSITIVE);
        // The middle of the tool's slope cuts: its tip is a quarter of its diameter lower.
        let deep = maker.options.allowance_mm + view.z[1] - (view.setup_from_part * sample.point).z
            + across / 4.0;
        task.depth_mm = task.depth_mm.max(deep);
        task.reach_mm = task
            .reach_mm
            .max(view.drill_reach_mm(sample.point) + across / 4.0);
        task.outside |= is_outside_edge(maker.shape, sample.point);
    }
    // The leg of a chamfer of the mean width.
    task.cut_depth_mm = task.area_mm2 / length.max(f64::MIN_POSITIVE) * FRAC_1_SQRT_2;
    task.edges = true;
    (length > 0.0).then_some(task)
}

/// A flat face at 45 degrees to the axis between outside edges, narrow enough for a chamfer mill.
fn is_chamfer(shape: &Shape<'_>, face: u32, view: &View) -> bool {
    let Surface::Plane { normal, .. } = shape.solid.faces[face as usize].surface else {
        return false;
    };
    let borders = &shape.solid.borders[face as usize];
    let inside: f64 = borders.iter().map(|b| b.concave_mm).sum();
    let outside: f64 = borders.iter().map(|b| b.convex_mm).sum();
    (normal.dot(view.toward) - FRAC_1_SQRT_2).abs() < 0.01
        && inside < 0.02 * outside
        && width_of(shape, face) < CHAMFER_MM
}

/// The face task over the whole stock, with the volume above the part.
pub(super) fn add_face(
    tasks: &mut Vec<PlannedTask>,
    volume_mm3: f64,
    extent_mm: [f64; 3],
    allowance_mm: f64,
) {
    let known = tasks.iter_mut().find(|t| t.kind == PlannedKind::Face);
    if volume_mm3 <= 0.0 && known.is_none() {
        return;
    }
    let face = match known {
        Some(face) => face,
        None => {
            tasks.push(blank(PlannedKind::Face, PlannedTool::Face, 0.0, 0.0));
            let last = tasks.len() - 1;
            &mut tasks[last]
        }
    };
    face.volume_mm3 = volume_mm3;
    face.area_mm2 = extent_mm[0] * extent_mm[1];
    face.depth_mm = allowance_mm;
    face.cut_depth_mm = allowance_mm;
    face.reach_mm = face.reach_mm.max(allowance_mm);
    face.outside = true;
}

/// The volume a cutter takes before it finishes: the bulk for the first of a setup, the rest in
/// corners for the others.
pub(super) fn add_volume(
    tasks: &mut Vec<PlannedTask>,
    cutter: &Cutter,
    volume_mm3: f64,
    first: bool,
    deepest_mm: f64,
) {
    if volume_mm3 <= 0.0 {
        return;
    }
    let (tool, diameter, corner) = (
        tool_of(cutter),
        2.0 * cutter.shape.radius_mm(),
        cutter.shape.corner_mm(),
    );
    let own = tasks
        .iter()
        .filter(|t| t.tool == tool && t.diameter_mm == diameter && t.corner_mm == corner);
    let (mut depth, mut reach) = (0.0f64, 0.0f64);
    for task in own {
        depth = depth.max(task.depth_mm);
        reach = reach.max(task.reach_mm);
    }
    if depth == 0.0 {
        (depth, reach) = (deepest_mm, deepest_mm.min(cutter.out_mm));
    }
    reach = reach.max(least_reach_mm(diameter, depth));
    let mut task = blank(PlannedKind::Rough, tool, diameter, corner);
    task.volume_mm3 = volume_mm3;
    task.depth_mm = depth;
    task.cut_depth_mm = depth;
    task.reach_mm = reach;
    task.outside = first;
    tasks.push(task);
}

/// In the order they are done, larger tools first.
pub(super) fn sort(tasks: &mut [PlannedTask]) {
    tasks.sort_by(|a, b| {
        a.kind
            .cmp(&b.kind)
            .then(b.diameter_mm.total_cmp(&a.diameter_mm))
            .then(a.tool.cmp(&b.tool))
            .then(a.corner_mm.total_cmp(&b.corner_mm))
            .then(a.depth_mm.total_cmp(&b.depth_mm))
    });
}
