//! Points, segments, convex polygons and the rectangles that move, in millimetres.

use glam::DVec2;

/// A straight piece of something solid, with the number of the thing it belongs to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// One end.
    pub from: DVec2,
    /// Other end.
    pub to: DVec2,
    /// Number of the thing in the list of the caller.
    pub thing: usize,
}

/// Where the load is and how it is turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Centre of the load.
    pub at: DVec2,
    /// Direction of the load's length, anticlockwise from x.
    pub heading_rad: f64,
}

/// A rectangle fixed to the load's frame: x along the load's length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Centre in the load's frame.
    pub centre: DVec2,
    /// Half length and half width.
    pub half: DVec2,
}

impl Rect {
    /// Corners in the load's frame, anticlockwise.
    pub fn corners(&self) -> [DVec2; 4] {
        let [x, y] = self.half.to_array();
        [(x, y), (-x, y), (-x, -y), (x, -y)].map(|(x, y)| self.centre + DVec2::new(x, y))
    }

    /// Larger by a margin on every side.
    pub fn grown(&self, by_mm: f64) -> Self {
        Self {
            centre: self.centre,
            half: (self.half + by_mm).max(DVec2::ZERO),
        }
    }
}

/// What moves: the load first, then what carries it.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// The load, with the clearance it is moved with.
    pub load: Rect,
    /// What must come to lie inside the zone: the load without clearance.
    pub footprint: Rect,
    /// Its carrier, where that reaches beyond the load.
    pub carrier: Vec<Rect>,
}

impl Body {
    /// A bare load.
    pub fn load(length_mm: f64, width_mm: f64) -> Self {
        let load = Rect {
            centre: DVec2::ZERO,
            half: 0.5 * DVec2::new(length_mm, width_mm),
        };
        Self {
            load,
            footprint: load,
            carrier: Vec::new(),
        }
    }

    /// Every rectangle.
    pub fn rects(&self) -> impl Iterator<Item = &Rect> {
        std::iter::once(&self.load).chain(&self.carrier)
    }

    /// Larger by a margin on every side.
    pub fn grown(&self, by_mm: f64) -> Self {
        Self {
            load: self.load.grown(by_mm),
            footprint: self.footprint,
            carrier: self.carrier.iter().map(|r| r.grown(by_mm)).collect(),
        }
    }

    /// Distance of the farthest corner from the load's centre.
    pub fn radius(&self) -> f64 {
        self.rects()
            .flat_map(|r| r.corners())
            .map(DVec2::length)
            .fold(0.0, f64::max)
    }

    /// Angle after which it looks the same: half a turn when everything is centred.
    pub fn period(&self) -> f64 {
        if self.rects().all(|r| r.centre == DVec2::ZERO) {
            std::f64::consts::PI
        } else {
            std::f64::consts::TAU
        }
    }

    /// Room left on every side: how much every rectangle may grow on all sides before one touches
    /// something; negative when it already does. With the place of the nearest thing.
    pub fn room(&self, pose: Pose, things: &[Segment]) -> (f64, Option<(DVec2, usize)>) {
        let turn = DVec2::from_angle(-pose.heading_rad);
        let mut least = (f64::INFINITY, None);
        for segment in things {
            let from = turn.rotate(segment.from - pose.at);
            let to = turn.rotate(segment.to - pose.at);
            for rect in self.rects() {
                let (room, t) = rect_room(rect, from, to);
                if room < least.0 {
                    let at = segment.from.lerp(segment.to, t);
                    least = (room, Some((at, segment.thing)));
                }
            }
        }
        least
    }
}

