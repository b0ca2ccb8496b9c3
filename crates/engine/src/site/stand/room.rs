//! The room a machine wants at its sides, and how much of it there is at a place.

use super::{Footprint, Place, PlaceAsk, WORKING_WIDTH, working_space};
use crate::entered::ChipSide;
use crate::site::route::{Pose, Solids};
use glam::DVec2;
use units::Length;

/// In front: door, operator and a cart. Common practice, no source.
const FRONT_MM: f64 = 1000.0;
/// At the sides and behind, for service. Common practice, no source.
pub(in crate::site) const SIDE_MM: f64 = 600.0;
/// Where chips leave: a pan drawn out and a shovel, a cart or a conveyor's end wheeled away, a conveyor
/// pulled out whole. Common practice, no source.
const CHIPS_MM: [f64; 3] = [400.0, 900.0, 1800.0];
/// Room a cart with chips wants.
pub(in crate::site) const CHIPS_CART: Length = Length::mm(CHIPS_MM[1]);
/// What is asked where that room is short.
pub(in crate::site) const CHIP_SIDE: &str = "chip_side";
/// Above, for the spindle, where nobody stated it: one that comes out downward wants the room for a
/// cover only. Common practice, no source.
const SPINDLE_MM: f64 = 100.0;
/// Room at one side.
pub(super) struct Side {
    pub name: &'static str,
    /// Outward direction in the machine's frame.
    pub out: DVec2,
    pub depth_mm: f64,
    pub least_width_mm: f64,
    pub assumed: bool,
}

pub(super) fn sides(machine: &Footprint) -> Vec<Side> {
    let c = &machine.clearances;
    let side = |name, out: (f64, f64), stated: Option<Length>, usual| Side {
        name,
        out: out.into(),
        depth_mm: stated.map_or(usual, Length::to_mm),
        least_width_mm: 0.0,
        assumed: stated.is_none(),
    };
    let mut sides = vec![
        side("front", (0.0, -1.0), c.front, FRONT_MM),
        side("back", (0.0, 1.0), c.back, SIDE_MM),
        side("left", (-1.0, 0.0), c.left, SIDE_MM),
        side("right", (1.0, 0.0), c.right, SIDE_MM),
        // Where the cabinet is, only the drawing tells; most have it behind.
        Side {
            name: "electrical",
            out: DVec2::Y,
            depth_mm: working_space(machine.to_ground).to_mm(),
            least_width_mm: WORKING_WIDTH.to_mm(),
            assumed: true,
        },
    ];
    // Doors that slide within the footprint need none, and the side of the chips differs from
    // machine to machine: both only where stated.
    if c.doors.is_some() {
        sides.push(side("open doors", (0.0, -1.0), c.doors, 0.0));
    }
    if let Some(at) = c.chip_side {
        let out = match at {
            ChipSide::Front => (0.0, -1.0),
            ChipSide::Back => (0.0, 1.0),
            ChipSide::Left => (-1.0, 0.0),
            ChipSide::Right => (1.0, 0.0),
        };
        sides.push(side("chips", out, c.chips, CHIPS_MM[1]));
    }
    sides
}

/// Corners of the space at a side, in the machine's frame.
pub(super) fn strip(side: &Side, length: f64, width: f64) -> [DVec2; 4] {
    let along = side.out.perp();
    let (reach, across) = if side.out.x == 0.0 {
        (width, length)
    } else {
        (length, width)
    };
    let across = match side.least_width_mm {
        least if least > 0.0 => across.min(least.max(762.0)),
        _ => across,
    };
    let (near, far) = (0.5 * reach, 0.5 * reach + side.depth_mm);
    [
        near * side.out - 0.5 * across * along,
        near * side.out + 0.5 * across * along,
        far * side.out + 0.5 * across * along,
        far * side.out - 0.5 * across * along,
    ]
}

/// Depth free of anything solid at a side, up to the wanted one.
pub(super) fn depth_there(
    side: &Side,
    pose: Pose,
    length: f64,
    width: f64,
    solids: &Solids,
) -> f64 {
    let corners = strip(side, length, width);
    let along = side.out.perp();
    let near = corners[0].dot(side.out);
    let half = 0.5 * (corners[1] - corners[0]).length();
    let turn = DVec2::from_angle(-pose.heading_rad);
    let mut there = side.depth_mm;
    for segment in &solids.segments {
        let [from, to] = [segment.from, segment.to].map(|p| {
            let p = turn.rotate(p - pose.at);
            DVec2::new(p.dot(along), p.dot(side.out) - near)
        });
        // The piece beside the machine, clipped to the strip's width.
        let Some((a, b)) = clip(from, to, half - 1e-6) else {
            continue;
        };
        let nearest = a.y.min(b.y);
        let farthest = a.y.max(b.y);
        if farthest >= 0.0 {
            there = there.min(nearest.max(0.0));
        }
    }
    there
}

/// The part of a segment with |x| at most `half`.
fn clip(from: DVec2, to: DVec2, half: f64) -> Option<(DVec2, DVec2)> {
    let d = to - from;
    let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
    for (offset, slope) in [(from.x + half, d.x), (half - from.x, -d.x)] {
        if slope == 0.0 {
            if offset < 0.0 {
                return None;
            }
        } else {
            let t = -offset / slope;
            if slope > 0.0 {
                t0 = t0.max(t);
            } else {
                t1 = t1.min(t);
            }
        }
    }
    (t0 <= t1).then(|| (from.lerp(to, t0), from.lerp(to, t1)))
}

/// What nobody stated of chips and spindle is asked where the least that is usual is not there; where
/// only the usual is short, a remark says so.
pub(super) fn ask_open(machine: &Footprint, pose: Pose, around: &Solids, place: &mut Place) {
    let (length, width) = (machine.length.to_mm(), machine.width.to_mm());
    if machine.clearances.chip_side.is_none() {
        let [least, usual, most] = CHIPS_MM;
        let tightest = [
            ("left side", (-1.0, 0.0)),
            ("right side", (1.0, 0.0)),
            ("back", (0.0, 1.0)),
        ]
        .map(|(name, out)| {
            let side = Side {
                name,
                out: out.into(),
                depth_mm: machine.clearances.chips.map_or(most, Length::to_mm),
                least_width_mm: 0.0,
                assumed: true,
            };
            (name, depth_there(&side, pose, length, width, around))
        })
        .into_iter()
        .min_by(|a, b| a.1.total_cmp(&b.1));
        let least = machine.clearances.chips.map_or(least, Length::to_mm);
        if let Some((side, there_mm)) = tightest {
            if there_mm < least {
                place.ask.push(PlaceAsk {
                    what: CHIP_SIDE,
                    question: String::new(),
                    there_mm,
                    side,
                });
            } else if there_mm < usual {
                place.chips_tight = Some((side, Length::mm(there_mm)));
            }
        }
    }
    if machine.clearances.spindle.is_none()
        && let Some(above) = place.above_mm.filter(|above| *above < SPINDLE_MM)
    {
        place.ask.push(PlaceAsk {
            what: "spindle",
            question: String::new(),
            there_mm: above,
            side: "",
        });
    }
}
