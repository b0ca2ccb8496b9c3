//! The path of the whole question, from resolved inputs to every answer: demands, specification,
//! fits, times, site, costs, ceilings, decision. The clock's year and the number of draws come in
//! as values.

mod beliefs;
mod bounded;
mod cells;
mod changer;
mod failing;
mod in_draws;
mod inputs;
mod joint;
mod looked;
mod memo;
mod model;
mod offer;
mod paying;
mod priced;
mod sets;
mod texts;
mod value;
mod without;

pub use changer::{ChangerQuestion, Side};
pub use inputs::{Inputs, Settings};
pub use memo::Memo;
pub use offer::{Counts, OfferAnswer, Short};
pub use paying::WorthPaying;
pub use value::SEARCH;

use crate::choice::{
    Beliefs, Bid, Candidate, Decision, Joint, Question, QuestionGroup, Searched, Situation,
    WaysOut, Wish, decide, learn, option_sets, questions, ways_out,
};
use crate::cycle::MaterialEnds;
use crate::demand::{self, Demand};
use crate::entered::Aim;
use crate::fit::Verdict;
use crate::machine::{MachineClass, Offer};
use crate::material::Materials;
use crate::money::lines::{Bill, Demanded};
use crate::money::{Ceiling, by_class};
use crate::resolve;
use crate::site::{PlanAnswers, Room, SiteVerdict, UsdRate, Work};
use crate::specification::{ClassPicture, Requirement, class_picture, specify};
use in_draws::Shared;
use looked::{Looked, ToLook, look};
use memo::Ground;
use priced::{PartTools, Variant};
use rayon::prelude::*;
use units::{Cancelled, DRAW_BLOCK, Draw, Money, Problem, Watch};

/// Above so many pairs of part and offer a study keeps pairs summarised by offer, and so do documents: a
/// whole fit and its time take about two kilobytes.
pub const LARGE_PAIRS: usize = 20_000;

/// Hours it takes to ask a question and note the answer. Common practice, no source.
const ASKING_H: f64 = 0.5;

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
    offers: Vec<OfferAnswer>,
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
    large: bool,
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

/// What every purchase shares.
#[derive(Clone, Copy)]
struct Context<'a> {
    inputs: &'a Inputs<'a>,
    settings: &'a Settings,
    materials: &'a Materials,
    /// Materials at the ends of their bands; not with very many pairs, whose hours are not drawn.
    ends: Option<&'a MaterialEnds>,
    demands: &'a [Demand],
    part_tools: &'a PartTools,
    /// Draws of yearly sums.
    year_draws: u64,
    on_plan: &'a PlanAnswers,
    memo: &'a Memo,
    /// Numbers in doubt that all purchases share; `None` where fits are not drawn, with very many
    /// pairs.
    shared: Option<&'a Shared>,
}

/// Runs the study.
pub fn run(
    inputs: &Inputs<'_>,
    settings: &Settings,
    watch: Watch<'_>,
) -> Result<Answer, Cancelled> {
    run_telling(inputs, settings, &Memo::default(), watch, &mut |_| {})
}

/// Runs the study with what earlier runs found: the same answer, sooner when little changed.
pub fn run_again(
    inputs: &Inputs<'_>,
    settings: &Settings,
    memo: &Memo,
    watch: Watch<'_>,
) -> Result<Answer, Cancelled> {
    run_telling(inputs, settings, memo, watch, &mut |_| {})
}

