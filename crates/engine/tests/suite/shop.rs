//! A small shop, class and offer for tests; names and numbers are invented.

use engine::entered::{Aim, Shop};
use engine::ids::{ClassId, OfferId};
use engine::machine::{
    ClassProperties, Condition, EnteredProperties, MachineClass, Offer, SaleOption,
};
use engine::money::{Amount, Line};
use units::{Currency, Mass, Money, Number, Place, Time, Value};

pub fn stated(id: &str, amount: f64) -> Value<Money> {
    Value::stated(id, Money::amount(amount), Place::default())
}

pub fn band(id: &str, [low, likely, high]: [f64; 3]) -> Value<Money> {
    let [low, likely, high] = [low, likely, high].map(Money::amount);
    Value::assumed(id, low, likely, high, "test")
}

pub fn number(id: &str, likely: f64) -> Value<Number> {
    Value::stated(id, Number::of(likely), Place::default())
}

pub fn shop(budget: f64) -> Shop {
    Shop {
        name: "test".into(),
        place: Place::default(),
        currency: Currency::USD,
        us_units: true,
        budget: stated("shop/budget", budget),
        keep_chance: 0.8,
        over_budget_rate: number("shop/over_budget", 0.25),
        aim: Aim::Capability,
        machines: 1,
        hours_per_year: Value::stated("shop/hours", Time::h(800.0), Place::default()),
        hour_cost: stated("shop/hour_cost", 30.0),
        tax_share: number("shop/tax", 0.07),
        horizon_years: number("shop/horizon", 5.0),
        discount: number("shop/discount", 0.06),
        costs: Vec::new(),
        risks: Vec::new(),
        yearly: Vec::new(),
        finance: engine::entered::Finance::default(),
        income_tax: None,
        paid: Vec::new(),
        owned: Vec::new(),
        tools: Default::default(),
        rates: Vec::new(),
        seed: 11,
    }
}

pub fn class() -> MachineClass {
    MachineClass {
        id: ClassId::new("centre-40"),
        name: "40-taper centre".into(),
        properties: ClassProperties {
            weight: Some(Value::assumed(
                "class/weight",
                Mass::kg(2000.0),
                Mass::kg(2800.0),
                Mass::kg(4500.0),
                "test",
            )),
            ..ClassProperties::default()
        },
        taper: "CAT40".parse().ok(),
        price_new: Some(band("class/new", [45e3, 60e3, 90e3])),
        price_used: Some(band("class/used", [9e3, 18e3, 40e3])),
        source: "test".into(),
    }
}

pub fn offer(price: Option<f64>) -> Offer {
    Offer {
        id: OfferId::new("used"),
        name: "a used centre".into(),
        place: Place::default(),
        class: ClassId::new("centre-40"),
        condition: Condition::Used,
        properties: EnteredProperties {
            price: price.map(|p| stated("offers/used/price", p)),
            ..EnteredProperties::default()
        },
        taper: None,
        control: None,
        options: vec![SaleOption {
            name: "changer".into(),
            price: stated("offers/used/changer", 2500.0),
            gives: Vec::new(),
            warranty_months: None,
            taken: false,
        }],
        costs: Vec::new(),
        premium_share: 0.0,
        delivered: false,
        includes: Vec::new(),
        closes: None,
        terms: engine::machine::SaleTerms::default(),
        dismantling: Vec::new(),
        removal: engine::entered::Removal::default(),
        risks: Vec::new(),
    }
}

/// Amount of a fixed line at its likely value, of all lines together where the name stands before a
/// colon.
pub fn likely(lines: &[Line], name: &str) -> Option<f64> {
    let own = |l: &&Line| {
        l.name == name
            || l.name
                .split_once(": ")
                .is_some_and(|(head, _)| head == name)
    };
    let amounts: Vec<f64> = lines
        .iter()
        .filter(own)
        .filter_map(|line| match &line.amount {
            Amount::Fixed(v) => Some(v.likely.to_amount()),
            _ => None,
        })
        .collect();
    (!amounts.is_empty()).then(|| amounts.iter().sum())
}
