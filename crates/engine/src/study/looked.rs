//! One offer with one set of options, before money: fits, times, site.

use super::Context;
use super::in_draws::{InDrawsKey, Shared, Tried, in_draws};
use super::memo::Fitted;
use crate::choice::InDraws;
use crate::cutting::{Limits, LimitsBand};
use crate::cycle;
use crate::fit::{Fit, Verdict, fit_within};
use crate::ids::OfferId;
use crate::machine::{Field, Known, Machine, MachineClass, Offer};
use crate::money::WATCHING;
use crate::resolve;
use crate::site::electrical::settled;
use crate::site::removal::before_the_truck;
use crate::site::{Room, SiteAnswer, UsdRate, check, works};
use std::sync::Arc;
use units::{Draw, Number, Quantity, Spread, Time, Value};

/// Everything found out about a purchase but its money.
#[derive(Clone, Debug)]
pub(super) struct Looked<'a> {
    /// As entered, its options marked as taken or not.
    pub offer: Offer,
    /// Place among the offers.
    pub number: usize,
    pub class: &'a MachineClass,
    /// Options taken.
    pub options: Vec<String>,
    /// Options the buyer had decided to take and this purchase leaves.
    pub gives_up: Vec<String>,
    pub machine: Machine,
    pub fitted: Arc<Fitted>,
    pub site: SiteAnswer,
    /// What it does draw by draw; `None` when that is the same in all.
    pub in_draws: Option<Arc<InDraws>>,
}

impl Looked<'_> {
    pub(super) fn id(&self) -> &OfferId {
        &self.offer.id
    }

    pub(super) fn fits(&self) -> &[Fit] {
        &self.fitted.fits
    }

    /// Hours a year of a part somebody is at it: standing by, and looking after the machine running by
    /// itself as far as that is paid for ([`crate::money::WATCHING`], the likely share).
    pub(super) fn tended(&self, part: usize) -> Option<Time> {
        let time = self.fitted.times[part].as_ref()?;
        let alone = (time.per_year - time.attended_per_year).max(Time::ZERO);
        Some(time.attended_per_year + alone * WATCHING[1])
    }

    /// Gives its fits and times away.
    pub(super) fn give_pairs(&mut self) -> Fitted {
        let none = Fitted {
            fits: Vec::new(),
            times: Vec::new(),
            hours_by_kind: self.fitted.hours_by_kind.clone(),
            changer: self.fitted.changer,
        };
        Arc::unwrap_or_clone(std::mem::replace(&mut self.fitted, Arc::new(none)))
    }

    /// Takes back what of its fits decides ([`crate::fit::gathered`]).
    pub(super) fn take_gathered(&mut self, fits: Vec<Fit>) {
        let given = Arc::unwrap_or_clone(self.fitted.clone());
        self.fitted = Arc::new(Fitted { fits, ..given });
    }

    /// Hours a year of a part on it; `None` where it does not fit.
    pub(super) fn hours(&self, part: usize) -> Option<Time> {
        Some(self.fitted.times[part].as_ref()?.per_year)
    }
}

/// A purchase to be looked at.
pub(super) struct ToLook<'a> {
    pub offer: Offer,
    pub number: usize,
    pub class: &'a MachineClass,
    pub gives_up: Vec<String>,
}

pub(super) fn look<'a>(context: &Context<'_>, look: ToLook<'a>) -> Looked<'a> {
    let ToLook {
        offer,
        number,
        class,
        gives_up,
    } = look;
    let Context {
        inputs,
        memo,
        on_plan,
        ..
    } = *context;
    let machine = resolve::machine(&offer, class, Draw::Likely);
    let own = resolve::doubtful(&offer);
    let key = (machine, own);
    let fitted = memo.fits.get(&key, || fitted(context, &key.0, &key.1));
    let (machine, own) = key;
    let room = Room::resolve(inputs.site, Draw::Likely);
    let usd = UsdRate::of(inputs.shop);
    // The plan is asked for two machines: one larger anywhere than the likely one counts as the largest.
    let largest = largest(&machine, &own);
    let in_room = |tried: &Machine, room: &Room| {
        let mut site = check(&on_supply(&offer, tried, room), room, usd);
        let counts_as = match within(tried, &machine) {
            true => &machine,
            false => &largest,
        };
        let told = (usd, inputs.shop.system());
        on_plan.apply(counts_as, &offer.dismantling, told, &mut site);
        site
    };
    let mut site = in_room(&machine, &room);
    let doubtful = |shared: &&Shared| !own.is_empty() || shared.all().next().is_some();
    let in_draws = context.shared.filter(doubtful).and_then(|shared| {
        let key = InDrawsKey {
            machine: machine.clone(),
            own: own.clone(),
            shared: shared.clone(),
            room,
            site: site.clone(),
            largest: (largest != machine).then(|| in_room(&largest, &room)),
            seed: inputs.shop.seed,
            draws: context.settings.draws,
        };
        let found = memo.in_draws.get(&key, || {
            in_draws(&Tried {
                context,
                key: &key,
                fits: &fitted.fits,
                goes_in: &|machine, room| in_room(machine, room).goes_in,
            })
        });
        Option::clone(&found).map(Arc::new)
    });
    let removal = offer.removal.or(&inputs.site.removal);
    site.before_the_truck = before_the_truck(&machine, &removal, offer.delivered);
    let moving = works::moving(&site.before_the_truck, &machine, usd);
    site.works.extend(moving);
    Looked {
        options: offer
            .options
            .iter()
            .filter(|o| o.taken)
            .map(|o| o.name.clone())
            .collect(),
        offer,
        number,
        class,
        gives_up,
        machine,
        fitted,
        site,
        in_draws,
    }
}

