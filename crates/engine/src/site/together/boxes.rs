//! Standing without a floor plan: bare boxes beside one another on the spot.

use super::{Matter, Member, Premises, SiteVerdict, Together, texts};
use crate::site::answer::{SiteAsk, add};
use crate::site::stand::SIDE_MM;
use crate::site::standing::SERVICE_AREA;
use crate::site::texts::LIFTING_CAUTION;
use units::{Area, Length};

const SOURCE: &str = "three times the footprints (cost-of-ownership guide, weak source); between two machines what one wants at a side, common practice, no source";

/// Says yes where the spot holds all of them with room between; a smaller spot says nothing, since
/// another may stand elsewhere.
pub(super) fn check(members: &[Member<'_>], premises: &Premises<'_>, answer: &mut Together) {
    let sides = super::sides(members);
    let room = premises.room;
    let spot = room.spot_length.zip(room.spot_width);
    let gap = Length::mm(SIDE_MM);
    let wanted = sides
        .iter()
        .flatten()
        .fold(Area::ZERO, |sum, [l, w]| sum + *l * *w * SERVICE_AREA);
    let there = spot.map(|(l, w)| l * w);
    let stand = sides.as_ref().zip(spot).is_some_and(|(sides, (l, w))| {
        // A gap between is a gap at one side of each, and of the spot.
        let grown: Vec<[Length; 2]> = sides.iter().map(|[l, w]| [*l + gap, *w + gap]).collect();
        wanted <= l * w && side_by_side(&grown, [l + gap, w + gap])
    });
    let verdict = if stand {
        SiteVerdict::Yes
    } else {
        SiteVerdict::CannotSay
    };
    if !stand {
        let flips = sides.is_some().then_some(wanted.to_m2());
        add(
            &mut answer.ask,
            SiteAsk {
                input: "site/spot".to_owned(),
                question: texts::ASK_SPOT_FOR_ALL.to_owned(),
                flips_at: flips,
                unit: "m2",
                at_least: true,
                likely: None,
            },
        );
    }
    answer.settle(Matter {
        what: "standing",
        verdict,
        need: sides.is_some().then_some(wanted.to_m2()),
        have: there.map(Area::to_m2),
        unit: "m2",
        said: texts::boxes_together(
            verdict,
            sides.is_some().then_some(wanted),
            there,
            gap,
            premises.system,
        ),
        source: SOURCE,
        caution: LIFTING_CAUTION,
    });
}

/// True when boxes, each straight or turned, lie in a rectangle so that a straight cut parts them,
/// and so on within the halves. Up to four boxes that lie in a rectangle at all can be parted so.
fn side_by_side(boxes: &[[Length; 2]], [l, w]: [Length; 2]) -> bool {
    match boxes {
        [] => true,
        [[a, b]] => (a.fits(l) && b.fits(w)) || (b.fits(l) && a.fits(w)),
        _ => (1..(1_usize << boxes.len()) - 1).any(|some| {
            let part = |of: usize| -> Vec<[Length; 2]> {
                let chosen = |at: &usize| (some >> at & 1) == of;
                (0..boxes.len())
                    .filter(chosen)
                    .map(|at| boxes[at])
                    .collect()
            };
            let (first, second) = (part(0), part(1));
            let lies = |across: Length, along: Length| {
                // The first takes no more than it must.
                least(&first, across)
                    .is_some_and(|taken| side_by_side(&second, [along - taken, across]))
            };
            lies(w, l) || lies(l, w)
        }),
    }
}

/// Least length on which boxes lie within a breadth; `None` where they do not at any.
fn least(boxes: &[[Length; 2]], across: Length) -> Option<Length> {
    // Lengths are sums of sides: the least one that does.
    let mut sums = vec![Length::ZERO];
    for [a, b] in boxes {
        let more: Vec<Length> = sums.iter().flat_map(|s| [*s + *a, *s + *b]).collect();
        sums.extend(more);
    }
    sums.sort_by(|a, b| a.to_mm().total_cmp(&b.to_mm()));
    sums.into_iter()
        .find(|along| side_by_side(boxes, [*along, across]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lie(boxes: &[[f64; 2]], [l, w]: [f64; 2]) -> bool {
        let boxes: Vec<[Length; 2]> = boxes.iter().map(|b| b.map(Length::mm)).collect();
        side_by_side(&boxes, [Length::mm(l), Length::mm(w)])
    }

    #[test]
    fn boxes_lie_side_by_side_turned_as_it_fits() {
        // 3 by 2 and 2 by 1: in a row 4 by 3 with the second upright, or 5 by 2.
        let two = [[3.0, 2.0], [2.0, 1.0]];
        assert!(lie(&two, [5.0, 2.0]) && lie(&two, [4.0, 2.0]) && lie(&two, [3.0, 3.0]));
        assert!(!lie(&two, [3.9, 2.0]) && !lie(&two, [2.9, 2.9]));
        // Two of 2 by 1 beside a third, 4 by 1: a square of 3 by 3 does not take the long one.
        let three = [[2.0, 1.0], [2.0, 1.0], [4.0, 1.0]];
        assert!(lie(&three, [4.0, 2.0]) && !lie(&three, [3.0, 3.0]));
    }
}
