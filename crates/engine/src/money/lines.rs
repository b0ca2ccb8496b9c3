//! The one-off lines of an offer: what is bought, moved, built and learned up to the first good
//! part.

use super::default::{self, Band};
use super::line::{Amount, Line, ShareOf};
use super::stated;
use super::texts;
use super::tooling;
use crate::demand::{Holding, ToolNeed};
use crate::entered::Shop;
use crate::machine::{Condition, MachineClass, Offer, Taper};
use crate::site::{UsdRate, Work};
use std::collections::BTreeSet;
use units::{InputId, Mass, Money, Number, Origin, Spread, Value};

pub use super::names::same_name;
pub use super::stated::NAMES;

/// What the parts together ask to be bought.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Demanded {
    /// Distinct tools of all parts.
    pub tools: u32,
    /// Of them tools the shop owns.
    pub owned_tools: u32,
    /// Each of those it does not; where they are not known a usual cutter stands for each.
    pub kit: Vec<ToolNeed>,
    /// Setups of all parts.
    pub setups: u32,
    /// Ways of holding they use.
    pub holdings: BTreeSet<Holding>,
}

/// What the lines of an offer are made from.
#[derive(Clone, Copy, Debug)]
pub struct Bill<'a> {
    /// Shop.
    pub shop: &'a Shop,
    /// What the parts ask.
    pub demanded: &'a Demanded,
    /// Works of the site for this machine.
    pub works: &'a [Work],
    /// The year of the study, for ages.
    pub year: i16,
}

/// The lines, and on what the price rests.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// Lines.
    pub lines: Vec<Line>,
    /// True when the seller stated the price; otherwise a class price or nothing stands in.
    pub price_stated: bool,
}

/// What is priced: an offer, or a class standing for all of its machines.
struct Subject<'a> {
    /// Prefix of input names ("offers/x").
    prefix: String,
    condition: Condition,
    price: Option<Value<Money>>,
    price_stated: bool,
    weight: Option<Mass>,
    taper: Option<&'a Taper>,
    age_years: Option<f64>,
    offer: Option<&'a Offer>,
}

/// Lines of an offer. User-stated costs replace default lines of the same name, those of the offer
/// before those of the shop; others are added.
pub fn of_offer(bill: &Bill<'_>, offer: &Offer, class: &MachineClass) -> Priced {
    let prefix = format!("offers/{}", offer.id);
    let stated = offer.properties.price.clone();
    let usual = match offer.condition {
        Condition::New => class.price_new.as_ref(),
        Condition::Used => class.price_used.as_ref(),
    };
    let price = stated.clone().or_else(|| {
        usual.map(|v| Value {
            id: InputId(format!("{prefix}/price")),
            ..v.clone()
        })
    });
    let weight = offer
        .properties
        .weight
        .as_ref()
        .or(class.properties.weight.as_ref());
    let subject = Subject {
        prefix,
        condition: offer.condition,
        price_stated: stated.is_some(),
        price,
        weight: weight.map(|w| w.likely),
        taper: offer.taper.as_ref().or(class.taper.as_ref()),
        age_years: offer
            .properties
            .year
            .as_ref()
            .map(|y| (f64::from(bill.year) - y.likely.to_number()).max(0.0)),
        offer: Some(offer),
    };
    lines(bill, &subject)
}

/// Lines of a class bought so, without options or premium.
pub fn of_class(bill: &Bill<'_>, class: &MachineClass, condition: Condition) -> Priced {
    let price = match condition {
        Condition::New => class.price_new.clone(),
        Condition::Used => class.price_used.clone(),
    };
    let subject = Subject {
        prefix: format!("classes/{}", class.id),
        condition,
        price,
        price_stated: false,
        weight: class.properties.weight.as_ref().map(|w| w.likely),
        taper: class.taper.as_ref(),
        age_years: None,
        offer: None,
    };
    lines(bill, &subject)
}

fn lines(bill: &Bill<'_>, subject: &Subject<'_>) -> Priced {
    let mut lines = Vec::new();
    purchase(bill, subject, &mut lines);
    moving(bill, subject, &mut lines);
    for work in bill.works.iter().filter(|w| !has(bill, subject, w.name)) {
        let id = format!("{}/{}", subject.prefix, work.name);
        let mut amount = Value::assumed(id, work.low, work.likely, work.high, &work.source);
        if let Some(place) = &work.stated {
            amount.origin = Origin::Stated {
                place: place.clone(),
            };
        }
        lines.push(Line::fixed(work.name, amount, work.why.clone()));
    }
    equipment(bill, subject, &mut lines);
    if subject.condition == Condition::Used {
        used(bill, subject, &mut lines);
    }
    risks(bill, subject, &mut lines);
    lines.push(share(
        subject,
        "insurance",
        ShareOf::Price,
        default::INSURANCE,
        default::INSURANCE_SOURCE,
        texts::INSURANCE,
    ));
    lines.push(share(
        subject,
        "contingency",
        ShareOf::Uncertain,
        default::CONTINGENCY,
        default::CONTINGENCY_SOURCE,
        texts::CONTINGENCY,
    ));
    stated::apply(bill.shop, subject.offer, &mut lines);
    Priced {
        lines,
        price_stated: subject.price_stated,
    }
}