/// The same; when there are very many pairs, every offer is told with its fits and times as soon as it
/// is computed, in the order of the offers, before they are dropped: as entered, and once more where it
/// is chosen with other options; or under the aim "value" as shown.
pub fn run_telling(
    inputs: &Inputs<'_>,
    settings: &Settings,
    memo: &Memo,
    watch: Watch<'_>,
    tell: &mut dyn FnMut(&OfferAnswer),
) -> Result<Answer, Cancelled> {
    watch.tick("demands", 0, inputs.parts.len())?;
    let materials = resolve::materials(inputs.materials, Draw::Likely);
    let demands: Vec<Demand> = inputs
        .parts
        .iter()
        .map(|part| demand::of(&resolve::part(part, Draw::Likely), &materials))
        .map(|demand| inputs.shop.tools.preferred(demand))
        .collect();
    let mut notes = Vec::new();
    let to_look = to_look(inputs, &mut notes);
    let large = demands.len().saturating_mul(to_look.len()) > settings.large_pairs;
    let ends = (!large).then(|| resolve::material_ends(inputs.materials));
    memo.begin(Ground {
        ends: ends.clone(),
        demands: demands.clone(),
        materials: materials.clone(),
        practice: settings.practice.clone(),
    });
    memo.open(!large);
    let part_tools = PartTools::of(&demands, &inputs.shop.tools);
    let demanded = part_tools.demanded(|_| true);
    let specification = memo
        .specification
        .get(&(), || specify(&demands, &materials, &settings.practice));
    let classes = inputs
        .classes
        .par_iter()
        .map(|class| {
            watch.check()?;
            let picture = memo.classes.get(class, || {
                class_picture(
                    class,
                    &resolve::class_machine(class, Draw::Likely),
                    &demands,
                    &materials,
                    &settings.practice,
                )
            });
            Ok(ClassPicture::clone(&picture))
        })
        .collect::<Result<_, Cancelled>>()?;
    let ceilings = ceilings(inputs, settings, &demanded, memo);
    let on_plan = match &inputs.site.plan {
        Some(plan) => {
            watch.tick("ways in", 0, to_look.len())?;
            let mut machines = Vec::new();
            for look in &to_look {
                let machine = resolve::machine(&look.offer, look.class, Draw::Likely);
                let off = look.offer.dismantling.as_slice();
                // Fits are not drawn with very many pairs.
                let largest = looked::largest(&machine, &resolve::doubtful(&look.offer));
                if !large && largest != machine {
                    machines.push((largest, off));
                }
                machines.push((machine, off));
            }
            let machines = machines.iter().map(|(machine, off)| (machine, *off));
            let answers = PlanAnswers::of(plan, machines, &memo.plan(plan), watch)?;
            memo.keep_plan(plan, &answers);
            answers
        }
        None => PlanAnswers::default(),
    };
    let by_value = by_value(inputs);
    let shared = (!large).then(|| Shared::of(inputs.site, inputs.parts));
    // A line or more a part: with very many parts one block of draws must do for what is only told.
    let year_draws = if large && !by_value {
        settings.draws.min(DRAW_BLOCK)
    } else {
        settings.draws
    };
    let context = Context {
        inputs,
        settings,
        materials: &materials,
        ends: ends.as_ref(),
        demands: &demands,
        part_tools: &part_tools,
        year_draws,
        on_plan: &on_plan,
        memo,
        shared: shared.as_ref(),
    };
    let looked_at = to_look.iter().filter(|l| l.gives_up.is_empty()).count();
    let (bought, mut answered) = if by_value {
        let looked: Vec<Looked<'_>> = to_look
            .into_par_iter()
            .map(|l| {
                watch.check()?;
                Ok(look(&context, l))
            })
            .collect::<Result<_, Cancelled>>()?;
        (most_valuable(&context, looked, watch)?, Vec::new())
    } else {
        all_they_can(&context, to_look, large, watch, tell)?
    };

    let wishes = wishes(inputs);
    let situation = Situation {
        aim: inputs.shop.aim,
        keep_chance: inputs.shop.keep_chance,
        wishes: &wishes,
        over_budget_rate: inputs.shop.over_budget_rate.mean().to_number(),
        currency: inputs.shop.currency,
        us_units: inputs.shop.us_units,
    };
    let candidates: Vec<Candidate<'_>> = bought.variants.iter().map(candidate).collect();
    let joints: Vec<Joint<'_>> = bought
        .joints
        .iter()
        .map(|j| Joint {
            members: j.members.clone(),
            made_on: j.made_on.clone(),
            totals: &j.totals,
            budgets: &j.budgets,
            npv: &j.npv,
            together: &j.together,
        })
        .collect();
    let searched = Searched {
        among: looked_at,
        proven: bought.proven,
        gap: bought.gap.map(Money::amount),
        stopped: bought.stopped,
    };
    let decision = decide(&situation, &candidates, &joints, searched);
    watch.tick("ways out", 0, candidates.len())?;
    let ways_out = ways_out(&situation, &candidates, &|place| {
        let mut without = without::Without::of_one(&context, &bought.variants[place]);
        // Once cancelled nothing is worked out any more, and nothing of it kept.
        Box::new(move |given| watch.check().ok().and_then(|()| without(given)))
    });
    watch.tick("offers", 0, inputs.offers.len())?;
    let places = shown(inputs, &bought.variants, &decision);
    let shown: Vec<&Variant<'_>> = places.iter().map(|at| &bought.variants[*at]).collect();
    let mut offers: Vec<OfferAnswer> = if answered.is_empty() {
        shown
            .par_iter()
            .map(|variant| {
                watch.check()?;
                Ok(offer::answer(&context, variant))
            })
            .collect::<Result<_, Cancelled>>()?
    } else {
        places
            .iter()
            .filter_map(|at| answered[*at].take())
            .collect()
    };
    let by_price: Vec<Option<paying::ByPrice>> = shown
        .par_iter()
        .map(|variant| {
            watch.check()?;
            let rate = situation.over_budget_rate;
            Ok((inputs.shop.aim == Aim::Value)
                .then(|| paying::ByPrice::of(&context, variant, rate))
                .flatten())
        })
        .collect::<Result<_, Cancelled>>()?;
    let bids = paying::bids(&context, &shown, &by_price, &offers, &decision);
    let paying = paying::worth_paying(&by_price, &offers, &decision);
    for (offer, paying) in offers.iter_mut().zip(paying) {
        offer.worth_paying = paying;
    }
    let mut questions = questions(&situation, &candidates);
    watch.tick("questions", 0, questions.len())?;
    let priors = beliefs::priors(inputs);
    let costs = beliefs::costs(&offers);
    let beliefs = Beliefs {
        priors: &priors,
        costs: &costs,
        trouble: inputs.shop.hour_cost.likely * ASKING_H,
        seed: inputs.shop.seed,
    };
    // What cannot be named is no choice that an answer could lead to here.
    let stand = |j: &Joint<'_>| j.together.verdict == SiteVerdict::Yes;
    let standing: Vec<Joint<'_>> = joints.iter().filter(|j| stand(j)).cloned().collect();
    let question_groups = learn(
        &situation,
        &candidates,
        &standing,
        &beliefs,
        &mut questions,
        watch,
    )?;
    drop(candidates);
    if large && by_value {
        for offer in &mut offers {
            tell(offer);
            offer.gather();
        }
    } else if large {
        let pairs = shown.iter().zip(&offers);
        for (variant, answer) in
            pairs.filter(|(v, _)| v.looked.offer != inputs.offers[v.looked.number])
        {
            let fitted = looked::fitted(&context, &variant.looked.machine, &[]);
            tell(&OfferAnswer {
                fits: fitted.fits,
                times: fitted.times,
                ..answer.clone()
            });
        }
    }
    Ok(Answer {
        changer_question: changer::changer_question(inputs.offers, &offers),
        offers,
        looked_at,
        specification: specification.to_vec(),
        classes,
        ceilings,
        decision,
        ways_out,
        questions,
        question_groups,
        bids,
        notes,
        demands,
        large,
    })
}

