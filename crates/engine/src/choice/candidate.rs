//! One offer with one set of options, with everything the earlier stages found out.

use super::in_draws::InDraws;
use crate::entered::Aim;
use crate::fit::{Fit, Verdict};
use crate::ids::{OfferId, PartId};
use crate::money::{AllIn, Worth};
use crate::site::together::Together;
use crate::site::{SiteAnswer, SiteVerdict};
use units::{Currency, Money, Time};

/// What the shop wants of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// Part.
    pub part: PartId,
    /// A need: an offer that cannot make it is out.
    pub must_make: bool,
    /// What a year of it costs outside, or sells for; `None` when nobody said.
    pub outside_per_year: Option<Money>,
}

/// What every offer is measured by.
#[derive(Clone, Copy, Debug)]
pub struct Situation<'a> {
    /// Aim.
    pub aim: Aim,
    /// Chance with which the budget is to be kept.
    pub keep_chance: f64,
    /// The parts.
    pub wishes: &'a [Wish],
    /// Currency of the texts.
    pub currency: Currency,
    /// What each unit of money over the budget costs besides itself, in the mean.
    pub over_budget_rate: f64,
    /// True for texts in inches.
    pub us_units: bool,
}

/// An offer, or an offer with some options, to be compared.
#[derive(Clone, Copy, Debug)]
pub struct Candidate<'a> {
    /// Offer.
    pub offer: &'a OfferId,
    /// What people call it.
    pub name: &'a str,
    /// Options taken, by name.
    pub options: &'a [String],
    /// Its fits, one per part.
    pub fits: &'a [Fit],
    /// The site with it.
    pub site: &'a SiteAnswer,
    /// Its all-in cost, drawn with the study's seed and number of draws like all others'.
    pub all_in: &'a AllIn,
    /// False when a class price stands in for a price not stated.
    pub price_stated: bool,
    /// Highest price the budget leaves for it.
    pub highest_price: Option<Money>,
    /// Machine hours a year for the parts it makes.
    pub hours_per_year: Time,
    /// Factor of these hours in each of the common draws; empty where they are not in doubt.
    pub hour_factors: &'a [f64],
    /// Its value, where parts have outside prices.
    pub worth: Option<&'a Worth>,
    /// Per wish: whether it is to be made here; `None` for everything that fits.
    pub makes: Option<&'a [bool]>,
    /// Hours a year the parts that must be made ask for beyond those there are; `None` when they
    /// suffice or do not count.
    pub hours_short: Option<Time>,
    /// Room and supply with taken options left out: names of the options given up, which the buyer
    /// had decided to take. Such a purchase is only a way out.
    pub gives_up: &'a [String],
    /// What it does in each of the common draws; `None` when that is the same in all.
    pub in_draws: Option<&'a InDraws>,
}

/// Several machines bought together. Only those that stand and run at once may be named.
#[derive(Clone, Debug)]
pub struct Joint<'a> {
    /// Places among the candidates.
    pub members: Vec<usize>,
    /// Per wish: the candidate it is made on.
    pub made_on: Vec<Option<usize>>,
    /// All-in cost of all of them together, draw by draw.
    pub totals: &'a [f64],
    /// The budget draw by draw.
    pub budgets: &'a [f64],
    /// Net present value of all of them together, draw by draw.
    pub npv: &'a [f64],
    /// Whether they stand and run at once.
    pub together: &'a Together,
}

