//! What a year with the machine costs.

use super::default;
use super::line::{Amount, Line};
use super::texts;
use crate::cycle::PartTime;
use crate::entered::{Part, Shop};
use crate::ids::PartId;
use crate::machine::{Machine, MachineClass, Offer};
use crate::site::UsdRate;
use units::{InputId, Money, Number, Origin, Quantity, Spread, Value};

/// Idle draw of drives, control, coolant and light, kW. From memory.
const IDLE_KW: f64 = 0.8;
/// Share of the rated spindle power drawn over machine hours. From memory.
const LOAD: f64 = 0.25;

/// A part's money.
#[derive(Clone, Debug, PartialEq)]
pub struct PartMoney<'a> {
    /// The part as entered.
    pub part: &'a Part,
    /// Its time on the machine; `None` when it cannot be made there.
    pub time: Option<&'a PartTime>,
}

impl PartMoney<'_> {
    /// Name of the part.
    pub fn id(&self) -> &PartId {
        &self.part.id
    }
}

/// What the yearly lines of an offer are made from.
#[derive(Clone, Copy, Debug)]
pub struct Running<'a> {
    /// Shop.
    pub shop: &'a Shop,
    /// Offer as entered.
    pub offer: &'a Offer,
    /// Its class.
    pub class: &'a MachineClass,
    /// The machine at its best single values.
    pub machine: &'a Machine,
    /// The price line of the offer, as drawn for the all-in cost.
    pub price: Option<&'a Line>,
    /// Parts made on it.
    pub parts: &'a [PartMoney<'a>],
    /// Share of the parts' yearly hours the shop can give, 1 when all.
    pub capacity: f64,
    /// The year of the study, for ages.
    pub year: i16,
}

/// Yearly lines. The price itself is not among them; lines that are shares of it are turned into
/// products of share and price.
pub fn per_year(r: &Running<'_>) -> Vec<Line> {
    let usd = UsdRate::of(r.shop);
    let made: Vec<(&Part, &PartTime)> = r
        .parts
        .iter()
        .filter_map(|p| Some((p.part, p.time?)))
        .collect();
    let machine_h: f64 = r.capacity * made.iter().map(|(_, t)| t.per_year.to_h()).sum::<f64>();
    let attended_h: f64 = r.capacity * made.iter().map(|(p, t)| attended_h(p, t)).sum::<f64>();
    let cut_h: f64 = r.capacity
        * made
            .iter()
            .map(|(p, t)| t.cycle.cut.to_h() * p.per_year.likely.to_number())
            .sum::<f64>();
    let prefix = format!("offers/{}", r.offer.id);
    let band = |name: &str, count: f64, band: default::Band, why: &str| {
        let [low, likely, high] = band.dollars.map(|d| usd.money(d * count));
        let id = format!("{prefix}/running/{name}");
        Line::fixed(
            name,
            Value::assumed(id, low, likely, high, &usd.source(band.source)),
            why,
        )
    };
    let spindle_kw = r.machine.properties.spindle_power.estimate();
    let kwh = machine_h * (IDLE_KW + LOAD * spindle_kw.map_or(2.0, |p| p.to_kw()));
    let mut lines = vec![
        times(
            "labour",
            attended_h,
            &r.shop.hour_cost,
            &prefix,
            texts::LABOUR,
        ),
        band("cutters", cut_h, default::CUTTERS_PER_HOUR, texts::CUTTERS),
        band("power", kwh, default::KWH, texts::POWER),
        band("coolant", 1.0, default::COOLANT_YEAR, texts::COOLANT_YEAR),
        band("software", 1.0, default::SOFTWARE, texts::SOFTWARE_YEAR),
    ];
    for (part, _) in &made {
        if let Some(price) = &part.stock_price {
            lines.push(Line {
                name: format!("stock: {}", part.name),
                amount: Amount::Times {
                    count: scaled(&part.per_year, r.capacity),
                    each: price.clone(),
                },
                why: texts::STOCK.to_owned(),
            });
        }
    }
    if let Some(Amount::Fixed(price)) = r.price.map(|l| &l.amount) {
        let age = r
            .offer
            .properties
            .year
            .as_ref()
            .map(|y| (f64::from(r.year) - y.likely.to_number()).max(0.0));
        for (name, share, source, why) in [
            (
                "upkeep",
                default::upkeep(age, r.offer.condition),
                default::UPKEEP_SOURCE,
                texts::UPKEEP,
            ),
            (
                "insurance",
                default::INSURANCE,
                default::INSURANCE_SOURCE,
                texts::INSURANCE,
            ),
        ] {
            let [low, likely, high] = share.map(Number::of);
            let id = format!("{prefix}/running/{name}");
            lines.push(Line {
                name: name.to_owned(),
                amount: Amount::Times {
                    count: Value::assumed(id, low, likely, high, source),
                    each: price.clone(),
                },
                why: why.to_owned(),
            });
        }
    }
    lines
}

/// A number and its spread times a factor; the same input.
pub(super) fn scaled(value: &Value<Number>, k: f64) -> Value<Number> {
    let k = k.clamp(0.0, 1.0);
    let spread = match value.spread {
        Spread::None => Spread::None,
        Spread::Range { low, high } => Spread::Range {
            low: low * k,
            high: high * k,
        },
        Spread::LowLikelyHigh { low, likely, high } => Spread::LowLikelyHigh {
            low: low * k,
            likely: likely * k,
            high: high * k,
        },
    };
    Value {
        likely: value.likely * k,
        spread,
        ..value.clone()
    }
}

/// Attended hours a year of a part: every piece's attended time and every batch's setting up.
fn attended_h(part: &Part, time: &PartTime) -> f64 {
    let pieces = part.per_year.likely.to_number();
    let batch = part.batch.likely.to_number().max(1.0);
    time.attended.to_h() * pieces + time.batch_setup.to_h() * (pieces / batch).ceil()
}

fn times(name: &str, hours: f64, each: &Value<Money>, prefix: &str, why: &str) -> Line {
    Line {
        name: name.to_owned(),
        amount: Amount::Times {
            count: Value {
                id: InputId(format!("{prefix}/running/{name}")),
                likely: Number::from_base(hours),
                spread: Spread::None,
                origin: Origin::Measured {
                    from: "the parts' times on this machine".to_owned(),
                },
                group: None,
            },
            each: each.clone(),
        },
        why: why.to_owned(),
    }
}
