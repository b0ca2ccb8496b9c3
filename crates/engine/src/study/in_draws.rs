//! What a purchase does in each of the common draws: every part laid on the machine, and the machine
//! put into the room, with the numbers people gave with a spread at that draw's values.
//!
//! Only what somebody stated with a spread is drawn: a number nobody stated stays a question. The way
//! on a floor plan is looked for at the likely and at the largest sizes: a machine anywhere larger than
//! likely counts as the largest. Nor is anything drawn in studies with very many pairs.

use super::cells::at_every_point;
use super::{Context, texts};
use crate::choice::{InDraws, Outcome, PartIn, Turn};
use crate::cutting::LimitsBand;
use crate::demand::{self, Demand};
use crate::entered::{Part, Site};
use crate::fit::{Fit, fit_within};
use crate::machine::{Field, Machine};
use crate::money::series;
use crate::resolve;
use crate::site::{Room, SiteAnswer, SiteVerdict};
use std::collections::BTreeMap;
use std::sync::Arc;
use units::{Draw, Length, Number, Quantity, Value};

/// A number of a part that its fit turns on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PartNumber {
    Allowance,
    Tolerance,
}

/// Numbers in doubt that all purchases share.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Shared {
    room: Vec<(&'static str, Value<Number>)>,
    /// By part.
    parts: Vec<Vec<(PartNumber, Value<Number>)>>,
}

impl Shared {
    pub(super) fn of(site: &Site, parts: &[Part]) -> Self {
        let of_part = |part: &Part| {
            let allowance = Some(&part.allowance).map(|v| (PartNumber::Allowance, v));
            let tolerance = part.tolerance.as_ref().map(|v| (PartNumber::Tolerance, v));
            let both = allowance.into_iter().chain(tolerance);
            both.filter(|(_, v)| v.is_doubtful())
                .map(|(number, v)| (number, v.in_base_units()))
                .collect()
        };
        Self {
            room: Room::doubtful(site),
            parts: parts.iter().map(of_part).collect(),
        }
    }

    /// Every one of them.
    pub(super) fn all(&self) -> impl Iterator<Item = &Value<Number>> {
        let room = self.room.iter().map(|(_, v)| v);
        room.chain(self.parts.iter().flatten().map(|(_, v)| v))
    }
}

/// Everything the draws of a purchase depend on besides the ground of all.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct InDrawsKey {
    pub machine: Machine,
    pub own: Vec<(Field, Value<Number>)>,
    pub shared: Shared,
    pub room: Room,
    /// The site as found at the likely numbers, with the answer of a floor plan.
    pub site: SiteAnswer,
    /// The same for the largest machine the ranges allow, where that is another.
    pub largest: Option<SiteAnswer>,
    pub seed: u64,
    pub draws: u64,
}

/// One number in doubt.
#[derive(Clone, Copy)]
enum Which {
    Machine(Field),
    Room(&'static str),
    Part(PartNumber),
}

struct Doubt<'a> {
    which: Which,
    value: &'a Value<Number>,
}

/// The machine and the room tried at other numbers.
pub(super) struct Tried<'a> {
    pub context: &'a Context<'a>,
    pub key: &'a InDrawsKey,
    pub fits: &'a [Fit],
    /// Whether a machine goes into a room.
    pub goes_in: &'a dyn Fn(&Machine, &Room) -> SiteVerdict,
}