/// Every offer with every set of its options; the set as entered comes first for each offer. Behind
/// them, for the ways out, every offer without options the buyer had decided to take, one at a time.
fn to_look<'a>(inputs: &Inputs<'a>, notes: &mut Vec<Problem>) -> Vec<ToLook<'a>> {
    let mut all: Vec<ToLook<'a>> = Vec::new();
    let mut less: Vec<ToLook<'a>> = Vec::new();
    for (number, offer) in inputs.offers.iter().enumerate() {
        let Some(class) = class_of(inputs, offer) else {
            notes.push(Problem::warning(
                offer.place.clone(),
                format!(
                    "{}: the class '{}' is not known, so it is left out",
                    offer.id, offer.class
                ),
                "",
            ));
            continue;
        };
        let to_look = |offer: Offer, gives_up: Vec<String>| ToLook {
            offer,
            number,
            class,
            gives_up,
        };
        all.extend(
            option_sets(offer)
                .into_iter()
                .map(|o| to_look(o, Vec::new())),
        );
        for (at, option) in offer.options.iter().enumerate().filter(|(_, o)| o.taken) {
            let mut without = offer.clone();
            without.options[at].taken = false;
            less.push(to_look(without, vec![option.name.clone()]));
        }
    }
    all.extend(less);
    all
}

fn class_of<'a>(inputs: &Inputs<'a>, offer: &Offer) -> Option<&'a MachineClass> {
    inputs.classes.iter().find(|c| c.id == offer.class)
}

fn wishes(inputs: &Inputs<'_>) -> Vec<Wish> {
    inputs
        .parts
        .iter()
        .map(|p| Wish {
            part: p.id.clone(),
            must_make: p.must_make,
            outside_per_year: p
                .outside_price
                .as_ref()
                .map(|price| price.likely * p.per_year.likely.to_number()),
        })
        .collect()
}

/// Under the aim "value" the exact search says what each purchase makes, where a part has an outside
/// price; otherwise it makes everything it can.
fn by_value(inputs: &Inputs<'_>) -> bool {
    inputs.shop.aim == Aim::Value && inputs.parts.iter().any(|p| p.outside_price.is_some())
}

fn most_valuable<'a>(
    context: &Context<'_>,
    looked: Vec<Looked<'a>>,
    watch: Watch<'_>,
) -> Result<value::Valued<'a>, Cancelled> {
    let parts = context.inputs.parts;
    let sure: Vec<bool> = looked
        .iter()
        .map(|l| {
            let answered = |(part, fit): (&crate::entered::Part, &crate::fit::Fit)| {
                !part.must_make || fit.verdict != Verdict::CannotSay
            };
            l.offer.properties.price.is_some()
                && l.site.goes_in != SiteVerdict::CannotSay
                && parts.iter().zip(l.fits()).all(answered)
                && often_does(context, l)
        })
        .collect();
    value::valued(context, looked, &sure, watch)
}

