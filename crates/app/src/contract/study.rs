//! `firstchip.study/1`.

use super::Note;
use engine::choice::{
    Alternative, AskFirst, Bid, KeepingBudget, Outcome, QuestionGroup, Score, SetCompared, ToBuy,
};
use engine::cycle::{Changer, Load, PartTime};
use engine::fit::{Ask, Assumed, Fit, Limit, SetupFit, Verdict};
use engine::ids::OfferId;
use engine::money::{
    BreakEven, Ceiling, Driver, Errors, Financing, LineSummary, Payback, Percentiles, Rates,
};
use engine::site::{SiteAnswer, SiteVerdict};
use engine::specification::ClassPicture;
use engine::study::{Answer, ChangerQuestion, OfferAnswer, WorthPaying};
use folder::Study as Entered;
use serde::Serialize;
use serde_json::{Map, Value, json};
use units::Money;

/// The document. `Value` trees keep names and shapes in one place below.
#[derive(Debug, Serialize)]
pub struct Study<'a> {
    schema: &'static str,
    shop: &'a str,
    currency: &'a str,
    budget: Money,
    keep_chance: f64,
    ceilings: Vec<Value>,
    specification: Vec<Value>,
    classes: Vec<Value>,
    pairs: Vec<Value>,
    fits: Vec<FitDocument<'a>>,
    times: Vec<Value>,
    offers: Vec<OfferDocument<'a>>,
    site: Vec<Value>,
    decision: DecisionDocument<'a>,
    bids: &'a [Bid],
    changer_question: Option<&'a ChangerQuestion>,
    ways_out: Vec<Value>,
    ways_out_left_out: &'a [String],
    questions: Vec<Value>,
    question_groups: &'a [QuestionGroup],
    notes: Vec<Note>,
}

/// One part on one offer.
#[derive(Debug, Serialize)]
pub struct FitDocument<'a> {
    part: &'a str,
    offer: &'a str,
    verdict: Verdict,
    /// Share of the draws in which it is made, where ranges the user gave change that.
    chance: Option<f64>,
    setups: u32,
    clampings: u32,
    margins: Map<String, Value>,
    limits: Vec<Value>,
    ask: &'a [Ask],
    assumed: &'a [Assumed],
    tools: u32,
    hand_changes: u32,
    setups_on: &'a [SetupFit],
}

#[derive(Debug, Serialize)]
struct OfferDocument<'a> {
    offer: &'a str,
    name: &'a str,
    options: &'a [String],
    all_in: Percentiles,
    lines: &'a [LineSummary],
    running_per_year: Percentiles,
    running_lines: &'a [LineSummary],
    npv: Option<Percentiles>,
    payback_years: Option<Payback>,
    payback_discounted_years: Option<Payback>,
    gain_chance: Option<f64>,
    irr: Option<&'a Rates>,
    break_even: Option<BreakEven>,
    finance: &'a Financing,
    first_year: Percentiles,
    first_year_lines: &'a [LineSummary],
    over_budget_chance: f64,
    errors: Option<Errors>,
    drivers: &'a [Driver],
    highest_price: Option<Money>,
    worth_paying: Option<&'a WorthPaying>,
    price_stated: bool,
    hours_per_year: f64,
    hours_band: [f64; 2],
    hours_by_kind: Map<String, Value>,
    load: Load,
    changer: Changer,
    missing: Vec<&'static str>,
    assumed: Vec<Value>,
}

#[derive(Debug, Serialize)]
struct DecisionDocument<'a> {
    aim: engine::entered::Aim,
    offer: Option<&'a str>,
    options: &'a [String],
    machines: &'a [ToBuy],
    buy_nothing: bool,
    make: Vec<&'a str>,
    farm_out: Vec<&'a str>,
    chance_best: f64,
    does_chance: Option<f64>,
    among: usize,
    proven: bool,
    gap: Option<Money>,
    stopped: bool,
    ties: &'a [OfferId],
    value: Option<Money>,
    over_budget_cost: Option<Money>,
    over_budget_rate: Value,
    keeping_budget: Option<&'a KeepingBudget>,
    score: Option<Value>,
    why: &'a [String],
    alternatives: &'a [Alternative],
    ask_first: &'a [AskFirst],
    together: &'a [SetCompared],
}

