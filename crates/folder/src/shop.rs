//! `shop.toml`: people, hours, money, aim.

use crate::document::Node;
use crate::finance;
use crate::quantity::{self, Least};
use crate::rates::Rates;
use crate::risks;
use crate::section::Section;
use crate::texts::{self, Wrong};
use engine::entered::{Aim, CostLine, OwnTools, Shop};
use units::{Currency, Entered, ExchangeRate, Money, Number, Quantity, Time, Value};

/// The shop, and the rates every other file is read with. Without a currency that can be read the
/// US dollar stands in, so that the rest of the folder is still checked.
pub(crate) fn read(section: Section<'_>) -> (Option<Shop>, Rates) {
    section.require("currency", "the money the budget is in: currency = \"USD\"");
    section.require("budget", "what may be spent in all: budget = \"$42,000\"");
    let stated = section.with("currency", |node| match node {
        Node::Text(text) => text.parse::<Currency>().map_err(|_| {
            texts::expected_hint(
                "a currency",
                &node.describe(),
                "write its three-letter code, such as USD, EUR or GBP",
            )
        }),
        other => Err(texts::expected(
            "a currency code such as USD",
            &other.describe(),
        )),
    });
    let mut rates = Rates {
        own: stated.unwrap_or(Currency::USD),
        rates: Vec::new(),
        excused: Vec::new(),
        all_excused: stated.is_none(),
    };
    if let Some(inner) = section.section("rates") {
        exchange_rates(&inner, &mut rates);
    }
    let currency = rates.own;
    let place = section.place();
    let budget = section.money("budget", "shop", Least::AboveZero, &rates);
    let shop = Shop {
        name: section
            .text("name")
            .unwrap_or_else(|| "The shop".to_owned()),
        place,
        currency,
        us_units: section
            .choice("units", &[("us", true), ("metric", false)])
            .unwrap_or(currency == Currency::USD),
        budget: budget.clone().unwrap_or_else(|| {
            Value::stated("shop/budget", Money::ZERO, section.place_of("budget"))
        }),
        // Four in five is the usual promise of a careful estimate; common practice, no source.
        keep_chance: keep_chance(&section).unwrap_or(0.8),
        over_budget_rate: share(&section, "over_budget").unwrap_or_else(|| {
            Value::assumed(
                "shop/over_budget",
                Number::percent(10.0),
                Number::percent(25.0),
                Number::percent(50.0),
                texts::OVER_BUDGET_SOURCE,
            )
        }),
        aim: section
            .choice(
                "aim",
                &[("capability", Aim::Capability), ("value", Aim::Value)],
            )
            .unwrap_or(Aim::Capability),
        machines: section.with("machines", machines).unwrap_or(1),
        hours_per_year: hours(&section).unwrap_or_else(|| {
            Value::assumed(
                "shop/hours_per_year",
                Time::h(200.0),
                Time::h(500.0),
                Time::h(1000.0),
                texts::HOURS_SOURCE,
            )
        }),
        hour_cost: hour_cost(&section, &rates),
        tax_share: share(&section, "tax").unwrap_or_else(|| {
            Value::assumed(
                "shop/tax",
                Number::ZERO,
                Number::percent(6.0),
                Number::percent(10.0),
                texts::TAX_SOURCE,
            )
        }),
        horizon_years: years(&section).unwrap_or_else(|| {
            Value::assumed(
                "shop/horizon",
                Number::of(4.0),
                Number::of(7.0),
                Number::of(10.0),
                texts::HORIZON_SOURCE,
            )
        }),
        discount: share(&section, "discount").unwrap_or_else(|| {
            Value::assumed(
                "shop/discount",
                Number::percent(3.0),
                Number::percent(7.0),
                Number::percent(12.0),
                texts::DISCOUNT_SOURCE,
            )
        }),
        costs: section
            .section("costs")
            .map(|s| cost_lines(&s, "shop/costs", &rates))
            .unwrap_or_default()
            .into_iter()
            .map(|(name, amount)| CostLine { name, amount })
            .collect(),
        risks: risks::read(&section, "shop", &rates),
        yearly: section
            .section("yearly")
            .map(|s| cost_lines(&s, "shop/yearly", &rates))
            .unwrap_or_default()
            .into_iter()
            .map(|(name, amount)| CostLine { name, amount })
            .collect(),
        finance: section
            .section("finance")
            .map(|s| {
                let read = finance::finance(&s, &rates);
                s.finish();
                read
            })
            .unwrap_or_default(),
        income_tax: section.section("income_tax").and_then(|s| {
            let read = finance::income_tax(&s);
            s.finish();
            read
        }),
        paid: Vec::new(),
        owned: section.texts("owned"),
        tools: OwnTools::default(),
        rates: rates.rates.clone(),
        seed: section.with("seed", seed).unwrap_or(1),
    };
    section.finish();
    (budget.is_some().then_some(shop), rates)
}

