//! The path of the whole question, from resolved inputs to every answer: demands, specification,
//! fits, times, site, costs, ceilings, decision. The clock's year and the number of draws come in
//! as values.

mod beliefs;
mod inputs;
mod offer;
mod texts;

pub use inputs::{Inputs, Settings};
pub use offer::{OfferAnswer, demanded};

use crate::choice::{
    Beliefs, Candidate, Decision, Question, Situation, WayOut, Wish, decide, learn, option_sets,
    questions, ways_out,
};
use crate::demand::{self, Demand};
use crate::money::lines::{Bill, Demanded};
use crate::money::{Ceiling, by_class};
use crate::resolve;
use crate::site::{PlanAnswers, Room, UsdRate, Work};
use crate::specification::{ClassPicture, Requirement, class_picture, specify};
use rayon::prelude::*;
use units::{Cancelled, Draw, Problem, Watch};

/// Above so many pairs of part and offer a study keeps of each pair only what decides, and documents
/// summarise pairs by offer: a whole fit takes about two kilobytes.
pub const LARGE_PAIRS: usize = 20_000;

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
    /// Every offer with every set of its options; the set as entered comes first for each offer.
    pub variants: Vec<OfferAnswer>,
    /// For each offer, in order, the variant to show: the chosen one, or the set as entered.
    pub shown: Vec<usize>,
    /// The decision.
    pub decision: Decision,
    /// Changes that make an infeasible purchase feasible.
    pub ways_out: Vec<WayOut>,
    /// What to ask.
    pub questions: Vec<Question>,
    /// Remarks that came up on the way.
    pub notes: Vec<Problem>,
}

impl Answer {
    /// True when only what decides was kept of each pair.
    pub fn is_large(&self) -> bool {
        self.demands.len().saturating_mul(self.variants.len()) > LARGE_PAIRS
    }

    /// The variant to show for each offer.
    pub fn offers(&self) -> impl Iterator<Item = &OfferAnswer> {
        self.shown.iter().map(|&at| &self.variants[at])
    }

    /// The chosen variant.
    pub fn chosen(&self) -> Option<&OfferAnswer> {
        let offer = self.decision.offer.as_ref()?;
        self.offers().find(|o| o.offer == *offer)
    }
}

