//! The largest load of the same proportions that still passes, between one that surely does and
//! one that surely does not.

use super::planner::{Decision, Fineness, Floor, Found, Reached, Wanted, look};
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
///
/// Once a size is undecided, smaller ones are asked only for a way and larger ones only for the
/// proof that there is none; ways are traced only at the end, for the largest size whose boxes lead
/// there.
pub fn largest(
    floor: &Floor,
    body: impl Fn(f64) -> Body,
    whole: Option<&Decision>,
    within: f64,
    fineness: Fineness,
    watch: Watch<'_>,
) -> Result<Largest, Cancelled> {
    let mut reached: Vec<(f64, Box<Reached>)> = Vec::new();
    let mut passes = 0.0_f64;
    let mut fails: Option<f64> = None;
    // Highest scale not seen to fail and lowest not seen to pass.
    let mut undecided: Option<[f64; 2]> = None;
    let mut scale = 1.0;
    let mut known = whole;
    let mut wanted = Wanted::Either;
    for _ in 0..60 {
        match known.take() {
            Some(Decision::Yes(_)) => passes = scale,
            Some(Decision::No) => fails = Some(scale),
            Some(Decision::Undecided) => undecided = Some([scale, scale]),
            None => match look(floor, &body(scale), fineness, wanted, watch)?.0 {
                Found::Reached(boxes) => {
                    if scale > passes {
                        passes = scale;
                        reached.push((scale, boxes));
                    }
                }
                Found::No => fails = Some(fails.map_or(scale, |f| f.min(scale))),
                Found::Undecided => {
                    let [low, high] = undecided.unwrap_or([scale, scale]);
                    undecided = Some([low.min(scale), high.max(scale)]);
                }
            },
        }
        let least = fails.unwrap_or(MOST);
        (scale, wanted) = match undecided {
            // Each side of the undecided band in turn, the lower one first.
            Some([low, _]) if low - passes > within => (0.5 * (low + passes), Wanted::Way),
            Some([_, high]) if least - high > within && least < MOST => {
                (0.5 * (high + least), Wanted::Proof)
            }
            Some([_, high]) if least >= MOST && 1.25 * high < MOST => (1.25 * high, Wanted::Proof),
            None if least >= MOST && passes > 0.0 => (1.6 * passes, Wanted::Either),
            None if least - passes > within => {
                let next = if passes > 0.0 {
                    0.5 * (least + passes)
                } else {
                    0.6 * least
                };
                (next, Wanted::Either)
            }
            _ => break,
        };
        if scale >= MOST || scale < within {
            break;
        }
    }
    let mut found = Largest {
        fails,
        ..Largest::default()
    };
    for (scale, boxes) in reached.iter().rev() {
        if let Decision::Yes(way) = boxes.way(floor, &body(*scale), watch)? {
            found.passes = *scale;
            found.way = way;
            return Ok(found);
        }
    }
    if let Some(Decision::Yes(way)) = whole {
        found.passes = 1.0;
        found.way = way.clone();
    }
    Ok(found)
}
