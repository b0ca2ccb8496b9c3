//! The largest load of the same proportions that still passes, between one that surely does and
//! one that surely does not.

use super::planner::{Decision, Fineness, Floor, decide};
use super::shape::{Body, Pose};
use units::{Cancelled, Watch};

/// A load this many times the one asked about is not looked at.
const MOST: f64 = 64.0;

/// Between which sizes the largest load lies.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Largest {
    /// Scale of the largest load seen to pass; zero when none was.
    pub passes: f64,
    /// Its way.
    pub way: Vec<Pose>,
    /// Scale of the smallest load seen not to pass; `None` when none was.
    pub fails: Option<f64>,
}

/// By bisection on the scale, until both ends are within `within` of each other or what lies
/// between cannot be decided at this fineness. `whole` is the answer for scale 1, where it is known.
pub fn largest(
    floor: &Floor,
    body: impl Fn(f64) -> Body,
    whole: Option<Decision>,
    within: f64,
    fineness: Fineness,
    watch: Watch<'_>,
) -> Result<Largest, Cancelled> {
    let mut found = Largest::default();
    // Highest scale not seen to fail and lowest not seen to pass.
    let mut undecided: Option<[f64; 2]> = None;
    let mut scale = 1.0;
    let mut known = whole;
    for _ in 0..60 {
        let decision = match known.take() {
            Some(decision) => decision,
            None => decide(floor, &body(scale), fineness, watch)?.decision,
        };
        match decision {
            Decision::Yes(way) => {
                if scale > found.passes {
                    found.passes = scale;
                    found.way = way;
                }
            }
            Decision::No => found.fails = Some(found.fails.map_or(scale, |f: f64| f.min(scale))),
            Decision::Undecided => {
                let [low, high] = undecided.unwrap_or([scale, scale]);
                undecided = Some([low.min(scale), high.max(scale)]);
            }
        }
        let fails = found.fails.unwrap_or(MOST);
        let next = match undecided {
            // Each side of the undecided band in turn, the lower one first.
            Some([low, _]) if low - found.passes > within => 0.5 * (low + found.passes),
            Some([_, high]) if fails - high > within && fails < MOST => 0.5 * (high + fails),
            Some([_, high]) if fails >= MOST && 1.25 * high < MOST => 1.25 * high,
            None if fails >= MOST && found.passes > 0.0 => 1.6 * found.passes,
            None if fails - found.passes > within => {
                if found.passes > 0.0 {
                    0.5 * (fails + found.passes)
                } else {
                    0.6 * fails
                }
            }
            _ => break,
        };
        if next >= MOST || next < within {
            break;
        }
        scale = next;
    }
    Ok(found)
}