/// True when, with the numbers in doubt, it goes in and makes the needs it makes at the likely numbers
/// with the chance the budget is to be kept with.
fn often_does(context: &Context<'_>, looked: &Looked<'_>) -> bool {
    let Some(drawn) = &looked.in_draws else {
        return true;
    };
    let parts = context.inputs.parts.iter().zip(looked.fits());
    let needed: Vec<bool> = parts
        .map(|(part, fit)| part.must_make && fit.verdict != Verdict::DoesNotFit)
        .collect();
    let share = drawn.share(|outcome| outcome.surely_does(|at| needed[at]));
    share >= context.inputs.shop.keep_chance - 1e-9
}

/// Every purchase with all it can make. When there are very many pairs a few purchases are held at a
/// time, and each is answered, told and summarised before the next.
fn all_they_can<'a>(
    context: &Context<'_>,
    to_look: Vec<ToLook<'a>>,
    large: bool,
    watch: Watch<'_>,
    tell: &mut dyn FnMut(&OfferAnswer),
) -> Result<(value::Valued<'a>, Vec<Option<OfferAnswer>>), Cancelled> {
    let at_a_time = if large {
        2 * rayon::current_num_threads()
    } else {
        to_look.len().max(1)
    };
    let mut variants: Vec<Variant<'a>> = Vec::with_capacity(to_look.len());
    let mut answered = Vec::new();
    let mut told = None;
    let mut rest = to_look.into_iter();
    loop {
        let some: Vec<ToLook<'a>> = rest.by_ref().take(at_a_time).collect();
        if some.is_empty() {
            break;
        }
        let found: Vec<(Variant<'a>, Option<OfferAnswer>)> = some
            .into_par_iter()
            .map(|l| {
                watch.check()?;
                let looked = look(context, l);
                let made = priced::makable(&looked);
                let mut variant = priced::variant(context, looked, made);
                let answer = large.then(|| offer::answer_with_pairs(context, &mut variant));
                Ok((variant, answer))
            })
            .collect::<Result<_, Cancelled>>()?;
        for (mut variant, answer) in found {
            if let Some(mut answer) = answer {
                // The set as entered comes first.
                let looked = &variant.looked;
                if looked.gives_up.is_empty() && told != Some(looked.number) {
                    told = Some(looked.number);
                    tell(&answer);
                }
                answer.gather();
                variant.looked.take_gathered(answer.fits.clone());
                answered.push(Some(answer));
            }
            variants.push(variant);
        }
    }
    let valued = value::Valued {
        variants,
        joints: Vec::new(),
        proven: true,
        gap: None,
        stopped: false,
    };
    Ok((valued, answered))
}

/// As the decision compares it.
fn candidate<'a>(variant: &'a Variant<'_>) -> Candidate<'a> {
    Candidate {
        offer: variant.looked.id(),
        name: &variant.looked.offer.name,
        options: &variant.looked.options,
        fits: variant.looked.fits(),
        site: &variant.looked.site,
        all_in: &variant.all_in,
        price_stated: variant.priced.price_stated,
        highest_price: variant.highest_price,
        hours_per_year: variant.hours,
        hour_factors: &variant.hour_factors,
        worth: variant.worth.as_ref(),
        makes: Some(&variant.made),
        hours_short: variant.hours_short,
        gives_up: &variant.looked.gives_up,
        in_draws: variant.looked.in_draws.as_deref(),
    }
}

/// For each offer the place of the variant to show.
fn shown(inputs: &Inputs<'_>, variants: &[Variant<'_>], decision: &Decision) -> Vec<usize> {
    let of_offer = |number: usize| {
        let mut own = variants
            .iter()
            .enumerate()
            .filter(move |(_, v)| v.looked.number == number && v.looked.gives_up.is_empty());
        let first = own.clone().next()?.0;
        let chosen = own.find(|(_, v)| {
            let bought = decision.machines.iter().find(|m| m.offer == *v.looked.id());
            bought.is_some_and(|m| m.options == v.looked.options)
        });
        Some(chosen.map_or(first, |(at, _)| at))
    };
    (0..inputs.offers.len()).filter_map(of_offer).collect()
}

/// Ceilings per class, each with the site works a usual machine of the class would need.
fn ceilings(
    inputs: &Inputs<'_>,
    settings: &Settings,
    demanded: &Demanded,
    memo: &Memo,
) -> Vec<Ceiling> {
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
    let key = (
        inputs.shop.clone(),
        works.clone(),
        settings.year,
        settings.draws,
    );
    let found = memo.ceilings.get(&key, || {
        by_class(inputs.shop, &classes, &bill, settings.draws)
    });
    found.to_vec()
}
