//! The part as one direction sees it: which cutters make which samples, and how far they stick out.

use super::Shape;
use super::exempt::SharpEdge;
use super::sample::FaceSample;
use super::tools::{Cutter, CutterKind, HOLDER_RADIUS_MM};
use crate::height_map::HeightMap;
use crate::reach::{Reach, Tolerance, reach, stick_out_mm};
use crate::tool_shape::ToolShape;
use glam::{DMat3, DVec3};

/// A direction with its height map.
pub struct View {
    /// Unit vector from the part to the spindle.
    pub toward: DVec3,
    /// Rotation into the setup's frame.
    pub setup_from_part: DMat3,
    /// The part seen from there.
    pub map: HeightMap,
    /// Lowest and highest point of the part in the setup.
    pub z: [f64; 2],
    floor_mm: f64,
    tolerance: Tolerance,
}

/// How a cutter makes a sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Made {
    /// Tip of the tool, setup frame.
    pub tip: DVec3,
    /// False when only in steps.
    pub finished: bool,
    /// Least stick-out from the holder, mm.
    pub reach_mm: f64,
    /// Least length of flutes and neck below the shank, mm.
    pub neck_mm: f64,
}

/// How a face lies to the tool's axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lie {
    /// Square to the axis, facing the tool.
    Floor,
    /// Along the axis.
    Wall,
    /// Between.
    Slanted,
    /// Facing away.
    Under,
}

impl View {
    /// The part from `toward`. The tip may go `below_mm` under the part; `chord_mm` is how far the
    /// mesh lies from the surface. `None` for a part without triangles.
    pub fn new(
        shape: &Shape<'_>,
        toward: DVec3,
        setup_from_part: DMat3,
        below_mm: f64,
        chord_mm: f64,
    ) -> Option<View> {
        // The step decides speed only (see `height_map`): about as many cells as triangles.
        let size = shape.smallest_box.extents[0];
        let cells = 2.0 * (shape.solid.mesh.triangles().len() as f64).sqrt();
        let step = size / cells.clamp(24.0, 250.0);
        let map = HeightMap::new(shape.solid.mesh, &setup_from_part, step)?;
        let z = map.z_range();
        Some(View {
            toward,
            setup_from_part,
            map,
            z,
            floor_mm: z[0] - below_mm,
            // A chord lies on either side of the true surface: of the wall touched and of the one
            // opposite.
            tolerance: Tolerance {
                gouge_mm: 1e-3 + 2.0 * chord_mm,
                ..Tolerance::default()
            },
        })
    }

    /// How a surface of this normal (part frame) lies.
    pub fn lie(&self, normal: DVec3) -> Lie {
        let up = normal.dot(self.toward);
        let square = self.tolerance.square;
        if up < -square {
            Lie::Under
        } else if up <= square {
            Lie::Wall
        } else if normal.cross(self.toward).length() <= square {
            Lie::Floor
        } else {
            Lie::Slanted
        }
    }

    /// Whether nothing stands above a place just outside the material: no cutter touches the place
    /// otherwise.
    pub(super) fn is_visible(&self, point: DVec3, normal: DVec3) -> bool {
        let off = 2.0 * self.tolerance.gouge_mm;
        let Ok(needle) = ToolShape::new(0.5 * off, 0.0) else {
            return false;
        };
        let at = self.setup_from_part * (point + normal * off);
        self.map
            .obstacle(&needle, at.truncate(), at.z + off)
            .is_none()
    }

    /// How `cutter` makes a sample, when it does and is long enough. The reach is only measured
    /// where the part stands higher above the tip than the usable length, unless `exact`.
    pub fn made(&self, cutter: &Cutter, point: DVec3, normal: DVec3, exact: bool) -> Option<Made> {
        let m = &self.setup_from_part;
        let found = reach(
            &self.map,
            &cutter.shape,
            *m * point,
            *m * normal,
            self.floor_mm,
            &self.tolerance,
        );
        let (tip, finished) = match found {
            Reach::Finished(tip) => (tip, true),
            Reach::Stepped(tip) => (tip, false),
            Reach::Unreached => return None,
        };
        let above = (self.z[1] - tip.z).max(0.0);
        if !exact && above <= cutter.usable_mm {
            return Some(Made {
                tip,
                finished,
                reach_mm: above,
                neck_mm: above,
            });
        }
        let neck = stick_out_mm(&self.map, tip, cutter.shank_radius_mm, &self.tolerance);
        let whole = stick_out_mm(&self.map, tip, cutter.holder_radius_mm, &self.tolerance);
        // A shank no wider than the cutter may rub nowhere the cutter did not pass.
        let neck_ok =
            cutter.shank_radius_mm <= cutter.shape.radius_mm() || neck <= cutter.usable_mm;
        (neck_ok && whole <= cutter.out_mm).then_some(Made {
            tip,
            finished,
            reach_mm: whole,
            neck_mm: neck.min(whole),
        })
    }

