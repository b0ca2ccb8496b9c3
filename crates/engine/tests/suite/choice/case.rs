//! Candidates for tests of the decision.

use crate::shop::stated;
use engine::choice::{Candidate, Decision, InDraws, Searched, Situation, Wish, decide};
use engine::entered::Aim;
use engine::fit::{Ask, Asked, Capability, Fit, Limit, Margin, Verdict};
use engine::ids::{OfferId, PartId};
use engine::machine::{Field, Machine, Properties};
use engine::money::{AllIn, Line, Payback, Percentiles, Worth, draw};
use engine::site::together::{Matter, Together};
use engine::site::{Room, SiteAnswer, SiteAsk, SiteVerdict, UsdRate, check};
use proptest::prelude::*;
use units::{Currency, Length, Money, Time};

pub const PARTS: [(&str, bool); 4] = [
    ("plate", true),
    ("housing", true),
    ("ring", false),
    ("bracket", false),
];

/// Everything a candidate borrows.
#[derive(Clone, Debug)]
pub struct Case {
    pub offer: OfferId,
    pub options: Vec<String>,
    pub fits: Vec<Fit>,
    pub site: SiteAnswer,
    pub all_in: AllIn,
    pub price_stated: bool,
    pub hours: f64,
    pub hour_factors: Vec<f64>,
    pub worth: Option<Worth>,
    pub in_draws: Option<InDraws>,
}

impl Case {
    pub fn new(name: &str, verdicts: [Verdict; 4], cost: f64) -> Self {
        let offer = OfferId::new(name);
        let cost = crate::shop::band(
            &format!("offers/{name}/all"),
            [0.9 * cost, cost, 1.2 * cost],
        );
        let lines = [Line::fixed(Line::PRICE, cost, "")];
        let fits = PARTS
            .iter()
            .zip(verdicts)
            .map(|((part, _), verdict)| fit(&offer, part, verdict))
            .collect();
        Self {
            site: site(&offer),
            offer,
            options: Vec::new(),
            fits,
            all_in: draw(&lines, &stated("budget", 20e3), 3, 200),
            price_stated: true,
            hours: 300.0,
            hour_factors: Vec::new(),
            worth: None,
            in_draws: None,
        }
    }

    pub fn candidate(&self) -> Candidate<'_> {
        Candidate {
            offer: &self.offer,
            name: &self.offer.0,
            options: &self.options,
            fits: &self.fits,
            site: &self.site,
            all_in: &self.all_in,
            price_stated: self.price_stated,
            highest_price: Some(Money::amount(12e3)),
            hours_per_year: Time::h(self.hours),
            hour_factors: &self.hour_factors,
            worth: self.worth.as_ref(),
            makes: None,
            hours_short: None,
            gives_up: &[],
            in_draws: self.in_draws.as_ref(),
        }
    }

    pub fn worth(mut self, npv: f64) -> Self {
        let m = Money::amount(npv);
        self.worth = Some(Worth {
            npv: Percentiles {
                p10: m,
                p50: m,
                p80: m,
                p90: m,
                mean: m,
            },
            payback: Payback {
                p10: None,
                p50: None,
                p90: None,
                never_chance: 0.0,
            },
            gain_chance: if npv > 0.0 { 1.0 } else { 0.0 },
            draws: vec![npv; 200],
            ..Worth::default()
        });
        self
    }
}

pub fn site(offer: &OfferId) -> SiteAnswer {
    let machine = Machine {
        offer: offer.clone(),
        properties: Properties::default(),
        taper: None,
        taper_default: None,
    };
    let usd = UsdRate {
        rate: 1.0,
        stated: true,
    };
    let mut answer = check(&machine, &Room::default(), usd);
    answer.goes_in = SiteVerdict::Yes;
    answer.ask.clear();
    answer
}