fn purchase(bill: &Bill<'_>, subject: &Subject<'_>, lines: &mut Vec<Line>) {
    if let Some(price) = &subject.price {
        let why = if subject.price_stated {
            texts::PRICE_STATED
        } else {
            texts::PRICE_ASSUMED
        };
        lines.push(Line::fixed(Line::PRICE, price.clone(), why));
    }
    if let Some(offer) = subject.offer {
        for option in offer.options.iter().filter(|o| o.taken) {
            let (head, why) = match &option.warranty_months {
                Some(months) => (
                    Line::WARRANTY,
                    texts::warranty(months.likely.to_number(), true),
                ),
                None => (Line::OPTION, texts::OPTION.to_owned()),
            };
            let name = format!("{head}{}", option.name);
            lines.push(Line::fixed(name, option.price.clone(), why));
        }
        if let Some(months) = &offer.terms.warranty_months {
            let nothing = Value {
                id: InputId(format!("{}/warranty price", subject.prefix)),
                likely: Money::ZERO,
                spread: Spread::None,
                origin: months.origin.clone(),
                group: None,
            };
            let why = texts::warranty(months.likely.to_number(), false);
            lines.push(Line::fixed("warranty", nothing, why));
        }
        if offer.premium_share > 0.0 {
            let id = format!("{}/premium", subject.prefix);
            let share = Value::stated(id, Number::of(offer.premium_share), offer.place.clone());
            lines.push(Line::share(
                Line::PREMIUM,
                ShareOf::Price,
                share,
                texts::PREMIUM,
            ));
        }
    }
    if bill.shop.tax_share.ends().1.to_number() > 0.0 {
        let share = bill.shop.tax_share.clone();
        lines.push(Line::share("tax", ShareOf::Purchase, share, texts::TAX));
    }
}

/// Freight and rigging move together: both follow distance, weight and the season's rates.
fn moving(bill: &Bill<'_>, subject: &Subject<'_>, lines: &mut Vec<Line>) {
    let (freight, rigging) = default::moving(subject.weight);
    if !subject.offer.is_some_and(|o| o.delivered) {
        let amount = money(bill, subject, "freight", &[(1.0, freight)]).in_group("moving", 0.6);
        lines.push(Line::fixed("freight", amount, texts::FREIGHT));
    }
    // The published sum covers both ends; how it is shared between them is ours.
    let ends = [
        ("rigging: loading", 0.4, texts::LOADING),
        ("rigging: placing", 0.6, texts::RIGGING),
    ];
    for (name, share, why) in ends {
        // Who delivers also loads.
        if name.ends_with("loading") && subject.offer.is_some_and(|o| o.delivered) {
            continue;
        }
        let amount = money(bill, subject, name, &[(share, rigging)]).in_group("moving", 0.6);
        lines.push(Line::fixed(name, amount, why));
    }
}

fn equipment(bill: &Bill<'_>, subject: &Subject<'_>, lines: &mut Vec<Line>) {
    let has = |name: &str| has(bill, subject, name);
    if !has("tooling") {
        let holders = own_holders(bill, subject.taper);
        for (name, parts, why) in tooling::kit(bill.demanded, subject.taper, holders, &has) {
            push_kit(bill, subject, name, &parts, &why, lines);
        }
    }
    if !has("workholding") {
        let setups = f64::from(bill.demanded.setups.max(1));
        let fixtures = (setups, default::setup_fixture(subject.weight));
        push_kit(
            bill,
            subject,
            "workholding: fixtures",
            &[fixtures],
            texts::WORKHOLDING,
            lines,
        );
        if !has("vise") {
            let vise = (1.0, default::vise(subject.weight));
            push_kit(
                bill,
                subject,
                "workholding: vise",
                &[vise],
                texts::VISE,
                lines,
            );
        }
        if bill.demanded.holdings.contains(&Holding::Chuck) && !has("chuck") {
            let chuck = (1.0, default::CHUCK);
            push_kit(
                bill,
                subject,
                "workholding: chuck",
                &[chuck],
                texts::CHUCK,
                lines,
            );
        }
    }
    for (name, band, why) in [
        (
            "measuring",
            default::measuring(subject.weight),
            texts::MEASURING,
        ),
        ("coolant", default::coolant(subject.weight), texts::COOLANT),
        (
            "software",
            default::software(subject.weight),
            texts::SOFTWARE,
        ),
        (
            "training",
            default::training(subject.weight),
            texts::TRAINING,
        ),
    ] {
        if !has(name) {
            // The shop's own and the same whichever machine is bought: one input for all offers.
            let [low, likely, high] = dollars(bill, &[(1.0, band)]);
            let source = UsdRate::of(bill.shop).source(band.source);
            let id = format!("costs/{name}");
            let amount = Value::assumed(id, low, likely, high, &source);
            lines.push(Line::fixed(name, amount, why));
        }
    }
}

