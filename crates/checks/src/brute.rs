//! A tool against every triangle, in f64, by nothing the kernels use: no grid, no closed form of
//! contact, only the definition T(x) = max over q of q.z - profile(|q - x|).
//!
//! Over a triangle that is a concave function of two numbers: its maximum is found by halving, in
//! one direction inside the other, on bounds known to hold it. Slow and plain on purpose.

use glam::{DVec2, DVec3, Vec3Swizzles};

/// Thirds of a search range thrown away: leaves a share of (2/3)^45, about 1e-8, of a range at whose end
/// the function is level or the end itself is tried.
const STEPS: u32 = 45;

/// Height of a straight tool's underside at a distance from its axis.
pub fn profile_mm(radius_mm: f64, corner_mm: f64, distance_mm: f64) -> f64 {
    if distance_mm > radius_mm {
        return f64::INFINITY;
    }
    let out = (distance_mm - (radius_mm - corner_mm)).max(0.0);
    corner_mm - (corner_mm * corner_mm - out * out).max(0.0).sqrt()
}

/// Lowest tip over a set of triangles: the largest over all of them.
pub fn tip_mm(radius_mm: f64, corner_mm: f64, axis: DVec2, triangles: &[[DVec3; 3]]) -> f64 {
    triangles.iter().fold(f64::NEG_INFINITY, |best, t| {
        // A triangle cannot hold the tip higher than its own top.
        if t[0].z.max(t[1].z).max(t[2].z) <= best {
            best
        } else {
            best.max(over_triangle(radius_mm, corner_mm, axis, t))
        }
    })
}

fn over_triangle(r: f64, c: f64, axis: DVec2, [a, b, d]: &[DVec3; 3]) -> f64 {
    let nearest = axis.clamp(
        a.xy().min(b.xy()).min(d.xy()),
        a.xy().max(b.xy()).max(d.xy()),
    );
    if nearest.distance(axis) > r {
        return f64::NEG_INFINITY;
    }
    // On the line from a point of one side to the opposite corner, then over the side.
    let on_line = |from: DVec3, to: DVec3| {
        stretch_in_disc(axis, r, from, to).map_or(f64::NEG_INFINITY, |[low, high]| {
            largest(low, high, |t| {
                let q = from.lerp(to, t);
                q.z - profile_mm(r, c, q.xy().distance(axis).min(r))
            })
        })
    };
    let sides = on_line(*a, *b).max(on_line(*b, *d)).max(on_line(*d, *a));
    // Lines that miss the disc give negative infinity on both ends of the range only when the
    // disc lies between them: narrow the range to lines that meet it first.
    let meets = |s: f64| stretch_in_disc(axis, r, a.lerp(*b, s), *d).is_some();
    const LINES: u32 = 200;
    let hits: Vec<f64> = (0..=LINES)
        .map(|k| f64::from(k) / f64::from(LINES))
        .filter(|s| meets(*s))
        .collect();
    match (hits.first(), hits.last()) {
        (Some(&low), Some(&high)) => {
            let step = 1.0 / f64::from(LINES);
            let edge = |inside: f64, outside: f64| {
                let (mut i, mut o) = (inside, outside.clamp(0.0, 1.0));
                if meets(o) {
                    return o;
                }
                for _ in 0..60 {
                    let m = 0.5 * (i + o);
                    if meets(m) { i = m } else { o = m }
                }
                i
            };
            let (low, high) = (edge(low, low - step), edge(high, high + step));
            sides.max(largest(low, high, |s| on_line(a.lerp(*b, s), *d)))
        }
        _ => sides,
    }
}

/// Shares of the way from one point to another that lie within the disc seen along the axis.
fn stretch_in_disc(axis: DVec2, r: f64, from: DVec3, to: DVec3) -> Option<[f64; 2]> {
    let (p, run) = (from.xy() - axis, to.xy() - from.xy());
    let square = run.length_squared();
    if square == 0.0 {
        return (p.length() <= r).then_some([0.0, 1.0]);
    }
    let foot = -p.dot(run) / square;
    let off = (p + run * foot).length_squared();
    let half = ((r * r - off) / square).max(0.0).sqrt();
    let (low, high) = ((foot - half).max(0.0), (foot + half).min(1.0));
    (off <= r * r && low <= high).then_some([low, high])
}

/// Largest value of a concave function, by thirds.
fn largest(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let mut best = f(low).max(f(high));
    for _ in 0..STEPS {
        let (s, t) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        let (at_s, at_t) = (f(s), f(t));
        best = best.max(at_s).max(at_t);
        if at_s < at_t { low = s } else { high = t }
    }
    best
}