/// Cost lines by names the user chose.
pub(crate) fn cost_lines(
    section: &Section<'_>,
    id: &str,
    rates: &Rates,
) -> Vec<(String, Value<Money>)> {
    let mut lines = Vec::new();
    for (name, located) in section.every() {
        match crate::section::money(&located.node, Least::Zero, rates) {
            Ok(read) => lines.push((
                name.to_owned(),
                read.value(format!("{id}/{name}"), section.place_of(name)),
            )),
            Err(wrong) => section.wrong(name, wrong),
        }
    }
    lines
}

fn exchange_rates(section: &Section<'_>, rates: &mut Rates) {
    for (code, located) in section.every() {
        let from = match code.parse::<Currency>() {
            Ok(from) if from == rates.own => {
                section.wrong(code, texts::own_rate(code));
                continue;
            }
            Ok(from) => from,
            Err(why) => {
                let hint = "write it like USD, EUR, GBP";
                section.wrong(code, texts::expected_hint("a currency code", &why, hint));
                continue;
            }
        };
        match exchange_rate(section, code, &located.node, from, rates.own) {
            Some(rate) => rates.rates.push(rate),
            None => rates.excused.push(from),
        }
    }
    rates.rates.sort_by_key(|r| r.from);
}

fn exchange_rate(
    section: &Section<'_>,
    code: &str,
    node: &Node,
    from: Currency,
    own: Currency,
) -> Option<ExchangeRate> {
    let Node::Table(table) = node else {
        let hint = format!("write {code} = {{ rate = 1.08, on = \"2026-11-02\" }}");
        let wrong = texts::expected_hint("a rate with its day", &node.describe(), &hint);
        section.wrong(code, wrong);
        return None;
    };
    let inner = section.below(table);
    inner.require(
        "rate",
        &format!("what one {code} is worth in {own}: rate = 1.08"),
    );
    inner.require("on", "the day it was read: on = \"2026-11-02\"");
    let rate: Option<Number> = inner.plain("rate", Least::AboveZero);
    let on = inner.with("on", date);
    inner.finish();
    Some(ExchangeRate {
        from,
        rate: rate?.to_number(),
        on: on?,
    })
}

fn keep_chance(section: &Section<'_>) -> Option<f64> {
    let key = "keep_chance";
    let chance = share(section, key)?.likely.to_number();
    if (0.01..=0.99).contains(&chance) {
        return Some(chance);
    }
    section.wrong(key, texts::chance(chance));
    None
}

/// The default is a sum of dollars: in a folder of another currency without a rate for them the
/// cost of an hour must be stated.
fn hour_cost(section: &Section<'_>, rates: &Rates) -> Value<Money> {
    let key = "hour_cost";
    if let Some(stated) = section.money(key, "shop", Least::Zero, rates) {
        return stated;
    }
    let rate = rates.of(Currency::USD);
    if rate.is_none() && !rates.all_excused && !rates.excused.contains(&Currency::USD) {
        section.require(key, "what an hour of your work costs: hour_cost = 40");
    }
    let of = |dollars: f64| Money::amount(dollars * rate.unwrap_or(1.0));
    Value::assumed(
        format!("shop/{key}"),
        of(15.0),
        of(35.0),
        of(75.0),
        texts::HOUR_COST_SOURCE,
    )
}