pub fn fit(offer: &OfferId, part: &str, verdict: Verdict) -> Fit {
    let limits = if verdict == Verdict::DoesNotFit {
        vec![Limit {
            capability: Capability::NoseHigh,
            short_by: 152.4,
            mend: "a lower vise".into(),
            costs: None,
            rules_out: true,
        }]
    } else {
        Vec::new()
    };
    let ask = if verdict == Verdict::CannotSay {
        vec![Ask {
            about: Asked::Property(Field::nose_to_table_max),
            input: format!("offers/{offer}/nose_to_table_max"),
            flips_at: 406.4,
            at_least: true,
            likely: None,
        }]
    } else {
        Vec::new()
    };
    Fit {
        part: PartId::new(part),
        offer: offer.clone(),
        verdict,
        setups: 2,
        clampings: if verdict == Verdict::FitsWithMoreClampings {
            3
        } else {
            2
        },
        margins: vec![Margin {
            capability: Capability::TravelX,
            value: 50.0,
        }],
        limits,
        ask,
        assumed: Vec::new(),
        setups_on: Vec::new(),
        hand_changes: 0,
        tools: 5,
        stands_for: Vec::new(),
    }
}

pub fn wishes() -> Vec<Wish> {
    PARTS
        .iter()
        .map(|(part, must_make)| Wish {
            part: PartId::new(*part),
            must_make: *must_make,
            outside_per_year: None,
        })
        .collect()
}

pub fn run(aim: Aim, cases: &[Case]) -> Decision {
    let wishes = wishes();
    let candidates: Vec<_> = cases.iter().map(Case::candidate).collect();
    let searched = Searched {
        among: cases.len(),
        proven: true,
        gap: None,
        stopped: false,
    };
    decide(&situation(aim, &wishes), &candidates, &[], searched)
}

pub fn situation(aim: Aim, wishes: &[Wish]) -> Situation<'_> {
    Situation {
        aim,
        keep_chance: 0.8,
        over_budget_rate: 0.25,
        wishes,
        currency: Currency::USD,
        us_units: true,
    }
}

pub const YES: Verdict = Verdict::Fits;
pub const NO: Verdict = Verdict::DoesNotFit;
pub const ASK: Verdict = Verdict::CannotSay;
pub const MORE: Verdict = Verdict::FitsWithMoreClampings;

pub fn verdict() -> impl Strategy<Value = Verdict> {
    prop_oneof![4 => Just(YES), 2 => Just(MORE), 1 => Just(ASK), 1 => Just(NO)]
}

prop_compose! {
    pub fn case(name: usize)(
        verdicts in prop::array::uniform4(verdict()),
        cost in 8e3..26e3f64, hours in 50.0..900.0f64, room in -5.0..200.0f64,
        npv in prop::option::of(-9e3..9e3f64), stated in prop::bool::weighted(0.9),
    ) -> Case {
        let mut case = Case::new(&format!("offer-{name}"), verdicts, cost);
        case.hours = hours;
        case.price_stated = stated;
        for fit in &mut case.fits {
            fit.margins[0].value = Length::mm(room).to_mm();
        }
        match npv {
            Some(npv) => case.worth(npv),
            None => case,
        }
    }
}

pub fn cases() -> impl Strategy<Value = Vec<Case>> {
    (1usize..6).prop_flat_map(|n| (0..n).map(case).collect::<Vec<_>>())
}

/// Several machines of which one thing was compared.
pub fn at_once(cases: &[&Case], verdict: SiteVerdict) -> Together {
    let ask = SiteAsk {
        input: "site/supply_amps".into(),
        question: "What current can the supply still give?".into(),
        flips_at: None,
        unit: "A",
        at_least: true,
        likely: None,
    };
    Together {
        offers: cases.iter().map(|c| c.offer.clone()).collect(),
        verdict,
        matters: vec![Matter {
            what: "supply",
            verdict,
            need: Some(70.0),
            have: Some(60.0),
            unit: "A",
            said: "they want 70 A of 60 A".into(),
            source: "",
            caution: "",
        }],
        places: Vec::new(),
        ask: (verdict == SiteVerdict::CannotSay)
            .then_some(ask)
            .into_iter()
            .collect(),
        works: Vec::new(),
    }
}