impl<'a> Study<'a> {
    /// From a folder and its answer.
    pub fn new(entered: &'a Entered, answer: &'a Answer, notes: Vec<Note>) -> Self {
        let decision = &answer.decision;
        Self {
            schema: "firstchip.study/1",
            shop: &entered.shop.name,
            currency: entered.shop.currency.code(),
            budget: entered.shop.budget.likely,
            keep_chance: entered.shop.keep_chance,
            ceilings: super::ask::ceilings(answer),
            specification: answer
                .specification
                .iter()
                .map(|r| {
                    json!({
                        "capability": r.capability, "need": r.need, "comfort": r.comfort,
                        "unit": r.unit, "at_most": r.at_most, "driver": r.driver,
                        "comfort_driver": r.comfort_driver, "want": r.want,
                        "need_without_driver": r.need_without_driver,
                        "comfort_without_driver": r.comfort_without_driver,
                        "by_hand_h": r.hours_per_year.map(units::Time::to_h),
                    })
                })
                .collect(),
            classes: answer.classes.iter().map(|c| class(c, answer)).collect(),
            pairs: answer.offers().map(pairs).collect(),
            fits: answer
                .offers()
                .filter(|_| !answer.is_large())
                .flat_map(fits)
                .collect(),
            times: answer
                .offers()
                .filter(|_| !answer.is_large())
                .flat_map(|o| o.times.iter().flatten().map(time))
                .collect(),
            offers: answer.offers().map(offer).collect(),
            site: answer.offers().map(site_of).collect(),
            decision: DecisionDocument {
                aim: decision.aim,
                offer: decision.offer.as_ref().map(|o| o.0.as_str()),
                options: &decision.options,
                machines: &decision.machines,
                buy_nothing: decision.buy_nothing,
                make: decision.make.iter().map(|p| p.0.as_str()).collect(),
                farm_out: decision.farm_out.iter().map(|p| p.0.as_str()).collect(),
                chance_best: decision.chance_best,
                does_chance: decision.does_chance,
                among: decision.among,
                proven: decision.proven,
                gap: decision.gap,
                stopped: decision.stopped,
                ties: &decision.ties,
                value: decision.value,
                over_budget_cost: decision.over_budget_cost,
                over_budget_rate: over_budget_rate(entered),
                keeping_budget: decision.keeping_budget.as_ref(),
                score: decision.score.as_ref().map(score),
                why: &decision.why,
                alternatives: &decision.alternatives,
                ask_first: &decision.ask_first,
                together: &decision.together,
            },
            bids: &answer.bids,
            changer_question: answer.changer_question.as_ref(),
            ways_out: answer
                .ways_out
                .ways
                .iter()
                .map(|w| {
                    json!({
                        "changes": w.texts(), "money": w.money, "offer": w.offer,
                        "options": w.options, "kinds": w.changes, "unpriced": w.unpriced,
                        "outside_per_year": w.outside_per_year, "ask_first": w.ask_first,
                        "best": w.best,
                    })
                })
                .collect(),
            ways_out_left_out: &answer.ways_out.left_out,
            questions: answer
                .questions
                .iter()
                .map(|q| {
                    json!({
                        "input": q.input, "about": q.about, "offer": q.offer, "parts": q.parts,
                        "flips_at": q.flips_at, "at_least": q.at_least, "likely": q.likely,
                        "flips_unit": q.flips_unit, "decisive": q.decisive, "worth": q.worth, "error": q.error, "worth_unit": q.unit,
                        "worth_asking": q.worth_asking,
                    })
                })
                .collect(),
            question_groups: &answer.question_groups,
            notes,
        }
    }
}

/// What each unit over the budget costs besides itself, and who says so.
fn score(score: &Score) -> Value {
    json!({
        "wanted": score.wanted, "clampings": score.clampings,
        "hours_per_year": score.hours_per_year.to_h(),
        "headroom": score.headroom.map(units::Length::to_mm), "cost": score.cost,
    })
}

