//! The fit of a part on a machine: every setup tried both ways round, then everything compared.

use super::stack::{self, stack_up};
use super::tally::Tally;
use super::travel::{self, MOST_ALONG_X, MOST_ALONG_Y, tool_centre_travel};
use super::{Capability, Fit, Practice, SetupFit, spindle, table, tools};
use crate::cutting::Materials;
use crate::demand::{Demand, Setup};
use crate::machine::{Field, Machine};
use crate::texts;
use units::{Length, Time};

/// Time of one more clamping of a part whose vise or clamps stand ready (common practice, no
/// source).
pub(crate) const CLAMPING: Time = Time::minutes(4.0);

/// Whether and how a part fits a machine. A property nobody stated never makes a yes.
pub fn fit(demand: &Demand, machine: &Machine, materials: &Materials, practice: &Practice) -> Fit {
    let mut tally = Tally::new(&machine.offer);
    let gauge = practice.gauge(machine);
    let mut setups_on = Vec::new();
    for setup in &demand.setups {
        let lie = lie(setup, machine, practice, &mut tally);
        let stack = stack_up(setup, machine, practice, gauge);
        compare_height(setup, &stack, machine, practice, &mut tally);
        let [x, y, _] = setup.extent;
        let footprint = if lie.turned { [y, x] } else { [x, y] };
        table::footprint(footprint, machine, &mut tally);
        table::throat(footprint[1] / f64::from(lie.along[1]), machine, &mut tally);
        setups_on.push(SetupFit {
            turned: lie.turned,
            clampings: lie.along[0] * lie.along[1],
            stack,
            travel_need: lie.need,
        });
    }
    table::load(demand, machine, practice, &mut tally);
    table::accuracy(demand, machine, practice, &mut tally);
    let tool_list = tools::distinct_tools(demand);
    tools::compare(&tool_list, machine, practice, gauge, &mut tally);
    spindle::compare(demand, machine, materials, &mut tally);

    let setups = demand.setups.len() as u32;
    let clampings = setups_on.iter().map(|s| s.clampings).sum();
    let verdict = tally.verdict(clampings, setups);
    let (margins, limits, ask) = tally.finish();
    Fit {
        part: demand.part.clone(),
        offer: machine.offer.clone(),
        verdict,
        setups,
        clampings,
        margins,
        limits,
        ask,
        setups_on,
        hand_changes: tools::hand_changes(&tool_list, machine),
        tools: tool_list.len() as u32,
    }
}

/// Compares heights; when the taper is not stated and a shorter holder would do, the answer stays
/// open instead of being a no.
fn compare_height(
    setup: &Setup,
    stack: &super::StackUp,
    machine: &Machine,
    practice: &Practice,
    tally: &mut Tally,
) {
    let before = tally.limits.len();
    stack::compare(stack, machine, tally);
    let shorter = practice.shortest_gauge(machine);
    if shorter < practice.gauge(machine) && tally.limits[before..].iter().any(|l| l.rules_out) {
        let mut other = Tally::new(&machine.offer);
        stack::compare(
            &stack_up(setup, machine, practice, shorter),
            machine,
            &mut other,
        );
        if !other.limits.iter().any(|l| l.rules_out) {
            let gauge = practice.gauge(machine);
            let mut longest = gauge;
            for limit in tally.limits[before..].iter_mut().filter(|l| l.rules_out) {
                let would_do = gauge - Length::mm(limit.short_by);
                longest = longest.min(would_do);
                limit.rules_out = false;
                limit.mend = texts::ask_taper(would_do);
            }
            tally.ask_taper(longest);
        }
    }
}

/// How a setup lies on the table.
struct Lie {
    turned: bool,
    along: [u32; 2],
    need: [Length; 2],
}

/// One way round, judged by what is stated.
struct Way {
    turned: bool,
    need: [Length; 2],
    /// Clampings along X and Y; `None` where travel is too short for any number of them; 1 where
    /// it is not stated.
    along: [Option<u32>; 2],
}

impl Way {
    /// Clampings in all; one axis may be short, not both.
    fn clampings(&self) -> Option<u32> {
        match self.along {
            [Some(x), Some(y)] if x == 1 || y == 1 => Some(x * y),
            _ => None,
        }
    }
}

