//! Will a machine go in: through the door, under the ceiling, onto the spot, on the floor, on the
//! supply; and what must be built for it. Every result here is a screen: lifting is for competent,
//! insured riggers, wiring for a licensed electrician under the local code. Knows no part.

pub mod air;
mod answer;
pub mod converter;
pub mod electrical;
pub mod environment;
pub mod floor;
pub mod lifting;
mod on_plan;
pub mod removal;
mod room;
pub mod route;
pub mod stand;
mod standing;
mod texts;
pub mod together;
mod usd;
pub mod works;

pub use answer::{SiteAnswer, SiteAsk, SiteLimit, SiteVerdict, Work};
pub use electrical::Electrical;
use electrical::rules_of;
pub use on_plan::{OnPlan, PlanAnswers, PlanKey, key as plan_key};
pub use room::Room;
pub use standing::Standing;
pub use usd::UsdRate;
pub use works::{PERMISSIONS, Permission, WORKS};

use crate::machine::Machine;

/// What every result of the electrical screen says.
pub const ELECTRICAL_CAUTION: &str = texts::ELECTRICAL_CAUTION;
/// What every result of the floor screen says.
pub const FLOOR_CAUTION: &str = texts::FLOOR_CAUTION;

/// What is taken for concrete whose strength nobody stated.
pub const ASSUMED_STRENGTH: &str = texts::ASSUMED_STRENGTH;
/// What is taken for ground nobody stated.
pub const ASSUMED_SUBGRADE: &str = texts::ASSUMED_SUBGRADE;

/// Screens one machine against the room. Numbers nobody stated make the answer "cannot say";
/// class defaults serve only to price the likely works.
pub fn check(machine: &Machine, room: &Room, usd: UsdRate) -> SiteAnswer {
    let mut answer = SiteAnswer::new(machine.offer.clone());
    answer.standing = standing::check(machine, room, &mut answer);
    answer.floor = floor::check(machine, room, &mut answer);
    let mut electrical = electrical::check(machine, room, &mut answer);
    answer.air = air::check(machine, room, electrical.rules, &mut answer);
    // A compressor that must be bought, or one not yet counted, draws from the same panel.
    let compressor = answer
        .air
        .compressor_amps
        .filter(|_| room.facts.measured_demand.is_none() || !answer.air.compressor_known);
    electrical::compare(&mut electrical, compressor, &mut answer);
    answer.electrical = electrical;
    answer.environment = Some(environment::of(machine, room));
    answer.lifting = lifting::of(machine, room);
    works::add(machine, usd, &mut answer);
    answer.goes_in = if answer.reasons.iter().any(|r| r.rules_out) {
        SiteVerdict::No
    } else if answer.ask.is_empty() {
        SiteVerdict::Yes
    } else {
        SiteVerdict::CannotSay
    };
    answer
}

#[cfg(test)]
mod tests;