fn over_budget_rate(entered: &Entered) -> Value {
    let rate = &entered.shop.over_budget_rate;
    let (low, high) = rate.ends();
    let source = match &rate.origin {
        units::Origin::Assumed { source } => source.as_str(),
        _ => "",
    };
    json!({
        "low": low, "likely": rate.likely, "high": high, "mean": rate.mean(),
        "origin": rate.origin.word(), "source": source,
    })
}

/// One class, with the price the budget leaves for it and whether that reaches its usual prices.
fn class(picture: &ClassPicture, answer: &Answer) -> Value {
    let mut value = serde_json::to_value(picture).unwrap_or_default();
    let ceiling = answer.ceilings.iter().find(|c| c.class == picture.class);
    if let (Value::Object(map), Some(ceiling)) = (&mut value, ceiling) {
        map.insert("ceiling".into(), json!(ceiling.room.price));
        map.insert("usual".into(), json!(ceiling.usual));
        map.insert("condition".into(), json!(ceiling.condition));
        map.insert("ceiling_reaches".into(), json!(reaches(ceiling)));
    }
    value
}

/// Whether the price the budget leaves reaches the usual price of the class: "yes" the likely one,
/// "some" the least one, "no" not even that; nothing when no usual price is known.
pub fn reaches(ceiling: &Ceiling) -> Option<&'static str> {
    let [low, likely, _] = ceiling.usual?;
    Some(match ceiling.room.price {
        Some(price) if price >= likely => "yes",
        Some(price) if price >= low => "some",
        _ => "no",
    })
}

/// All parts on one offer, counted.
fn pairs(offer: &OfferAnswer) -> Value {
    let counts = &offer.counts;
    let short: Vec<Value> = counts
        .short
        .iter()
        .map(|s| {
            json!({
                "capability": s.capability, "parts": s.parts, "worst": s.worst,
                "short_by": s.short_by, "unit": s.capability.unit(), "mend": s.mend,
            })
        })
        .collect();
    json!({
        "offer": offer.offer, "fits": counts.fits,
        "fits_with_more_clampings": counts.fits_with_more_clampings,
        "cannot_say": counts.cannot_say, "does_not_fit": counts.does_not_fit,
        "clampings": counts.clampings, "lower_bounds": counts.lower_bounds,
        "hours_per_year": offer.hours_per_year.to_h(), "short": short,
    })
}

/// The fits of an offer.
fn fits(offer: &OfferAnswer) -> impl Iterator<Item = FitDocument<'_>> {
    let of = |(at, own)| FitDocument {
        chance: offer.in_draws.as_ref().map(|drawn| drawn.made(at)),
        ..fit(own)
    };
    offer.fits.iter().enumerate().map(of)
}

/// The document of one fit.
pub fn fit(fit: &Fit) -> FitDocument<'_> {
    FitDocument {
        part: &fit.part.0,
        offer: &fit.offer.0,
        verdict: fit.verdict,
        chance: None,
        setups: fit.setups,
        clampings: fit.clampings,
        margins: fit
            .margins
            .iter()
            .map(|m| (name(&m.capability), json!(m.value)))
            .collect(),
        limits: fit.limits.iter().map(limit).collect(),
        ask: &fit.ask,
        assumed: &fit.assumed,
        tools: fit.tools,
        hand_changes: fit.hand_changes,
        setups_on: &fit.setups_on,
    }
}

fn limit(limit: &Limit) -> Value {
    json!({
        "capability": limit.capability, "short_by": limit.short_by,
        "unit": limit.capability.unit(), "mend": limit.mend,
        "costs_s": limit.costs.map(units::Time::to_s), "rules_out": limit.rules_out,
    })
}

/// Name of a plain enum variant as serde writes it.
pub fn name(of: &impl Serialize) -> String {
    match serde_json::to_value(of) {
        Ok(Value::String(text)) => text,
        _ => String::new(),
    }
}