/// Properties in which a larger machine never goes in where a smaller one does not.
const ON_THE_WAY: [Field; 5] = [
    Field::length,
    Field::width,
    Field::height,
    Field::height_moving,
    Field::weight,
];

/// The machine as large and heavy as its ranges let it be.
pub(super) fn largest(machine: &Machine, ranges: &[(Field, Value<Number>)]) -> Machine {
    let mut largest = machine.clone();
    for (field, value) in ranges.iter().filter(|(f, _)| ON_THE_WAY.contains(f)) {
        largest.properties.state(*field, value.ends().1.base());
    }
    largest
}

/// True when a machine is nowhere larger or heavier than another.
fn within(machine: &Machine, other: &Machine) -> bool {
    let base = |of: &Machine, field| of.properties.base(field).unwrap_or(0.0);
    ON_THE_WAY
        .iter()
        .all(|field| base(machine, *field) <= base(other, *field))
}

/// The machine with the voltage it takes of a range it runs on.
fn on_supply(offer: &Offer, machine: &Machine, room: &Room) -> Machine {
    let mut machine = machine.clone();
    if let Some(Spread::Range { low, high }) =
        offer.properties.supply_volts.as_ref().map(|v| v.spread)
        && let Some(volts) = settled(&machine, [low, high], room)
    {
        machine.properties.supply_volts = Known::Yes(volts);
    }
    machine
}

/// Fits and times of all parts on a machine, some of whose numbers are stated as ranges.
pub(super) fn fitted(
    context: &Context<'_>,
    machine: &Machine,
    ranges: &[(Field, Value<Number>)],
) -> Fitted {
    let Context {
        settings,
        materials,
        demands,
        ..
    } = *context;
    let practice = &settings.practice;
    let band = LimitsBand::of(machine);
    let limits = band.likely.as_ref();
    let fits: Vec<Fit> = demands
        .iter()
        .map(|d| fit_within(d, machine, &band, materials, practice))
        .collect();
    let of_fits = ranges.iter().filter(|(field, _)| field.is_of_fits());
    let ranges: Vec<_> = of_fits
        .map(|(field, value)| {
            let (low, high) = value.ends();
            [low, high].map(|end| {
                let mut other = machine.clone();
                other.properties.state(*field, end.base());
                let limits = Limits::of(&other);
                (other, limits)
            })
        })
        .collect();
    let timing = context.ends.map(|ends| cycle::Timing {
        machine,
        limits,
        ends,
        ranges: &ranges,
        practice,
        materials,
    });
    let times: Vec<_> = demands
        .iter()
        .zip(&fits)
        .map(|(demand, fit)| {
            (fit.verdict != Verdict::DoesNotFit).then(|| {
                let mut time =
                    cycle::time_within(demand, fit, machine, limits, materials, practice);
                if let Some(timing) = &timing {
                    time.doubt = cycle::doubt(demand, fit, &time, timing);
                }
                time
            })
        })
        .collect();
    let made = demands.iter().zip(&fits).zip(&times);
    let changer = cycle::changer(
        made.filter_map(|((d, f), t)| Some((d, f, t.as_ref()?))),
        machine,
        practice,
    );
    let hours_by_kind = cycle::hours_by_kind(times.iter().flatten());
    Fitted {
        fits,
        times,
        hours_by_kind,
        changer,
    }
}