/// Own holders that fit the machine's spindle; those of unknown taper fit none for certain.
fn own_holders(bill: &Bill<'_>, taper: Option<&Taper>) -> f64 {
    let fits = |text: &String| text.parse().ok().as_ref() == taper;
    let own = bill.shop.tools.holders.iter();
    own.filter(|h| taper.is_some() && h.taper.as_ref().is_some_and(fits))
        .map(|h| f64::from(h.count))
        .sum()
}

/// Prices of tool and work holding rise together.
fn push_kit(
    bill: &Bill<'_>,
    subject: &Subject<'_>,
    name: &str,
    parts: &[(f64, Band)],
    why: &str,
    lines: &mut Vec<Line>,
) {
    if !parts.is_empty() {
        let amount = money(bill, subject, name, parts).in_group("tooling", 0.7);
        lines.push(Line::fixed(name, amount, why));
    }
}

fn used(bill: &Bill<'_>, subject: &Subject<'_>, lines: &mut Vec<Line>) {
    let amount = money(
        bill,
        subject,
        "inspection",
        &[(1.0, default::inspection(subject.weight))],
    );
    lines.push(Line::fixed("inspection", amount, texts::INSPECTION));
    // What the seller answers for in the first year the shop need not put by.
    let warranty = subject.offer.and_then(Offer::warranty_months);
    let own = warranty.map_or(1.0_f64, |months| f64::max(1.0 - months / 12.0, 0.0));
    lines.push(share(
        subject,
        "repair reserve",
        ShareOf::Price,
        default::upkeep(subject.age_years, subject.condition).map(|s| own * s),
        default::UPKEEP_SOURCE,
        texts::REPAIR,
    ));
}

/// Costs that come with a chance, each happening or not on a stream of its own.
fn risks(bill: &Bill<'_>, subject: &Subject<'_>, lines: &mut Vec<Line>) {
    let warranty = subject.offer.and_then(Offer::warranty_months);
    let own = subject.offer.map_or(&[][..], |o| &o.risks);
    for risk in bill.shop.risks.iter().chain(own) {
        let left = risk.chance_left(warranty);
        let happens = Value {
            id: InputId(format!("{}/happens", risk.id)),
            // The likelier of the two.
            likely: Number::of(f64::from(left > 0.5)),
            spread: Spread::Either {
                less: Number::ZERO,
                more: Number::of(1.0),
                chance: left,
            },
            origin: Origin::Stated {
                place: risk.place.clone(),
            },
            group: None,
        };
        lines.push(Line {
            name: format!("{}{}", Line::RISK, risk.name),
            amount: Amount::Times {
                count: happens,
                each: risk.cost.clone(),
            },
            why: texts::risk(risk.chance.mean().to_number(), left),
        });
    }
}

fn has(bill: &Bill<'_>, subject: &Subject<'_>, name: &str) -> bool {
    let included = subject.offer.map_or(&[][..], |o| &o.includes);
    included
        .iter()
        .chain(&bill.shop.owned)
        .any(|owned| same_name(owned, name))
}

fn share(
    subject: &Subject<'_>,
    name: &str,
    of: ShareOf,
    [low, likely, high]: [f64; 3],
    source: &str,
    why: &str,
) -> Line {
    let id = format!("{}/{name}", subject.prefix);
    let share = Value {
        id: InputId(id),
        likely: Number::of(likely),
        spread: Spread::LowLikelyHigh {
            low: Number::of(low),
            likely: Number::of(likely),
            high: Number::of(high),
        },
        origin: Origin::Assumed {
            source: source.to_owned(),
        },
        group: None,
    };
    Line::share(name, of, share, why)
}

/// A sum of so many of each band; the parts of one line move together, so ends add.
fn dollars(bill: &Bill<'_>, parts: &[(f64, Band)]) -> [Money; 3] {
    let usd = UsdRate::of(bill.shop);
    [0, 1, 2].map(|end| {
        usd.money(
            parts
                .iter()
                .map(|(count, band)| count * band.dollars[end])
                .sum(),
        )
    })
}

fn money(
    bill: &Bill<'_>,
    subject: &Subject<'_>,
    name: &str,
    parts: &[(f64, Band)],
) -> Value<Money> {
    let [low, likely, high] = dollars(bill, parts);
    let mut sources: Vec<&str> = parts.iter().map(|(_, band)| band.source).collect();
    sources.dedup();
    let source = UsdRate::of(bill.shop).source(&sources.join("; "));
    Value::assumed(
        format!("{}/{name}", subject.prefix),
        low,
        likely,
        high,
        &source,
    )
}