/// A calendar day.
pub(crate) fn date(node: &Node) -> Result<jiff::civil::Date, Wrong> {
    match node {
        Node::Text(text) | Node::Date(text) => text
            .trim()
            .parse()
            .map_err(|_| texts::bad_date(&node.describe())),
        other => Err(texts::bad_date(&other.describe())),
    }
}

/// A share of at most the whole: "8 %" or 0.08.
pub(crate) fn share(section: &Section<'_>, key: &'static str) -> Option<Value<Number>> {
    let read: Value<Number> = section.value(key, "shop", Least::Zero)?;
    if read.ends().1.to_number() > 1.0 {
        section.wrong(key, texts::share(read.ends().1.to_number()));
        return None;
    }
    Some(read)
}

/// Hours a year: the key names the unit, so a bare number will do.
fn hours(section: &Section<'_>) -> Option<Value<Time>> {
    let key = "hours_per_year";
    let read: Entered<Time> = section.with(key, |node| {
        let bare = quantity::quantity::<Number>(node, Least::AboveZero);
        let read = match (node, bare) {
            (Node::Number(_), bare) => scaled(bare?, 3600.0),
            (_, Ok(bare)) => scaled(bare, 3600.0),
            (_, Err(_)) => quantity::quantity::<Time>(node, Least::AboveZero)?,
        };
        // A year has 8784 hours at most.
        quantity::range(
            read.ends().0.to_h(),
            read.ends().1.to_h(),
            Least::AboveZero,
            8784.0,
            "time a year",
            "h",
        )?;
        Ok(read)
    })?;
    Some(read.value(format!("shop/{key}"), section.place_of(key)))
}

/// The same with every number multiplied, as another quantity.
pub(crate) fn scaled<Q: Quantity>(read: Entered<Number>, by: f64) -> Entered<Q> {
    let value: Value<Number> = read.value("", units::Place::default());
    let to = |n: Number| Q::from_base(n.to_number() * by);
    Entered {
        likely: to(value.likely),
        spread: value.spread.map(to),
        remarks: Vec::new(),
    }
}

/// A number of years, with or without the word.
fn years(section: &Section<'_>) -> Option<Value<Number>> {
    let read = section.with("horizon", |node| {
        let node = match node {
            Node::Text(text) => {
                let plain = text.trim();
                let bare = ["years", "year", "a"]
                    .iter()
                    .find_map(|word| plain.strip_suffix(word));
                Node::Text(bare.unwrap_or(plain).trim().to_owned())
            }
            other => other.clone(),
        };
        let read = quantity::quantity::<Number>(&node, Least::AboveZero)?;
        quantity::range(
            read.ends().0.to_number(),
            read.ends().1.to_number(),
            Least::AboveZero,
            50.0,
            "horizon",
            "years",
        )?;
        Ok(read)
    })?;
    Some(read.value("shop/horizon", section.place_of("horizon")))
}

/// Most machines to buy: one to three.
fn machines(node: &Node) -> Result<usize, Wrong> {
    match node {
        Node::Number(n) if (1.0..=3.0).contains(n) && n.fract() == 0.0 => Ok(*n as usize),
        other => Err(texts::bad_machines(&other.describe())),
    }
}

fn seed(node: &Node) -> Result<u64, Wrong> {
    match node {
        Node::Number(n) if *n >= 0.0 && n.fract() == 0.0 && *n <= 9.0e15 => Ok(*n as u64),
        other => Err(texts::bad_seed(&other.describe())),
    }
}