/// What becomes of a purchase in each draw; `None` when that is the same in all.
pub(super) fn in_draws(tried: &Tried<'_>) -> Option<InDraws> {
    let draws = tried.key.draws as usize;
    let drawn = Drawn::of(tried.key);
    let mut turns: BTreeMap<String, Turn> = BTreeMap::new();
    // What differs among the draws, part by part, and at the site.
    let mut parts: Vec<(usize, Vec<PartIn>)> = Vec::new();
    let likely: Vec<PartIn> = tried.fits.iter().map(of_fit).collect();
    for (part, fit) in tried.fits.iter().enumerate() {
        let doubts = tried.of_part(part);
        let ask = &mut |doubts: &[Doubt<'_>], at: &[f64]| tried.part(part, doubts, at);
        let Some((found, relevant)) = everywhere(doubts, &drawn, ask) else {
            continue;
        };
        tell(&mut turns, &relevant, ask, &mut |turn| {
            turn.parts.push(fit.part.clone());
        });
        parts.push((part, found));
    }
    let ask = &mut |doubts: &[Doubt<'_>], at: &[f64]| tried.site(doubts, at);
    let site = everywhere(tried.of_site(), &drawn, ask).map(|(found, relevant)| {
        tell(&mut turns, &relevant, ask, &mut |turn| turn.site = true);
        found
    });
    if parts.is_empty() && site.is_none() {
        return None;
    }
    let mut places: BTreeMap<(Vec<PartIn>, SiteVerdict), u32> = BTreeMap::new();
    let mut outcomes = Vec::new();
    let of = (0..draws)
        .map(|draw| {
            let goes_in = site.as_ref().map_or(tried.key.site.goes_in, |s| s[draw]);
            let varied: Vec<PartIn> = parts.iter().map(|(_, found)| found[draw]).collect();
            *places
                .entry((varied, goes_in))
                .or_insert_with_key(|(varied, goes_in)| {
                    let mut all = likely.clone();
                    for ((part, _), own) in parts.iter().zip(varied) {
                        all[*part] = *own;
                    }
                    outcomes.push(Outcome {
                        parts: all,
                        goes_in: *goes_in,
                    });
                    outcomes.len() as u32 - 1
                })
        })
        .collect();
    Some(InDraws {
        outcomes,
        of,
        turns: turns.into_values().collect(),
    })
}

fn of_fit(fit: &Fit) -> PartIn {
    PartIn {
        verdict: fit.verdict,
        clampings: fit.clampings,
    }
}

/// The numbers in doubt draw by draw, each worked out once.
struct Drawn(BTreeMap<String, Arc<Vec<f64>>>);

impl Drawn {
    fn of(key: &InDrawsKey) -> Self {
        let own = key.own.iter().map(|(_, v)| v);
        let column = |v: &Value<Number>| {
            let column = Arc::new(series(v, key.seed, key.draws));
            (v.id.0.clone(), column)
        };
        Self(own.chain(key.shared.all()).map(column).collect())
    }

    fn column(&self, doubt: &Doubt<'_>) -> Vec<f64> {
        let found = self.0.get(&doubt.value.id.0);
        found.map_or(Vec::new(), |column| column.to_vec())
    }
}

impl<'a> Tried<'a> {
    /// What the fit of a part may turn on. Weight, outside sizes, supply and what follows them are
    /// the site's.
    fn of_part(&self, part: usize) -> Vec<Doubt<'a>> {
        let own = self.key.own.iter().filter(|(field, _)| field.is_of_fits());
        let own = own.map(|(field, value)| (Which::Machine(*field), value));
        let parts = self.key.shared.parts.get(part).into_iter().flatten();
        own.chain(parts.map(|(number, value)| (Which::Part(*number), value)))
            .map(|(which, value)| Doubt { which, value })
            .collect()
    }

    fn of_site(&self) -> Vec<Doubt<'a>> {
        let own = self.key.own.iter();
        let own = own.map(|(field, value)| (Which::Machine(*field), value));
        let room = self.key.shared.room.iter();
        own.chain(room.map(|(key, value)| (Which::Room(key), value)))
            .map(|(which, value)| Doubt { which, value })
            .collect()
    }

    fn machine(&self, doubts: &[Doubt<'_>], at: &[f64]) -> Machine {
        let mut machine = self.key.machine.clone();
        for (doubt, base) in doubts.iter().zip(at) {
            if let Which::Machine(field) = doubt.which {
                machine.properties.state(field, *base);
            }
        }
        machine
    }

    /// A part on the machine with some numbers at other values.
    fn part(&self, part: usize, doubts: &[Doubt<'_>], at: &[f64]) -> PartIn {
        let Context {
            inputs,
            settings,
            materials,
            demands,
            ..
        } = *self.context;
        let mut plain = None;
        for (doubt, base) in doubts.iter().zip(at) {
            let Which::Part(number) = doubt.which else {
                continue;
            };
            let plain =
                plain.get_or_insert_with(|| resolve::part(&inputs.parts[part], Draw::Likely));
            let length = Length::from_base(*base);
            match number {
                PartNumber::Allowance => plain.allowance = length,
                PartNumber::Tolerance => plain.tolerance = Some(length),
            }
        }
        let own: Option<Demand> =
            plain.map(|plain| inputs.shop.tools.preferred(demand::of(&plain, materials)));
        let demand = own.as_ref().unwrap_or(&demands[part]);
        let machine = self.machine(doubts, at);
        let band = LimitsBand::of(&machine);
        let fit = fit_within(demand, &machine, &band, materials, &settings.practice);
        of_fit(&fit)
    }

    fn site(&self, doubts: &[Doubt<'_>], at: &[f64]) -> SiteVerdict {
        let mut room = self.key.room;
        for (doubt, base) in doubts.iter().zip(at) {
            if let Which::Room(key) = doubt.which {
                room = room.with(key, *base);
            }
        }
        (self.goes_in)(&self.machine(doubts, at), &room)
    }
}

type Ask<'f, T> = dyn FnMut(&[Doubt<'_>], &[f64]) -> T + 'f;

/// With more numbers than this, those that change nothing are looked for first.
const FEW: usize = 3;

/// The answer in every draw, and the numbers it turns on; `None` when it is the same in all.
fn everywhere<'a, T: Clone + PartialEq>(
    mut doubts: Vec<Doubt<'a>>,
    drawn: &Drawn,
    ask: &mut Ask<'_, T>,
) -> Option<(Vec<T>, Vec<Doubt<'a>>)> {
    if doubts.len() > FEW {
        doubts = relevant(doubts, drawn, ask);
    }
    if doubts.is_empty() {
        return None;
    }
    let columns: Vec<Vec<f64>> = doubts.iter().map(|d| drawn.column(d)).collect();
    let found = at_every_point(&columns, &mut |at| ask(&doubts, at));
    if found.windows(2).all(|pair| pair[0] == pair[1]) {
        return None;
    }
    if doubts.len() <= FEW {
        doubts = relevant(doubts, drawn, ask);
    }
    Some((found, doubts))
}

