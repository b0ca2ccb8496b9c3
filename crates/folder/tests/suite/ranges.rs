//! Numbers given as ranges: what a purchase does is decided draw by draw.

use engine::choice::{PartIn, Status};
use engine::entered::Aim;
use engine::fit::{Verdict, fit};
use engine::machine::{Field, ForEachEntered, Offer};
use engine::site::{Room, SiteVerdict, UsdRate, check};
use engine::study::{Answer, OfferAnswer, Settings, run};
use engine::{demand, resolve};
use folder::Study;
use proptest::prelude::*;
use units::{DRAW_BLOCK, Draw, Length, Money, Place, Quantity, Spread, Value, Watch};

fn ask(study: &Study) -> Answer {
    let mut settings = Settings::new(2026);
    settings.draws = DRAW_BLOCK;
    run(&study.inputs(), &settings, Watch::NOBODY).unwrap()
}

/// The demo without its floor plan.
fn demo() -> Study {
    let mut study = folder::demo(Watch::NOBODY).unwrap();
    study.site.plan = None;
    study
}

fn offer<'a>(answer: &'a Answer, id: &str) -> &'a OfferAnswer {
    answer.offers().find(|o| o.offer.0 == id).unwrap()
}

const MILL: &str = "birch-500-changer";

fn mill(study: &mut Study) -> &mut Offer {
    study.offers.iter_mut().find(|o| o.id.0 == MILL).unwrap()
}

fn range<Q: Quantity>(value: &mut Value<Q>, low: f64, high: f64) {
    let [low, high] = [low, high].map(Q::from_base);
    value.likely = Q::from_base(0.5 * (low.base() + high.base()));
    value.spread = Spread::Range { low, high };
}

/// The mill with a nose that rises to anywhere between two heights.
fn nose(low_mm: f64, high_mm: f64) -> Study {
    let mut study = demo();
    let nose = &mut mill(&mut study).properties.nose_to_table_max;
    range(nose.as_mut().unwrap(), low_mm, high_mm);
    study
}

/// Makes ranges of stated properties: each the share of its value below and above.
struct Spoil<'a> {
    shares: &'a [Option<(f64, f64)>],
}

