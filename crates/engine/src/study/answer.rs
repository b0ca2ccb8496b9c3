//! Everything a study answers.

use super::changer::ChangerQuestion;
use super::offer::OfferAnswer;
use crate::choice::{Bid, Decision, Question, QuestionGroup, WaysOut};
use crate::demand::Demand;
use crate::money::Ceiling;
use crate::specification::{ClassPicture, Requirement};
use units::Problem;

/// Everything a study answers.
#[derive(Clone, Debug)]
pub struct Answer {
    /// What each part demands.
    pub demands: Vec<Demand>,
    /// What all parts together ask for.
    pub specification: Vec<Requirement>,
    /// What each class of machine does with the parts, for buyers without offers.
    pub classes: Vec<ClassPicture>,
    /// Highest price to look at, by class.
    pub ceilings: Vec<Ceiling>,
    /// Every offer in order: with the chosen options, or as entered.
    pub(super) offers: Vec<OfferAnswer>,
    /// Purchases looked at: offers with their sets of options.
    pub looked_at: usize,
    /// The decision.
    pub decision: Decision,
    /// Changes that make an infeasible purchase feasible.
    pub ways_out: WaysOut,
    /// What to ask.
    pub questions: Vec<Question>,
    /// The same by who answers, with what all answers together are worth.
    pub question_groups: Vec<QuestionGroup>,
    /// What to bid on lots, in the order they close.
    pub bids: Vec<Bid>,
    /// A small new mill with a changer against a used full-size centre, where both are offered.
    pub changer_question: Option<ChangerQuestion>,
    /// Remarks that came up on the way.
    pub notes: Vec<Problem>,
    pub(super) large: bool,
}

impl Answer {
    /// True when pairs are summarised by offer.
    pub fn is_large(&self) -> bool {
        self.large
    }

    /// Every offer in order: with the chosen options, or as entered.
    pub fn offers(&self) -> impl Iterator<Item = &OfferAnswer> {
        self.offers.iter()
    }

    /// The chosen purchase; of several machines the first.
    pub fn chosen(&self) -> Option<&OfferAnswer> {
        let offer = self.decision.offer.as_ref()?;
        self.offers().find(|o| o.offer == *offer)
    }
}
