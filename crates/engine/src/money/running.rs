//! What a year with the machine costs.

use super::default::{self, Band};
use super::line::{Amount, Line};
use super::names::same_name;
use super::stated::put;
use super::texts;
use crate::cycle::{HourDoubt, PartTime, hands};
use crate::demand::Demand;
use crate::entered::{Part, Shop};
use crate::ids::PartId;
use crate::machine::{Machine, MachineClass, Offer};
use crate::material::{Materials, PIVOT_CHIP};
use crate::site::UsdRate;
use units::{InputId, Money, Number, Origin, Quantity, Spread, Time, Value};

/// A part's money.
#[derive(Clone, Debug, PartialEq)]
pub struct PartMoney<'a> {
    /// The part as entered.
    pub part: &'a Part,
    /// Its time on the machine; `None` when it cannot be made there.
    pub time: Option<&'a PartTime>,
    /// What it demands, for its raw stock and the work of cutting it; `None` leaves both out.
    pub demand: Option<&'a Demand>,
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
    /// Materials at their best single values.
    pub materials: &'a Materials,
    /// Share of the parts' yearly hours the shop can give, 1 when all.
    pub capacity: f64,
    /// The year of the study, for ages.
    pub year: i16,
}

/// True for yearly lines that grow with the pieces made; the others stand whatever is made.
pub(super) fn follows_pieces(name: &str) -> bool {
    const FOLLOW: [&str; 8] = [
        "labour",
        "labour, unattended",
        "cutters",
        "power",
        "stock",
        "sawing",
        "finishing",
        "downtime",
    ];
    FOLLOW.contains(&name.split(':').next().unwrap_or(name))
}

/// True for yearly lines that every machine has by itself, stated or not. Software, and what a shop
/// states beside the usual lines, such as its rent, comes once whatever the number of machines.
pub(crate) fn of_each_machine(name: &str) -> bool {
    let usual = ["coolant", "floor", "upkeep", "insurance"];
    follows_pieces(name) || usual.iter().any(|own| same_name(own, name))
}

/// Hours and pieces of a year on the machine, as far as the shop can give them.
#[derive(Default)]
struct Year {
    machine_h: f64,
    attended_h: f64,
    cut_h: f64,
    pieces: f64,
    /// Work at the cut, kWh.
    cut_kwh: f64,
}

impl Year {
    fn of(r: &Running<'_>) -> Self {
        let mut year = Self::default();
        for (p, time) in r.parts.iter().filter_map(|p| Some((p, p.time?))) {
            year.machine_h += time.per_year.to_h();
            year.attended_h += time.attended_per_year.to_h();
            year.cut_h += time.cycle.cut.to_h() * time.started_per_year;
            year.pieces += time.started_per_year;
            if let Some(demand) = p.demand {
                year.cut_kwh += cut_kwh(demand, r.materials) * time.started_per_year;
            }
        }
        for sum in [
            &mut year.machine_h,
            &mut year.attended_h,
            &mut year.cut_h,
            &mut year.pieces,
            &mut year.cut_kwh,
        ] {
            *sum *= r.capacity;
        }
        year
    }
}

/// Work of cutting a piece: the volume removed times the specific cutting force at a usual chip, over
/// the share of the power that reaches the cut.
fn cut_kwh(demand: &Demand, materials: &Materials) -> f64 {
    let Some(material) = materials.0.get(&demand.material) else {
        return 0.0;
    };
    let chip = PIVOT_CHIP.to_mm();
    let kc_mpa = material.kc11.likely.to_mpa() * chip.powf(-material.mc.likely.to_number());
    // One MPa is one joule a cubic centimetre.
    drawn_kwh(
        kc_mpa * demand.removed.to_cm3() / 3.6e6,
        default::CUT_EFFICIENCY,
    )
}

/// Drawn from the supply for work done at the other end, kWh.
pub fn drawn_kwh(work_kwh: f64, efficiency: f64) -> f64 {
    work_kwh / efficiency
}

