//! The compressed air several machines use at once.

use super::{Matter, Member, Premises, SiteVerdict, Together};
use crate::machine::Field;
use crate::site::air::{Enough, motor_amps, motor_behind, sold_for};
use crate::site::answer::{SiteAsk, add};
use crate::site::electrical::Phases;
use crate::site::{rules_of, texts, works};
use units::{Current, Flow, Power, Voltage};

const SOURCE: &str = "the flows as stated, all at once; a compressor for what is lacking a quarter larger, 4 cfm a horsepower, as for one machine";

/// What the motors of compressors draw from the supply beyond what was metered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Drawn {
    /// By those that are known.
    pub known: Current,
    /// True when there may be more.
    pub open: bool,
}

/// Compares the flows with the compressor's. Lack of air keeps no machine out: a compressor more is
/// bought, and its motor counts on the supply.
pub(super) fn check(
    members: &[Member<'_>],
    premises: &Premises<'_>,
    answer: &mut Together,
) -> Drawn {
    let facts = &premises.room.facts;
    let mut users: Vec<(&Member<'_>, Flow)> = Vec::new();
    let mut open = false;
    for member in members {
        match member.machine.properties.air_flow.stated() {
            Some(flow) if flow > Flow::ZERO => users.push((member, flow)),
            Some(_) => {}
            None => {
                open = true;
                let input = format!("offers/{}/{}", member.machine.offer, Field::air_flow.key());
                add(
                    &mut answer.ask,
                    ask(input, Field::air_flow.ask(), None, false),
                );
            }
        }
    }
    let all = users.iter().fold(Flow::ZERO, |sum, (_, flow)| sum + *flow);
    let mut motors: Vec<Power> = Vec::new();
    let mut lacking = None;
    match facts.compressor_flow {
        // Each brings its own, priced with it; one that is there but unknown must be asked for.
        None if premises.owns_compressor && users.len() > 1 => {
            open = true;
            let input = "site/compressor_flow".to_owned();
            let flips = Some(all.to_l_min());
            add(
                &mut answer.ask,
                ask(input, texts::ASK_COMPRESSOR, flips, true),
            );
        }
        None => motors.extend(users.iter().map(|(_, flow)| sold_for(*flow).1)),
        Some(have) => {
            let own = |enough: Enough| {
                let of = users
                    .iter()
                    .filter(move |(m, _)| m.alone.air.enough == enough);
                of.map(|(_, flow)| *flow)
            };
            // What the compressor cannot serve alone has one of its own among its works.
            motors.extend(own(Enough::No).map(|flow| sold_for(flow).1));
            let shared = own(Enough::Yes).fold(Flow::ZERO, |sum, flow| sum + flow);
            for (member, _) in users
                .iter()
                .filter(|(m, _)| m.alone.air.enough == Enough::CannotSay)
            {
                open = true;
                ask_pressure(member, facts.compressor_pressure.is_none(), answer);
            }
            if facts.measured_demand.is_none() && shared > Flow::ZERO {
                motors.push(facts.compressor_power.unwrap_or(motor_behind(have)));
            }
            if shared.to_l_min() > have.to_l_min() + 1e-9 {
                let motor = sold_for(shared - have).1;
                motors.push(motor);
                lacking = Some(shared - have);
                answer
                    .works
                    .push(works::second_compressor(motor, premises.usd));
            }
        }
    }
    let verdict = if open {
        SiteVerdict::CannotSay
    } else {
        SiteVerdict::Yes
    };
    let known = (!open).then_some(all);
    answer.settle(Matter {
        what: "air",
        verdict,
        need: known.map(Flow::to_l_min),
        have: facts.compressor_flow.map(Flow::to_l_min),
        unit: "l/min",
        said: super::texts::air_together(
            known,
            users.len(),
            facts.compressor_flow,
            lacking,
            premises.system,
        ),
        source: SOURCE,
        caution: texts::AIR_CAUTION,
    });
    drawn(&motors, open, members, premises)
}

/// Currents of the motors; never less than what one of the machines alone was counted with.
fn drawn(
    motors: &[Power],
    mut open: bool,
    members: &[Member<'_>],
    premises: &Premises<'_>,
) -> Drawn {
    let room = premises.room;
    let volts = room.supply_volts.unwrap_or(Voltage::v(230.0));
    let phases = Phases::of(room.supply_phases.unwrap_or(1.0));
    let rules = rules_of(room);
    let mut sum = Current::ZERO;
    for motor in motors {
        match motor_amps(rules, phases, volts, *motor) {
            Some(amps) => sum += amps,
            None => open = true,
        }
    }
    let counted_alone = |m: &Member<'_>| {
        let air = &m.alone.air;
        air.compressor_amps
            .filter(|_| room.facts.measured_demand.is_none() || !air.compressor_known)
    };
    let alone = members.iter().filter_map(counted_alone);
    Drawn {
        known: alone.fold(sum, Current::max),
        open,
    }
}

fn ask_pressure(member: &Member<'_>, of_site: bool, answer: &mut Together) {
    if of_site {
        let input = "site/compressor_pressure".to_owned();
        add(&mut answer.ask, ask(input, texts::ASK_PRESSURE, None, true));
    }
    if member.machine.properties.air_pressure.stated().is_none() {
        let input = format!(
            "offers/{}/{}",
            member.machine.offer,
            Field::air_pressure.key()
        );
        add(
            &mut answer.ask,
            ask(input, Field::air_pressure.ask(), None, false),
        );
    }
}

fn ask(input: String, question: &str, flips_at: Option<f64>, at_least: bool) -> SiteAsk {
    SiteAsk {
        input,
        question: question.to_owned(),
        flips_at,
        unit: "l/min",
        at_least,
        likely: None,
    }
}