/// Runs the study.
pub fn run(
    inputs: &Inputs<'_>,
    settings: &Settings,
    watch: Watch<'_>,
) -> Result<Answer, Cancelled> {
    watch.tick("demands", 0, inputs.parts.len())?;
    let materials = resolve::materials(inputs.materials, Draw::Likely);
    let demands: Vec<Demand> = inputs
        .parts
        .iter()
        .map(|part| demand::of(&resolve::part(part, Draw::Likely), &materials))
        .collect();
    let demanded = demanded(&demands);
    let specification = specify(&demands, &materials, &settings.practice);
    let classes = inputs
        .classes
        .par_iter()
        .map(|class| {
            watch.check()?;
            Ok(class_picture(
                class,
                &resolve::class_machine(class, Draw::Likely),
                &demands,
                &materials,
                &settings.practice,
                &settings.habits,
            ))
        })
        .collect::<Result<_, Cancelled>>()?;
    let ceilings = ceilings(inputs, settings, &demanded);

    let mut notes = Vec::new();
    let mut bought = Vec::new();
    for offer in inputs.offers {
        match inputs.classes.iter().find(|c| c.id == offer.class) {
            Some(class) => bought.extend(option_sets(offer).into_iter().map(|o| (o, class))),
            None => notes.push(Problem::warning(
                offer.place.clone(),
                format!(
                    "{}: the class '{}' is not known, so it is left out",
                    offer.id, offer.class
                ),
                "",
            )),
        }
    }
    let on_plan = match &inputs.site.plan {
        Some(plan) => {
            watch.tick("ways in", 0, bought.len())?;
            let machines: Vec<_> = bought
                .iter()
                .map(|(offer, class)| resolve::machine(offer, class, Draw::Likely))
                .collect();
            let off = bought.iter().map(|(offer, _)| offer.dismantling.as_slice());
            PlanAnswers::of(plan, machines.iter().zip(off), watch)?
        }
        None => PlanAnswers::default(),
    };
    let context = offer::Context {
        on_plan: &on_plan,
        inputs,
        settings,
        materials: &materials,
        demands: &demands,
        demanded: &demanded,
        slim: demands.len().saturating_mul(bought.len()) > LARGE_PAIRS,
    };
    let variants: Vec<OfferAnswer> = bought
        .par_iter()
        .map(|(offer, class)| {
            watch.check()?;
            Ok(offer::answer(&context, offer, class))
        })
        .collect::<Result<_, Cancelled>>()?;

    let wishes: Vec<Wish> = inputs
        .parts
        .iter()
        .map(|p| Wish {
            part: p.id.clone(),
            must_make: p.must_make,
        })
        .collect();
    let situation = Situation {
        aim: inputs.shop.aim,
        keep_chance: inputs.shop.keep_chance,
        wishes: &wishes,
        over_budget_rate: inputs.shop.over_budget_rate.likely.to_number(),
        currency: inputs.shop.currency,
        us_units: inputs.shop.us_units,
    };
    let candidates: Vec<Candidate<'_>> = variants.iter().map(OfferAnswer::candidate).collect();
    let decision = decide(&situation, &candidates);
    let ways_out = ways_out(&situation, &candidates);
    let mut questions = questions(&situation, &candidates);
    watch.tick("questions", 0, questions.len())?;
    let priors = beliefs::priors(inputs);
    let costs = beliefs::costs(&variants);
    let beliefs = Beliefs {
        priors: &priors,
        costs: &costs,
        seed: inputs.shop.seed,
    };
    learn(&situation, &candidates, &beliefs, &mut questions);
    drop(candidates);
    Ok(Answer {
        shown: shown(inputs, &variants, &decision),
        demands,
        specification,
        classes,
        ceilings,
        variants,
        decision,
        ways_out,
        questions,
        notes,
    })
}

/// For each offer the variant to show.
fn shown(inputs: &Inputs<'_>, variants: &[OfferAnswer], decision: &Decision) -> Vec<usize> {
    inputs
        .offers
        .iter()
        .filter_map(|offer| {
            let mut own = variants
                .iter()
                .enumerate()
                .filter(|(_, v)| v.offer == offer.id);
            let first = own.clone().next()?.0;
            let chosen = own.find(|(_, v)| {
                decision.offer.as_ref() == Some(&v.offer) && decision.options == v.options
            });
            Some(chosen.map_or(first, |(at, _)| at))
        })
        .collect()
}

/// Ceilings per class, each with the site works a usual machine of the class would need.
fn ceilings(inputs: &Inputs<'_>, settings: &Settings, demanded: &Demanded) -> Vec<Ceiling> {
    let room = Room::resolve(inputs.site, Draw::Likely);
    let usd = UsdRate::of(inputs.shop);
    let works: Vec<Vec<Work>> = inputs
        .classes
        .iter()
        .map(|class| {
            let machine = resolve::class_machine(class, Draw::Likely);
            let removal = &inputs.site.removal;
            let checks = crate::site::removal::before_the_truck(&machine, removal, false);
            let mut works = crate::site::check(&machine, &room, usd).works;
            works.extend(crate::site::works::moving(&checks, &machine, usd));
            works
        })
        .collect();
    let classes: Vec<_> = inputs
        .classes
        .iter()
        .zip(&works)
        .map(|(c, w)| (c, w.as_slice()))
        .collect();
    let bill = Bill {
        shop: inputs.shop,
        demanded,
        works: &[],
        year: settings.year,
    };
    by_class(inputs.shop, &classes, &bill, settings.draws)
}