fn lie(setup: &Setup, machine: &Machine, practice: &Practice, tally: &mut Tally) -> Lie {
    let p = &machine.properties;
    let travel = [p.travel_x.stated(), p.travel_y.stated()];
    let need = tool_centre_travel(setup);
    let most = [MOST_ALONG_X, MOST_ALONG_Y];
    let ways = [false, true].map(|turned| {
        let need = if turned { [need[1], need[0]] } else { need };
        let along = [0, 1].map(|axis| match travel[axis] {
            Some(t) => travel::clampings(need[axis], t, practice.overlap, most[axis]),
            None => Some(1),
        });
        Way {
            turned,
            need,
            along,
        }
    });
    let best = ways
        .iter()
        .filter(|w| w.clampings().is_some())
        .min_by_key(|w| (w.clampings(), w.turned));
    let axes = [
        (Capability::TravelX, Field::travel_x, p.travel_x, 'X'),
        (Capability::TravelY, Field::travel_y, p.travel_y, 'Y'),
    ];
    let Some(best) = best else {
        return too_short(&ways, travel, practice, tally);
    };
    let along = best.along.map(|n| n.unwrap_or(1));
    for (axis, (capability, field, known, letter)) in axes.into_iter().enumerate() {
        match travel[axis] {
            Some(t) => {
                let margin = (t - best.need[axis]).to_mm();
                tally.margin(capability, margin);
                if along[axis] > 1 {
                    tally.limit(
                        capability,
                        -margin,
                        texts::clamp_again(letter, along[axis], axis == 1, practice.overlap),
                        Some(CLAMPING * f64::from(along[axis] - 1)),
                        false,
                    );
                }
            }
            None => {
                // The least travel that would do in either way round; more clampings count only
                // where the other axis leaves them.
                let other = 1 - axis;
                let least = ways
                    .iter()
                    .filter_map(|w| {
                        let n = match w.along[other]? {
                            1 => most[axis],
                            _ => 1,
                        };
                        Some(travel::least_travel(w.need[axis], n, practice.overlap))
                    })
                    .fold(best.need[axis], Length::min);
                tally.ask(field, known, least, true);
            }
        }
    }
    Lie {
        turned: best.turned,
        along,
        need: best.need,
    }
}

/// No way round does: the reasons of the way that falls least short.
fn too_short(
    ways: &[Way; 2],
    travel: [Option<Length>; 2],
    practice: &Practice,
    tally: &mut Tally,
) -> Lie {
    let most = [MOST_ALONG_X, MOST_ALONG_Y];
    let shortfall = |w: &Way| -> [Length; 2] {
        // With one axis re-clamped at most: the other must do in one.
        let by = |axis: usize, n: u32| {
            travel[axis].map_or(Length::ZERO, |t| {
                (travel::least_travel(w.need[axis], n, practice.overlap) - t).max(Length::ZERO)
            })
        };
        [[by(0, most[0]), by(1, 1)], [by(0, 1), by(1, most[1])]]
            .into_iter()
            .min_by(|a, b| (a[0] + a[1]).total_cmp(&(b[0] + b[1])))
            .unwrap_or([Length::ZERO; 2])
    };
    let sum = |w: &Way| {
        let [x, y] = shortfall(w);
        x + y
    };
    let way = if sum(&ways[1]) < sum(&ways[0]) {
        &ways[1]
    } else {
        &ways[0]
    };
    let short = shortfall(way);
    for (axis, capability, letter) in [(0, Capability::TravelX, 'X'), (1, Capability::TravelY, 'Y')]
    {
        if let Some(t) = travel[axis] {
            tally.margin(capability, (t - way.need[axis]).to_mm());
        }
        if short[axis] > Length::ZERO {
            let mend = if way.along[axis].is_some() {
                texts::both_axes_short()
            } else {
                texts::travel_too_short(letter, most[axis])
            };
            tally.limit(capability, short[axis].to_mm(), mend, None, true);
        }
    }
    Lie {
        turned: way.turned,
        along: [0, 1].map(|a| way.along[a].unwrap_or(most[a])),
        need: way.need,
    }
}
