//! Which offer, by comparing every one of them and none at all; the reason for each no; the ways
//! out; the questions worth asking. Every best is "among what was entered".

mod brief;
mod candidate;
mod chances;
mod decision;
mod groups;
mod in_draws;
mod information;
mod learn;
mod lots;
mod options;
pub mod purchase;
mod questions;
mod rank;
mod reasons;
mod sets;
mod texts;
mod ways_out;

pub use brief::{Brief, BriefClass, MustAsk, Trap, brief};
pub use candidate::{Candidate, Joint, Situation, Wish};
pub use decision::{
    Alternative, AskFirst, Decision, KeepingBudget, Searched, Shortfall, Status, ToBuy, decide,
};
pub use groups::{QuestionGroup, Whom};
pub use in_draws::{InDraws, Outcome, PartIn, Turn};
pub use information::{Information, information, information_of};
pub use learn::{Beliefs, SOLD_AGAIN, WorthUnit, learn};
pub use lots::{Bid, LetGo, Lot, RankedLot, bids_by_rank, bids_by_value, highest};
pub use options::option_sets;
pub use questions::{Question, ask_of_sets, questions};
pub use rank::Score;
pub use sets::{Compared, SetCompared};
pub use ways_out::{
    Change, MOST_CHANGES, MOST_PARTS, OfOne, Rest, WayOut, WaysOut, Without, ways_out,
};