/// Yearly lines of a practised year. The price itself is not among them; lines that are shares of it
/// are turned into products of share and price.
pub fn per_year(r: &Running<'_>) -> Vec<Line> {
    let usd = UsdRate::of(r.shop);
    let year = Year::of(r);
    let prefix = format!("offers/{}", r.offer.id);
    let hour = &r.shop.hour_cost;
    let band = |name: &str, count: f64, band: Band, why: &str| {
        let [low, likely, high] = band.dollars.map(|d| usd.money(d * count));
        let id = format!("{prefix}/running/{name}");
        let amount = Value::assumed(id, low, likely, high, &usd.source(band.source));
        Line::fixed(name, amount, why)
    };
    // The same whichever machine is bought, so one input for all offers.
    let shared = |name: &str, ends: [f64; 3], each: &Value<Money>, why: &str| {
        times(name, assumed(&format!("running/{name}"), ends), each, why)
    };
    let own = |name: &str, ends: [f64; 3], each: &Value<Money>, why: &str| {
        let id = format!("{prefix}/running/{name}");
        times(name, assumed(&id, ends), each, why)
    };
    let weight = r.machine.properties.weight.estimate();
    let alone_h = (year.machine_h - year.attended_h).max(0.0);
    let spindle_kw = r.machine.properties.spindle_power.estimate();
    let spindle_kw = spindle_kw.map_or(default::SPINDLE_KW, |p| p.to_kw());
    let doubt = HourDoubt::of(r.parts.iter().filter_map(|p| p.time));
    let by_hand = (doubt.hands != [0.0; 2]).then(hands);
    let doubt = doubt.of_cutting();
    // What is given of the parts' hours is in as much doubt in proportion.
    let factor = |hours: f64| {
        let all = Time::h(hours / r.capacity.max(1e-9));
        doubt.factor(&r.offer.id.0, all)
    };
    let idle_kwh = default::IDLE.map(|(kw, share)| (kw + share * spindle_kw) * year.machine_h);
    let [low, likely, high] = default::KWH.dollars.map(|d| usd.money(d));
    let source = usd.source(default::KWH.source);
    let kwh = Value::assumed("running/kwh", low, likely, high, &source);
    let age = age(r);
    let lead = match &r.offer.terms.parts_lead_days {
        Some(days) => {
            let (low, high) = days.ends();
            [low, days.likely, high].map(|d| d.to_number())
        }
        None => default::parts_lead_days(age, r.offer.condition),
    };
    let stops = default::stoppages(age, r.offer.condition);
    let hours_a_day = year.machine_h / default::DAYS_A_YEAR;
    let standing = [0, 1, 2].map(|k| stops[k] * lead[k] * hours_a_day);
    let footprint = r
        .machine
        .properties
        .length
        .estimate()
        .zip(r.machine.properties.width.estimate());
    let footprint_m2 = footprint.map_or(default::FOOTPRINT_M2, |(l, w)| l.to_m() * w.to_m());
    let mut lines = vec![
        times(
            "labour",
            measured(&prefix, "labour", year.attended_h),
            hour,
            texts::LABOUR,
        )
        .scaled_by(by_hand),
        own(
            "labour, unattended",
            default::WATCHING.map(|s| s * alone_h),
            hour,
            texts::UNATTENDED,
        )
        .scaled_by(factor(alone_h)),
        band(
            "cutters",
            year.cut_h,
            default::CUTTERS_PER_HOUR,
            texts::CUTTERS,
        )
        .scaled_by(factor(year.cut_h)),
        own(
            "power",
            idle_kwh.map(|idle| idle + year.cut_kwh),
            &kwh,
            texts::POWER,
        )
        .scaled_by(factor(year.machine_h)),
        shared(
            "sawing",
            default::SAWING_MIN.map(|m| m / 60.0 * year.pieces),
            hour,
            texts::SAWING,
        ),
        shared(
            "finishing",
            default::FINISHING_MIN.map(|m| m / 60.0 * year.pieces),
            hour,
            texts::FINISHING,
        ),
        band("coolant", 1.0, default::COOLANT_YEAR, texts::COOLANT_YEAR),
        band(
            "software",
            1.0,
            default::software(weight),
            texts::SOFTWARE_YEAR,
        ),
        band(
            "floor",
            footprint_m2 * default::ROOM_AROUND,
            default::FLOOR,
            texts::FLOOR,
        ),
        own("downtime", standing, hour, texts::DOWNTIME).scaled_by(factor(year.machine_h)),
    ];
    lines.extend(r.parts.iter().filter_map(|p| stock(r, p)));
    if let Some(Amount::Fixed(price)) = r.price.map(|l| &l.amount) {
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
            let count = Value::assumed(id, low, likely, high, source);
            lines.push(times(name, count, price, why));
        }
    }
    for cost in &r.shop.yearly {
        put(&mut lines, &cost.name, &cost.amount, texts::STATED);
    }
    lines
}

