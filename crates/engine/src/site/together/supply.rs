//! What several machines draw from the supply at once.

use super::air::Drawn;
use super::{Matter, Member, SiteVerdict, Together};
use crate::machine::Field;
use crate::site::answer::{SiteAsk, add};
use crate::site::texts;
use units::Current;

const SOURCE: &str = "each as for one machine; several on one feeder: the continuous-load factor (125 % under NEC) on the largest and the others whole (NEC 430.24); as if all drew on the same line";

/// Compares what all of them and the compressors draw with what the supply can still give.
pub(super) fn check(members: &[Member<'_>], air: Drawn, answer: &mut Together) {
    let available = members
        .iter()
        .filter_map(|m| m.alone.electrical.available_amps)
        .reduce(Current::min);
    let mut each = Vec::new();
    let mut open = air.open;
    for member in members {
        let electrical = &member.alone.electrical;
        // An estimate sizes works; it is no number to say yes by.
        let drawn = electrical
            .supply
            .as_ref()
            .map(|s| Current::a(s.source_amps));
        match drawn.zip(electrical.need_amps) {
            Some(pair) if !electrical.estimated => each.push(pair),
            _ => {
                open = true;
                ask_current(member, answer);
            }
        }
    }
    if available.is_none() {
        open = true;
        let input = "site/measured_demand".to_owned();
        add(&mut answer.ask, ask(input, texts::ASK_PANEL, false));
    }
    let margin = each
        .iter()
        .map(|(drawn, need)| *need - *drawn)
        .fold(Current::ZERO, Current::max);
    let motors = air.known;
    let sum = each
        .iter()
        .fold(Current::ZERO, |sum, (drawn, _)| sum + *drawn);
    let need = sum + margin + motors;
    // What is known of them may be too much already; one that is too much alone is so beside others.
    let alone = members.iter().any(|m| {
        m.alone
            .electrical
            .spare_amps
            .is_some_and(|s| s < Current::ZERO)
            && !m.alone.electrical.estimated
    });
    let short = alone || available.is_some_and(|have| need.to_a() > have.to_a() + 1e-9);
    let verdict = match (short, open) {
        (true, _) => SiteVerdict::No,
        (false, true) => SiteVerdict::CannotSay,
        (false, false) => SiteVerdict::Yes,
    };
    let converters = members
        .iter()
        .filter(|m| m.alone.electrical.converter == Some(true))
        .count();
    let drawn: Vec<Current> = each.iter().map(|(drawn, _)| *drawn).collect();
    answer.settle(Matter {
        what: "supply",
        verdict,
        need: (!open || short).then_some(need.to_a()),
        have: available.map(Current::to_a),
        unit: "A",
        said: super::texts::supply_together(
            verdict, &drawn, margin, motors, need, available, converters,
        ),
        source: SOURCE,
        caution: texts::ELECTRICAL_CAUTION,
    });
}

fn ask_current(member: &Member<'_>, answer: &mut Together) {
    let input = format!(
        "offers/{}/{}",
        member.machine.offer,
        Field::supply_amps.key()
    );
    add(&mut answer.ask, ask(input, Field::supply_amps.ask(), false));
}

fn ask(input: String, question: &str, at_least: bool) -> SiteAsk {
    SiteAsk {
        input,
        question: question.to_owned(),
        flips_at: None,
        unit: "A",
        at_least,
        likely: None,
    }
}
