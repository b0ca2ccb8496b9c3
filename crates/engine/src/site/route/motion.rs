//! Straight motions (place and heading both in proportion), checked as they are, without any
//! lattice: a motion is clear when every piece of it is shorter than the room at its middle.

use super::shape::{Body, Pose, Segment};
use glam::DVec2;

/// Pieces in which no point moves farther than this are not cut further.
const SHORTEST_MM: f64 = 0.01;

/// Room beyond which a shorter way is not kept away from walls. Common practice, no source.
const AMPLE_MM: f64 = 200.0;

/// The pose between two poses.
pub fn between(a: Pose, b: Pose, t: f64) -> Pose {
    Pose {
        at: a.at.lerp(b.at, t),
        heading_rad: a.heading_rad + t * (b.heading_rad - a.heading_rad),
    }
}

/// Farthest that any point of a body moves between two poses.
fn travel(a: Pose, b: Pose, radius_mm: f64) -> f64 {
    a.at.distance(b.at) + radius_mm * (a.heading_rad - b.heading_rad).abs()
}

/// True when the body touches nothing on the whole way.
pub fn clear(body: &Body, a: Pose, b: Pose, things: &[Segment]) -> bool {
    clear_piece(body, a, b, things, body.radius())
}

fn clear_piece(body: &Body, a: Pose, b: Pose, things: &[Segment], radius_mm: f64) -> bool {
    let middle = between(a, b, 0.5);
    let room = body.room(middle, things).0;
    let reach = 0.5 * travel(a, b, radius_mm);
    if room > reach {
        return true;
    }
    room > 0.0
        && reach > SHORTEST_MM
        && clear_piece(body, a, middle, things, radius_mm)
        && clear_piece(body, middle, b, things, radius_mm)
}

/// The narrowest place of a way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tightest {
    /// Room left on every side of the body there; negative where it collides.
    pub room_mm: f64,
    /// Nearest point of the nearest thing, and its number.
    pub thing: Option<(DVec2, usize)>,
    /// Where the load is.
    pub pose: Pose,
}

/// The narrowest place of a way, to within half a millimetre.
pub fn tightest(body: &Body, way: &[Pose], things: &[Segment]) -> Option<Tightest> {
    let at = |pose: Pose| {
        let (room_mm, thing) = body.room(pose, things);
        Tightest {
            room_mm,
            thing,
            pose,
        }
    };
    let mut least = at(*way.first()?);
    let radius = body.radius();
    for pair in way.windows(2) {
        let mut open = vec![(pair[0], pair[1])];
        while let Some((a, b)) = open.pop() {
            let middle = between(a, b, 0.5);
            let here = at(middle);
            if here.room_mm < least.room_mm {
                least = here;
            }
            let reach = 0.5 * travel(a, b, radius);
            if here.room_mm - reach < least.room_mm - 0.5 {
                open.push((middle, b));
                open.push((a, middle));
            }
        }
        let end = at(pair[1]);
        if end.room_mm < least.room_mm {
            least = end;
        }
    }
    Some(least)
}

/// A way with fewer corners that keeps as much room as the way had there, up to ample room.
pub fn shortened(body: &Body, way: &[Pose], things: &[Segment]) -> Vec<Pose> {
    let rooms: Vec<f64> = way.iter().map(|p| body.room(*p, things).0).collect();
    let keeps = |from: usize, to: usize| {
        let least = rooms[from..=to].iter().copied().fold(AMPLE_MM, f64::min);
        let wanted = body.grown((0.8 * least).max(0.0));
        clear(&wanted, way[from], way[to], things)
    };
    let mut out = Vec::new();
    let mut at = 0;
    while at + 1 < way.len() {
        out.push(way[at]);
        let mut step = 1;
        while at + 2 * step < way.len() && keeps(at, at + 2 * step) {
            step *= 2;
        }
        let mut finer = step / 2;
        while finer > 0 {
            if at + step + finer < way.len() && keeps(at, at + step + finer) {
                step += finer;
            }
            finer /= 2;
        }
        at += step;
    }
    out.extend(way.last());
    out
}