/// Draws at which each number is tried at its ends while the others stay.
const BASES: usize = 16;

/// The numbers that change something, at their ends, at some of the draws or at the likely values.
fn relevant<'a, T: PartialEq>(
    doubts: Vec<Doubt<'a>>,
    drawn: &Drawn,
    ask: &mut Ask<'_, T>,
) -> Vec<Doubt<'a>> {
    let columns: Vec<Vec<f64>> = doubts.iter().map(|d| drawn.column(d)).collect();
    let ends: Vec<(f64, f64)> = doubts.iter().map(ends).collect();
    let corner = |high: bool| ends.iter().map(|e| if high { e.1 } else { e.0 }).collect();
    let mut bases: Vec<Vec<f64>> = vec![
        doubts.iter().map(|d| d.value.likely.base()).collect(),
        corner(false),
        corner(true),
    ];
    let count = columns.first().map_or(0, Vec::len);
    bases.extend((0..BASES.min(count)).map(|i| columns.iter().map(|c| c[i]).collect()));
    let mut turns = vec![false; doubts.len()];
    for base in bases {
        for (number, turns) in turns.iter_mut().enumerate().filter(|(_, t)| !**t) {
            let mut at = base.clone();
            at[number] = ends[number].0;
            let low = ask(&doubts, &at);
            at[number] = ends[number].1;
            *turns = low != ask(&doubts, &at);
        }
    }
    let kept = doubts.into_iter().zip(turns).filter(|(_, turns)| *turns);
    kept.map(|(doubt, _)| doubt).collect()
}

fn ends(doubt: &Doubt<'_>) -> (f64, f64) {
    let (low, high) = doubt.value.ends();
    (low.base(), high.base())
}

/// Places along a number at which a change is looked for.
const STEPS: usize = 32;
/// Halvings of a step until the place of a change is known: to a 2^-30th of the step.
const HALVINGS: usize = 30;

/// Where each number changes something while the others are likely.
fn tell<T: PartialEq + Ord>(
    turns: &mut BTreeMap<String, Turn>,
    doubts: &[Doubt<'_>],
    ask: &mut Ask<'_, T>,
    about: &mut dyn FnMut(&mut Turn),
) {
    let likely: Vec<f64> = doubts.iter().map(|d| d.value.likely.base()).collect();
    for (number, doubt) in doubts.iter().enumerate() {
        let mut with = |x: f64| {
            let mut at = likely.clone();
            at[number] = x;
            ask(doubts, &at)
        };
        let (low, high) = ends(doubt);
        let step = |k: usize| low + (high - low) * k as f64 / STEPS as f64;
        let mut flips = Vec::new();
        let least = with(low);
        let mut before = with(low);
        for k in 1..=STEPS {
            let now = with(step(k));
            if now != before {
                let (mut below, mut above) = (step(k - 1), step(k));
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (below + above);
                    if with(middle) == before {
                        below = middle;
                    } else {
                        above = middle;
                    }
                }
                flips.push(above);
            }
            before = now;
        }
        // Better answers come first in their order.
        let at_least = before <= least;
        let turn = turns
            .entry(doubt.value.id.0.clone())
            .or_insert_with(|| Turn {
                input: doubt.value.id.0.clone(),
                about: question(doubt.which),
                flips_at: Vec::new(),
                at_least,
                parts: Vec::new(),
                site: false,
            });
        turn.flips_at.extend(flips);
        turn.flips_at.sort_by(f64::total_cmp);
        turn.flips_at.dedup();
        about(turn);
    }
}

fn question(which: Which) -> String {
    match which {
        Which::Machine(field) => field.ask().to_owned(),
        Which::Room(key) => texts::measure(key),
        Which::Part(PartNumber::Allowance) => texts::ALLOWANCE.to_owned(),
        Which::Part(PartNumber::Tolerance) => texts::TOLERANCE.to_owned(),
    }
}