/// The least over a segment of max(|x| - a, |y| - b) in the rectangle's frame, and where. The
/// function is convex and piecewise linear along the segment, so its least lies at an end or where
/// two of the four linear pieces meet.
fn rect_room(rect: &Rect, from: DVec2, to: DVec2) -> (f64, f64) {
    let (p, d) = (from - rect.centre, to - from);
    let [a, b] = rect.half.to_array();
    // value = offset + slope * t
    let pieces = [
        (p.x - a, d.x),
        (-p.x - a, -d.x),
        (p.y - b, d.y),
        (-p.y - b, -d.y),
    ];
    let at = |t: f64| {
        pieces
            .iter()
            .map(|(offset, slope)| offset + slope * t)
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let mut least = (at(0.0), 0.0);
    let mut consider = |t: f64| {
        let value = at(t);
        if value < least.0 {
            least = (value, t);
        }
    };
    consider(1.0);
    for (i, (offset, slope)) in pieces.iter().enumerate() {
        for (other, steeper) in &pieces[i + 1..] {
            let t = (offset - other) / (steeper - slope);
            if t > 0.0 && t < 1.0 {
                consider(t);
            }
        }
    }
    least
}

/// Distance of a point from the rim of an outline.
pub fn rim_distance(outline: &[DVec2], p: DVec2) -> f64 {
    edges(outline, 0)
        .map(|edge| {
            let along = edge.to - edge.from;
            let t = (p - edge.from).dot(along) / along.length_squared();
            let t = if t.is_finite() {
                t.clamp(0.0, 1.0)
            } else {
                0.0
            };
            p.distance(edge.from + t * along)
        })
        .fold(f64::INFINITY, f64::min)
}

/// A half-plane `normal . p <= limit`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfPlane {
    /// Unit normal, outward.
    pub normal: DVec2,
    /// Largest value inside.
    pub limit: f64,
}

/// The corners of an intersection of half-planes inside a box, anticlockwise; empty when there is
/// none. Clipping after Sutherland and Hodgman, Reentrant Polygon Clipping, 1974 (from memory).
pub fn clipped(planes: impl IntoIterator<Item = HalfPlane>, min: DVec2, max: DVec2) -> Vec<DVec2> {
    let mut corners = vec![min, DVec2::new(max.x, min.y), max, DVec2::new(min.x, max.y)];
    let mut next = Vec::with_capacity(10);
    for plane in planes {
        next.clear();
        for (n, p) in corners.iter().enumerate() {
            let q = corners[(n + 1) % corners.len()];
            let (inside, after) = (
                plane.limit - plane.normal.dot(*p),
                plane.limit - plane.normal.dot(q),
            );
            if inside >= 0.0 {
                next.push(*p);
            }
            if (inside > 0.0 && after < 0.0) || (inside < 0.0 && after > 0.0) {
                next.push(p.lerp(q, inside / (inside - after)));
            }
        }
        std::mem::swap(&mut corners, &mut next);
        if corners.is_empty() {
            break;
        }
    }
    corners
}

/// Twice the signed area; positive when anticlockwise.
pub fn doubled_area(outline: &[DVec2]) -> f64 {
    outline
        .iter()
        .enumerate()
        .map(|(n, p)| p.perp_dot(outline[(n + 1) % outline.len()]))
        .sum()
}

/// True when no corner bends inward.
pub fn is_convex(outline: &[DVec2]) -> bool {
    let n = outline.len();
    let sign = doubled_area(outline).signum();
    n >= 3
        && (0..n).all(|i| {
            let (a, b, c) = (outline[i], outline[(i + 1) % n], outline[(i + 2) % n]);
            let (u, v) = (b - a, c - b);
            sign * u.perp_dot(v) >= -1e-9 * u.length() * v.length()
        })
}

/// The half-planes of a convex outline.
pub fn half_planes(outline: &[DVec2]) -> Vec<HalfPlane> {
    let sign = doubled_area(outline).signum();
    (0..outline.len())
        .filter_map(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
            let normal = (sign * (b - a).perp()).try_normalize()? * -1.0;
            Some(HalfPlane {
                normal,
                limit: normal.dot(a),
            })
        })
        .collect()
}

/// True when a point lies inside an outline, by the number of edges a ray crosses.
pub fn contains(outline: &[DVec2], p: DVec2) -> bool {
    let mut inside = false;
    for (n, a) in outline.iter().enumerate() {
        let b = outline[(n + 1) % outline.len()];
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}

/// The edges of an outline.
pub fn edges(outline: &[DVec2], thing: usize) -> impl Iterator<Item = Segment> + '_ {
    outline.iter().enumerate().map(move |(n, from)| Segment {
        from: *from,
        to: outline[(n + 1) % outline.len()],
        thing,
    })
}