impl Candidate<'_> {
    /// The fits of the wishes, in their order; a part not looked at has none. A study's fits stand
    /// in the order of its wishes, so each is looked for where the last one was found: no search.
    /// Where one fit stands for many parts, it names the positions of their wishes.
    pub(super) fn of_wishes<'a>(
        &'a self,
        wishes: &'a [Wish],
    ) -> impl Iterator<Item = (&'a Wish, Option<&'a Fit>)> {
        let mut next = 0;
        let mut shared: Vec<usize> = Vec::new();
        for (at, fit) in self.fits.iter().enumerate() {
            for place in fit.stands_for.iter().map(|p| *p as usize) {
                if shared.len() <= place {
                    shared.resize(place + 1, usize::MAX);
                }
                shared[place] = at;
            }
        }
        wishes.iter().enumerate().map(move |(number, wish)| {
            if !shared.is_empty() {
                let fit = shared.get(number).and_then(|at| self.fits.get(*at));
                return (wish, fit);
            }
            let is = |f: &&Fit| f.part == wish.part;
            let here = self.fits.get(next).filter(is).map(|_| next);
            let at = here.or_else(|| self.fits.iter().position(|f| is(&f)));
            next = at.map_or(next, |at| at + 1);
            (wish, at.map(|at| &self.fits[at]))
        })
    }

    /// Needs it cannot meet.
    pub(super) fn missed<'a>(&'a self, wishes: &'a [Wish]) -> Vec<(&'a PartId, &'a Fit)> {
        self.of_wishes(wishes)
            .filter(|(w, _)| w.must_make)
            .filter_map(|(w, fit)| Some((&w.part, fit?)))
            .filter(|(_, fit)| fit.verdict == Verdict::DoesNotFit)
            .collect()
    }

    /// True when something decisive must be asked before it can be named: a number nobody stated, or
    /// one stated with such a spread that the purchase does too rarely.
    pub(super) fn asks(&self, situation: &Situation<'_>) -> bool {
        let wishes = situation.wishes;
        self.asks_anyway()
            || self
                .of_wishes(wishes)
                .any(|(w, fit)| w.must_make && verdict(fit) == Verdict::CannotSay)
            || self.is_doubtful(situation, |at| wishes[at].must_make)
    }

    /// True when, with the numbers in doubt, it goes in and makes what is needed in too few draws, or
    /// does not at the likely numbers.
    pub(super) fn is_doubtful(
        &self,
        situation: &Situation<'_>,
        needed: impl Fn(usize) -> bool,
    ) -> bool {
        let Some(drawn) = self.in_draws else {
            return false;
        };
        let missed = self
            .of_wishes(situation.wishes)
            .enumerate()
            .any(|(at, (_, fit))| needed(at) && verdict(fit) == Verdict::DoesNotFit);
        let share = self.share_doing(drawn, situation.wishes, &needed);
        missed || self.site.goes_in == SiteVerdict::No || share < situation.keep_chance - 1e-9
    }

    /// Share of the draws in which it goes in and makes what is needed. What nobody can say at the likely
    /// numbers is a question of its own and does not count against the ranges.
    fn share_doing(&self, drawn: &InDraws, wishes: &[Wish], needed: &dyn Fn(usize) -> bool) -> f64 {
        let asked: Vec<bool> = self
            .of_wishes(wishes)
            .map(|(_, fit)| verdict(fit) == Verdict::CannotSay)
            .collect();
        let open = self.site.goes_in == SiteVerdict::CannotSay;
        drawn.share(|outcome| {
            let stays_open =
                |at: usize| asked[at] && outcome.parts[at].verdict == Verdict::CannotSay;
            outcome.makes_all(|at| needed(at) && !stays_open(at))
                && (outcome.goes_in == SiteVerdict::Yes
                    || open && outcome.goes_in == SiteVerdict::CannotSay)
        })
    }

    /// Share of the draws in which it goes in and makes everything that must be made.
    pub(super) fn does_share(&self, wishes: &[Wish]) -> f64 {
        match self.in_draws {
            Some(drawn) => self.share_doing(drawn, wishes, &|at| wishes[at].must_make),
            None => f64::from(self.may_do(wishes) && self.site.goes_in == SiteVerdict::Yes),
        }
    }

    /// True when nothing known rules it out in every draw.
    pub(super) fn may_do(&self, wishes: &[Wish]) -> bool {
        match self.in_draws {
            Some(drawn) => drawn.share(|o| o.does(|at| wishes[at].must_make)) > 0.0,
            None => self.site.goes_in != SiteVerdict::No && self.missed(wishes).is_empty(),
        }
    }

    /// The same whatever parts it makes.
    pub(super) fn asks_anyway(&self) -> bool {
        !self.price_stated || self.site.goes_in == SiteVerdict::CannotSay
    }

    pub(super) fn keeps_budget(&self, keep_chance: f64) -> bool {
        // Shares of draws are multiples of 1/draws: a billionth is rounding.
        self.all_in.over_budget_chance <= 1.0 - keep_chance + 1e-9
    }

    /// Least that must be added to the budget to keep it with the chance; zero when kept.
    pub(super) fn extra_budget(&self, keep_chance: f64) -> Money {
        extra_budget(&self.all_in.totals, &self.all_in.budgets, keep_chance)
    }

    /// Draw by draw: the net present value less what the over-run of the budget costs.
    pub(super) fn values(&self, rate: f64) -> Option<Vec<f64>> {
        let all_in = self.all_in;
        Some(values(
            &self.worth?.draws,
            &all_in.totals,
            &all_in.budgets,
            rate,
        ))
    }
}

/// Net present value less what the over-run of the budget costs, draw by draw.
pub(super) fn values(npv: &[f64], totals: &[f64], budgets: &[f64], rate: f64) -> Vec<f64> {
    let money = totals.iter().zip(budgets);
    npv.iter()
        .zip(money)
        .map(|(npv, (total, budget))| npv - rate * (total - budget).max(0.0))
        .collect()
}

/// Least that must be added to the budgets so that the totals keep them with the chance.
pub(super) fn extra_budget(totals: &[f64], budgets: &[f64], keep_chance: f64) -> Money {
    let mut over: Vec<f64> = totals.iter().zip(budgets).map(|(t, b)| t - b).collect();
    if over.is_empty() {
        return Money::ZERO;
    }
    // The smallest order statistic with at least `keep_chance` of the draws at or below it.
    let kept = (keep_chance * over.len() as f64 - 1e-9).ceil().max(1.0) as usize;
    let at = (kept - 1).min(over.len() - 1);
    let (_, extra, _) = over.select_nth_unstable_by(at, f64::total_cmp);
    Money::amount(extra.max(0.0))
}

/// The verdict of a fit; of a part not looked at it cannot be said.
pub(super) fn verdict(fit: Option<&Fit>) -> Verdict {
    fit.map_or(Verdict::CannotSay, |f| f.verdict)
}

/// True when the part is made.
pub(super) fn makes(fit: Option<&Fit>) -> bool {
    matches!(verdict(fit), Verdict::Fits | Verdict::FitsWithMoreClampings)
}
