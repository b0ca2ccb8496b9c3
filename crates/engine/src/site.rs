//! Will a machine go in: through the door, under the ceiling, onto the spot, on the supply; and
//! what must be built for it. Every result here is a screen: lifting is for competent, insured
//! riggers, wiring for a licensed electrician under the local code. Knows no part.

mod answer;
mod electrical;
mod on_plan;
pub mod removal;
mod room;
pub mod route;
pub mod stand;
mod standing;
mod texts;
mod usd;

pub use answer::{SiteAnswer, SiteAsk, SiteLimit, SiteVerdict, Work};
pub use electrical::Electrical;
pub use on_plan::{OnPlan, PlanAnswers};
pub use room::Room;
pub use standing::Standing;
pub use usd::UsdRate;

use crate::machine::Machine;

/// Screens one machine against the room. Numbers nobody stated make the answer "cannot say";
/// class defaults serve only to price the likely works.
pub fn check(machine: &Machine, room: &Room, usd: UsdRate) -> SiteAnswer {
    let mut answer = SiteAnswer::new(machine.offer.clone());
    answer.standing = standing::check(machine, room, &mut answer);
    answer.electrical = electrical::check(machine, room, usd, &mut answer);
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