impl ForEachEntered for Spoil<'_> {
    fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
        let at = Field::ALL.iter().position(|f| *f == field).unwrap();
        if field == Field::price || field == Field::supply_volts {
            return;
        }
        if let (Some(value), Some((down, up))) = (slot.as_mut(), self.shares[at]) {
            let base = value.likely.base();
            if base > 0.0 {
                range(value, base * (1.0 - down), base * (1.0 + up));
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Every part laid on the machine of every draw, and every machine put into the room: against what
    /// the study finds with far fewer.
    #[test]
    fn the_outcome_of_each_draw_is_what_looking_at_it_alone_says(
        shares in prop::collection::vec(
            prop::option::weighted(0.12, (0.0..0.35f64, 0.0..0.35f64)), Field::ALL.len()),
        door in prop::option::of(0.9..1.4f64),
        tolerance in prop::option::weighted(0.3, 0.3..3.0f64),
    ) {
        let mut study = demo();
        study.offers.retain(|o| o.id.0 == MILL);
        mill(&mut study).properties.for_each(&mut Spoil { shares: &shares });
        if let (Some(share), Some(ceiling)) = (door, &mut study.site.ceiling) {
            let middle = 84.0 * 25.4 + 50.0;
            range(ceiling, middle * 0.95, middle * 0.95 * share.max(1.01));
        }
        if let (Some(share), Some(tolerance)) = (tolerance, &mut study.parts[3].tolerance) {
            let base = tolerance.likely.base();
            range(tolerance, base * share.min(0.99), base * share.max(1.01));
        }
        let answer = ask(&study);
        let found = offer(&answer, MILL);
        let own = &study.offers[0];
        // The options taken are those of the answer.
        let mut own = own.clone();
        for option in &mut own.options {
            option.taken = found.options.contains(&option.name);
        }
        let class = study.classes.iter().find(|c| c.id == own.class).unwrap();
        let likely = resolve::machine(&own, class, Draw::Likely);
        let materials = resolve::materials(&study.materials, Draw::Likely);
        let settings = Settings::new(2026);
        let usd = UsdRate::of(&study.shop);
        let mut wrong = 0;
        for index in (0..DRAW_BLOCK).step_by(8) {
            let draw = Draw::Random { seed: study.shop.seed, index };
            let mut machine = likely.clone();
            for (field, value) in resolve::doubtful(&own) {
                machine.properties.state(field, draw.take(&value).base());
            }
            let mut room = Room::resolve(&study.site, Draw::Likely);
            for (key, value) in Room::doubtful(&study.site) {
                room = room.with(key, draw.take(&value).base());
            }
            let goes_in = check(&machine, &room, usd).goes_in;
            for (at, part) in study.parts.iter().enumerate() {
                let mut plain = resolve::part(part, Draw::Likely);
                plain.tolerance = part.tolerance.as_ref().map(|t| draw.take(t));
                let demand = demand::of(&plain, &materials);
                let demand = study.shop.tools.preferred(demand);
                let fit = fit(&demand, &machine, &materials, &settings.practice);
                let alone = PartIn { verdict: fit.verdict, clampings: fit.clampings };
                let told = found.in_draws.as_ref().map_or_else(
                    || PartIn { verdict: found.fits[at].verdict, clampings: found.fits[at].clampings },
                    |drawn| drawn.at(index as usize).parts[at],
                );
                wrong += u32::from(alone != told);
            }
            let told = found.in_draws.as_ref().map_or(found.site.goes_in, |drawn| drawn.at(index as usize).goes_in);
            wrong += u32::from(goes_in != told);
        }
        prop_assert_eq!(wrong, 0);
    }
}

/// A range with none more likely than another: the share above the height asked is its length.
#[test]
fn a_part_fits_in_the_share_of_the_range_that_lets_it() {
    let tall = |study: &Study| {
        study
            .parts
            .iter()
            .position(|p| p.id.0 == "pier-adapter")
            .unwrap()
    };
    let study = nose(400.0, 460.0);
    let answer = ask(&study);
    let found = offer(&answer, MILL);
    let drawn = found.in_draws.as_ref().expect("the nose decides");
    let turn = drawn
        .turns
        .iter()
        .find(|t| t.input.ends_with("nose_to_table_max"))
        .unwrap();
    assert!(turn.at_least);
    let part = &study.parts[tall(&study)].id;
    assert!(turn.parts.contains(part));
    // The tall part asks most: the last place of change.
    let needed = *turn.flips_at.last().unwrap();
    let stack = found.fits[tall(&study)]
        .setups_on
        .iter()
        .map(|s| s.stack.nose_high_need.to_mm());
    assert!(
        (needed - stack.fold(0.0, f64::max)).abs() < 0.01,
        "{needed}"
    );
    let share = (460.0 - needed) / 60.0;
    // One draw in every stratum of the block.
    assert!((drawn.made(tall(&study)) - share).abs() <= 1.0 / DRAW_BLOCK as f64);
    // What does too rarely is to be asked about, by that very number.
    let other = answer
        .decision
        .alternatives
        .iter()
        .find(|a| a.offer.0 == MILL)
        .unwrap();
    assert_eq!(other.status, Status::AskFirst);
    let first = answer
        .decision
        .ask_first
        .iter()
        .find(|a| a.offer.0 == MILL)
        .unwrap();
    assert_eq!(first.questions, std::slice::from_ref(&turn.input));
    assert!(
        answer
            .questions
            .iter()
            .any(|q| q.input == turn.input && q.decisive)
    );
}

#[test]
fn a_higher_range_never_makes_it_do_less_often() {
    let mut before = 0.0;
    for low in [400.0, 410.0, 420.0, 425.0, 430.0, 435.0, 440.0] {
        let answer = ask(&nose(low, low + 30.0));
        let found = offer(&answer, MILL);
        let does = found.in_draws.as_ref().map_or_else(
            || f64::from(found.fits.iter().all(|f| f.verdict != Verdict::DoesNotFit)),
            |drawn| drawn.share(|o| o.surely_does(|at| answer.demands[at].must_make)),
        );
        assert!(does >= before, "{low}: {does} after {before}");
        before = does;
        // Named only from the chance asked on.
        let named = answer.decision.offer.as_ref().is_some_and(|o| o.0 == MILL);
        assert!(!named || does >= 0.8, "{low}: {does}");
    }
    assert_eq!(before, 1.0);
    // A range that changes nothing is as good as a number.
    let (sure, plain) = (ask(&nose(450.0, 464.0)), ask(&nose(457.0, 457.0)));
    assert!(offer(&sure, MILL).in_draws.is_none());
    assert_eq!(sure.decision, plain.decision);
}

/// By money: in draws in which it does not do it is sold again, in the others it is worth what the
/// same machine is worth whose number is sure.
#[test]
fn a_machine_that_may_fail_is_worth_what_its_draws_are_worth() {
    let priced = |mut study: Study| {
        study.shop.aim = Aim::Value;
        for part in &mut study.parts {
            let id = format!("parts/{}/price", part.id);
            part.outside_price = Some(Value::stated(id, Money::amount(170.0), Place::default()));
        }
        study.offers.retain(|o| o.id.0 == MILL);
        ask(&study)
    };
    let (doubtful, sure) = (priced(nose(435.0, 460.0)), priced(nose(447.5, 447.5)));
    let [own, full] = [&doubtful, &sure].map(|a| offer(a, MILL));
    assert_eq!(own.made, full.made);
    let (worth, whole) = (own.worth.as_ref().unwrap(), full.worth.as_ref().unwrap());
    let drawn = own.in_draws.as_ref().unwrap();
    let price = own.all_in.price().unwrap().to_amount();
    let needed = |at: usize| doubtful.demands[at].must_make;
    let mut failed = 0;
    for (draw, value) in worth.draws.iter().enumerate() {
        if drawn.at(draw).surely_does(needed) {
            assert_eq!(*value, whole.draws[draw]);
        } else {
            failed += 1;
            let again = 0.8 * price - own.all_in.totals[draw];
            assert!((value - again).abs() < 1e-6, "{value} {again}");
        }
    }
    assert!(failed > 50 && failed < 300, "{failed}");
    assert!(worth.npv.mean < whole.npv.mean && worth.gain_chance < whole.gain_chance);
    // The search took it as sure: what it found is a bound, and the distance is told.
    assert!(sure.decision.proven && !doubtful.decision.proven);
    let gap = doubtful.decision.gap.expect("a gap").to_amount();
    let less = whole.npv.mean.to_amount() - worth.npv.mean.to_amount();
    assert!((gap - less).abs() < 1.0, "{gap} {less}");
    // A price worth paying falls with the chance to fail.
    let paying = |o: &OfferAnswer| o.worth_paying.as_ref().unwrap().against_nothing.unwrap();
    assert!(paying(own) < paying(full));
}

/// What a machine weighs, how large it is and what it draws is the site's business: no fit reads it.
#[test]
fn no_fit_turns_on_what_the_site_alone_asks() {
    let study = demo();
    let materials = resolve::materials(&study.materials, Draw::Likely);
    let settings = Settings::new(2026);
    for offer in &study.offers {
        let class = study.classes.iter().find(|c| c.id == offer.class).unwrap();
        let likely = resolve::machine(offer, class, Draw::Likely);
        for field in Field::ALL.iter().filter(|f| !f.is_of_fits()) {
            let mut other = likely.clone();
            other.properties.state(*field, 7.0);
            for part in &study.parts {
                let demand = demand::of(&resolve::part(part, Draw::Likely), &materials);
                let [a, b] = [&likely, &other]
                    .map(|m| fit(&demand, m, &materials, &settings.practice).verdict);
                assert_eq!(a, b, "{field:?}");
            }
        }
    }
}

/// A door given as a range: the room's share of the doubt.
#[test]
fn a_doubtful_ceiling_lets_a_machine_in_in_its_share_of_the_draws() {
    let mut study = demo();
    let height = Length::inch(84.0).to_mm() + 50.0;
    range(
        study.site.ceiling.as_mut().unwrap(),
        height - 30.0,
        height + 10.0,
    );
    let answer = ask(&study);
    let found = offer(&answer, MILL);
    let drawn = found.in_draws.as_ref().expect("the ceiling decides");
    let goes_in = drawn.share(|o| o.goes_in == SiteVerdict::Yes);
    assert!(
        (goes_in - 0.25).abs() <= 2.0 / DRAW_BLOCK as f64,
        "{goes_in}"
    );
    let question = answer
        .questions
        .iter()
        .find(|q| q.input == "site/ceiling")
        .unwrap();
    assert!(question.decisive && question.offer.is_none());
    assert!(
        (question.flips_at[0] - height).abs() < 0.1,
        "{:?}",
        question.flips_at
    );
}

/// A range of the rapids or the power: the hours at either end lie within the band told.
#[test]
fn hours_are_in_doubt_by_what_is_stated_as_a_range() {
    let with = |change: &dyn Fn(&mut Offer)| {
        let mut study = demo();
        study.offers.retain(|o| o.id.0 == MILL);
        change(mill(&mut study));
        let answer = ask(&study);
        let found = offer(&answer, MILL);
        (found.hours_per_year.to_h(), found.hours_doubt)
    };
    let (likely, plain) = with(&|_| {});
    let rapid = |low: f64, high: f64| {
        move |offer: &mut Offer| {
            let rapid = offer.properties.rapid.as_mut().unwrap();
            let base = rapid.likely.base();
            range(rapid, low * base, high * base);
        }
    };
    let (same, wider) = with(&rapid(0.5, 1.5));
    assert_eq!(same, likely);
    let (slow, _) = with(&rapid(0.5, 0.5));
    let (quick, _) = with(&rapid(1.5, 1.5));
    assert!(quick < likely && likely < slow);
    // In quadrature with what was in doubt before.
    for (side, end) in [(0, likely - quick), (1, slow - likely)] {
        assert!(wider[side] > plain[side] && wider[side] >= end);
        assert!(wider[side] <= plain[side] + end + 1e-9);
    }
    // What the site alone asks about changes no hour.
    let (_, heavy) = with(&|offer| {
        let weight = offer.properties.weight.as_mut().unwrap();
        let base = weight.likely.base();
        range(weight, 0.9 * base, 1.1 * base);
    });
    assert_eq!(heavy, plain);
}

/// On a floor plan a machine higher than likely counts as the highest: a yes for that is one in all
/// draws, a no leaves those no higher than likely.
#[test]
fn on_a_plan_what_is_larger_than_likely_counts_as_the_largest() {
    let with = |low_in: f64, high_in: f64| {
        let mut study = folder::demo(Watch::NOBODY).unwrap();
        study.offers.retain(|o| o.id.0 == MILL);
        let height = &mut mill(&mut study).properties.height_moving;
        range(height.as_mut().unwrap(), low_in * 25.4, high_in * 25.4);
        ask(&study)
    };
    // The doors are 7 ft high, less 50 mm.
    let sure = with(70.0, 81.0);
    assert!(offer(&sure, MILL).in_draws.is_none());
    assert_eq!(offer(&sure, MILL).site.goes_in, SiteVerdict::Yes);
    let doubtful = with(74.0, 86.0);
    let found = offer(&doubtful, MILL);
    assert_eq!(found.site.goes_in, SiteVerdict::Yes);
    let drawn = found.in_draws.as_ref().expect("the height decides");
    let share = drawn.share(|o| o.goes_in == SiteVerdict::Yes);
    assert!((share - 0.5).abs() <= 1.0 / DRAW_BLOCK as f64, "{share}");
    assert_eq!(doubtful.decision.alternatives[0].status, Status::AskFirst);
}