/// What the first year costs on top of a practised one.
pub fn first_year(r: &Running<'_>) -> Vec<Line> {
    let extra_h: f64 = r
        .parts
        .iter()
        .filter_map(|p| p.time)
        .map(|t| (t.first_year.to_h() - t.per_year.to_h()).max(0.0))
        .sum();
    let prefix = format!("offers/{}", r.offer.id);
    let count = measured(&prefix, "first year", r.capacity * extra_h);
    vec![times(
        "first year",
        count,
        &r.shop.hour_cost,
        texts::FIRST_YEAR,
    )]
}

fn age(r: &Running<'_>) -> Option<f64> {
    let year = r.offer.properties.year.as_ref()?;
    Some((f64::from(r.year) - year.likely.to_number()).max(0.0))
}

/// Raw stock of a part: at its stated price, or by weight at the usual price of the material.
fn stock(r: &Running<'_>, p: &PartMoney<'_>) -> Option<Line> {
    let time = p.time?;
    let pieces = p.part.per_year.likely.to_number();
    let scrap = if pieces > 0.0 {
        (time.started_per_year / pieces).max(1.0)
    } else {
        1.0
    };
    let each = match (&p.part.stock_price, p.demand) {
        (Some(price), _) => price.clone(),
        (None, Some(demand)) => {
            let kg = r
                .materials
                .0
                .get(&demand.material)?
                .stock_price_kg
                .as_ref()?;
            multiplied(kg, demand.stock_mass.to_kg())
        }
        (None, None) => return None,
    };
    let count = multiplied(&p.part.per_year, r.capacity.clamp(0.0, 1.0) * scrap);
    Some(times(
        &format!("stock: {}", p.part.name),
        count,
        &each,
        texts::STOCK,
    ))
}

/// A number and its spread times a share; the same input.
pub(super) fn scaled(value: &Value<Number>, k: f64) -> Value<Number> {
    multiplied(value, k.clamp(0.0, 1.0))
}

/// A quantity and its spread times a factor of at least nothing; the same input.
fn multiplied<Q: Quantity>(value: &Value<Q>, k: f64) -> Value<Q> {
    let by = |q: Q| Q::from_base(q.base() * k);
    Value {
        likely: by(value.likely),
        spread: value.spread.map(by),
        ..value.clone()
    }
}

fn assumed(id: &str, [low, likely, high]: [f64; 3]) -> Value<Number> {
    let [low, likely, high] = [low, likely, high].map(Number::of);
    Value::assumed(id, low, likely, high, default::FROM_MEMORY)
}

fn measured(prefix: &str, name: &str, hours: f64) -> Value<Number> {
    Value {
        id: InputId(format!("{prefix}/running/{name}")),
        likely: Number::of(hours),
        spread: Spread::None,
        origin: Origin::Measured {
            from: "the parts' times on this machine".to_owned(),
        },
        group: None,
    }
}

fn times(name: &str, count: Value<Number>, each: &Value<Money>, why: &str) -> Line {
    Line {
        name: name.to_owned(),
        amount: Amount::Times {
            count,
            each: each.clone(),
        },
        why: why.to_owned(),
    }
}