    /// Whether any of `cutters` (sorted by [`search_order`]) finishes the place.
    pub fn is_made(&self, cutters: &[Cutter], point: DVec3, normal: DVec3) -> bool {
        let lie = self.lie(normal);
        if lie == Lie::Under || !self.is_visible(point, normal) {
            return false;
        }
        let above = (self.z[1] - (self.setup_from_part * point).z).max(0.0);
        // Any cutter that touches the place has its axis within its radius of it, so the holder
        // covers at least the rest of its own radius around it: what stands there asks for length.
        let around = cutters
            .iter()
            .map(|c| c.holder_radius_mm - c.shape.radius_mm())
            .fold(f64::INFINITY, f64::min);
        let least_out = if around <= 0.0 || cutters.iter().all(|c| c.usable_mm >= above) {
            0.0
        } else {
            let tip = self.setup_from_part * point;
            stick_out_mm(&self.map, tip, around, &self.tolerance)
        };
        let tries = |c: &&Cutter| {
            (lie != Lie::Slanted || c.kind != CutterKind::Flat) && c.out_mm >= least_out - 1e-6
        };
        // Long enough for the whole part first: the smallest such cutter enters wherever a larger
        // one does, and the first that fits ends the search.
        let long = |c: &&Cutter| c.usable_mm >= above;
        let made = |c: &Cutter| {
            self.made(c, point, normal, false)
                .is_some_and(|m| m.finished)
        };
        for kind in [CutterKind::Flat, CutterKind::Bull, CutterKind::Ball] {
            let of_kind = || cutters.iter().filter(move |c| c.kind == kind).filter(tries);
            // Of one shape a smaller one does all a larger one does: the first long one decides.
            let same = |a: &Cutter, b: &Cutter| a.shape.corner_mm() == b.shape.corner_mm();
            let mut tried: Vec<&Cutter> = Vec::new();
            for c in of_kind().filter(long) {
                if kind == CutterKind::Ball && !tried.is_empty() || tried.iter().any(|t| same(t, c))
                {
                    continue;
                }
                if made(c) {
                    return true;
                }
                tried.push(c);
            }
            if of_kind().filter(|c| !long(c)).any(made) {
                return true;
            }
        }
        false
    }

    /// As [`View::is_made`] for a sample, or for the wall beside it where it lies in the radius
    /// left in a sharp corner.
    pub fn is_served(
        &self,
        cutters: &[Cutter],
        sample: &FaceSample,
        near: &[u32],
        edges: &[SharpEdge],
    ) -> bool {
        self.is_made(cutters, sample.point, sample.normal)
            || near
                .iter()
                .map(|e| &edges[*e as usize])
                .filter(|e| e.is_along(self.toward))
                .flat_map(|e| e.beside(sample))
                .any(|point| self.is_made(cutters, point, sample.normal))
    }

    /// Whether a round tool of this diameter comes down along the axis through `at` (part frame)
    /// to `at` itself.
    pub fn drill_passes(&self, diameter_mm: f64, at: DVec3) -> bool {
        let Ok(tool) = ToolShape::new(diameter_mm / 2.0, 0.0) else {
            return false;
        };
        let tip = self.setup_from_part * at;
        // A drill leaves the wall itself; the shape is thinned by what meshes of bores lack.
        let eased = tool.eased(self.tolerance.gouge_mm + 0.01 * diameter_mm);
        let gouge = self.tolerance.gouge_mm + 1e-3 * diameter_mm;
        self.map
            .obstacle(&eased, tip.truncate(), tip.z + gouge)
            .is_none()
    }

    /// Length a drill must stick out of its holder with its tip at `at` (part frame), mm.
    pub fn drill_reach_mm(&self, at: DVec3) -> f64 {
        let tip = self.setup_from_part * at;
        stick_out_mm(&self.map, tip, HOLDER_RADIUS_MM, &self.tolerance)
    }
}

/// Smallest first within a kind: the order [`View::is_made`] asks for.
pub fn search_order(cutters: &[Cutter]) -> Vec<Cutter> {
    let mut out = cutters.to_vec();
    out.sort_by(|a, b| {
        a.kind
            .cmp(&b.kind)
            .then(a.shape.radius_mm().total_cmp(&b.shape.radius_mm()))
            .then(a.shape.corner_mm().total_cmp(&b.shape.corner_mm()))
            .then(b.usable_mm.total_cmp(&a.usable_mm))
    });
    out
}
