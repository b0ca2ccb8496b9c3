//! The path of the whole question, from resolved inputs to every answer: demands, specification,
//! fits, times, site, costs, ceilings, decision. The clock's year and the number of draws come in
//! as values.

mod answer;
mod beliefs;
mod bounded;
mod ceilings;
mod cells;
mod changer;
mod compared;
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
mod purchases;
mod sets;
mod texts;
mod to_look;
mod value;
mod without;

pub use answer::Answer;
pub use changer::{ChangerQuestion, Side};
pub use inputs::{Inputs, Settings};
pub use memo::Memo;
pub use offer::{Counts, OfferAnswer, Short};
pub use paying::WorthPaying;
pub use value::SEARCH;

use crate::choice::{
    Beliefs, Candidate, Joint, Searched, Situation, ask_of_sets, decide, learn, questions, ways_out,
};
use crate::cycle::MaterialEnds;
use crate::demand::{self, Demand};
use crate::entered::Aim;
use crate::material::Materials;
use crate::resolve;
use crate::site::{PlanAnswers, SiteVerdict};
use crate::specification::{ClassPicture, class_picture, specify};
use compared::{candidate, shown, wishes};
use in_draws::Shared;
use looked::{Looked, look};
use memo::Ground;
use priced::{PartTools, Variant};
use purchases::{all_they_can, by_value, most_valuable};
use rayon::prelude::*;
use units::{Cancelled, DRAW_BLOCK, Draw, Money, Watch};

/// Above so many pairs of part and offer a study keeps pairs summarised by offer, and so do documents: a
/// whole fit and its time take about two kilobytes.
pub const LARGE_PAIRS: usize = 20_000;

/// Hours it takes to ask a question and note the answer. Common practice, no source.
const ASKING_H: f64 = 0.5;

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
    let to_look = to_look::to_look(inputs, &mut notes);
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
    let ceilings = ceilings::ceilings(inputs, settings, &demanded, memo);
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
    let mut question_groups = learn(
        &situation,
        &candidates,
        &standing,
        &beliefs,
        &mut questions,
        watch,
    )?;
    ask_of_sets(&decision.together, &mut questions, &mut question_groups);
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