fn time(time: &PartTime) -> Value {
    let kinds: Map<String, Value> = time
        .cycle
        .kinds()
        .into_iter()
        .map(|(name, each)| (name.to_owned(), json!(each)))
        .collect();
    json!({
        "part": time.part, "offer": time.offer, "first_part_h": time.first_part.to_h(),
        "cycle_s": time.cycle.total().to_s(), "hours_per_year": time.per_year.to_h(),
        "bound": time.bound, "attended_s": time.attended.to_s(),
        "preparation_h": time.preparation.to_h(), "batch_setup_h": time.batch_setup.to_h(),
        "first_year_h": time.first_year.to_h(),
        "attended_h_per_year": time.attended_per_year.to_h(),
        "batches_per_year": time.batches_per_year, "pieces_started": time.started_per_year,
        "tool_changes_per_year": time.tool_changes_per_year, "per_loading": time.per_loading,
        "kinds_s": kinds,
    })
}

fn offer(offer: &OfferAnswer) -> OfferDocument<'_> {
    OfferDocument {
        offer: &offer.offer.0,
        name: &offer.name,
        options: &offer.options,
        all_in: offer.all_in.percentiles,
        lines: &offer.all_in.lines,
        running_per_year: offer.running.percentiles,
        running_lines: &offer.running.lines,
        npv: offer.worth.as_ref().map(|w| w.npv),
        payback_years: offer.worth.as_ref().map(|w| w.payback),
        payback_discounted_years: offer.worth.as_ref().map(|w| w.discounted),
        gain_chance: offer.worth.as_ref().map(|w| w.gain_chance),
        irr: offer.worth.as_ref().map(|w| &w.irr),
        break_even: offer.worth.as_ref().and_then(|w| w.break_even),
        finance: &offer.financing,
        first_year: offer.first_year.percentiles,
        first_year_lines: &offer.first_year.lines,
        over_budget_chance: offer.all_in.over_budget_chance,
        errors: offer.all_in.errors,
        drivers: &offer.drivers,
        highest_price: offer.highest_price.price,
        worth_paying: offer.worth_paying.as_ref(),
        price_stated: offer.price_stated,
        hours_per_year: offer.hours_per_year.to_h(),
        hours_band: hours_band(offer),
        hours_by_kind: offer
            .hours_by_kind
            .iter()
            .map(|(kind, h)| ((*kind).to_owned(), json!(h)))
            .collect(),
        load: offer.load,
        changer: offer.changer,
        missing: offer.missing.iter().map(|f| f.json_name()).collect(),
        assumed: offer
            .assumed()
            .iter()
            .map(|(a, parts)| {
                json!({
                    "input": a.input, "taken": a.taken, "flips_at": a.flips_at,
                    "at_least": a.at_least, "parts": parts,
                })
            })
            .collect(),
    }
}

/// Least and most hours a year that the bands of cutting and stiffness leave open.
pub fn hours_band(offer: &OfferAnswer) -> [f64; 2] {
    let [below, above] = offer.hours_doubt;
    let likely = offer.hours_per_year.to_h();
    [likely - below, likely + above]
}

fn site_of(offer: &OfferAnswer) -> Value {
    let mut document = site(&offer.site);
    let yes = |outcome: &Outcome| outcome.goes_in == SiteVerdict::Yes;
    document["goes_in_chance"] = json!(offer.in_draws.as_ref().map(|drawn| drawn.share(yes)));
    document
}

fn site(site: &SiteAnswer) -> Value {
    let route = site.way.as_ref().map_or_else(
        || json!({ "length_m": null, "tightest_mm": site.standing.door_width_spare, "sticks_at": null }),
        super::route::route,
    );
    json!({
        "offer": site.offer, "goes_in": site.goes_in, "route": route, "place": site.place,
        "before_the_truck": site.before_the_truck,
        "standing": site.standing, "floor": site.floor, "electrical": site.electrical,
        "air": site.air, "environment": site.environment, "lifting": site.lifting,
        "reasons": site.reasons, "ask": site.ask, "ask_works": site.ask_works,
        "works": site.works, "permissions": engine::site::PERMISSIONS,
    })
}
