//! Drawings of money: what may be spent on the machine, what a purchase adds up to, what moves it,
//! how sure the choice is, which questions are worth asking.

use super::rows::{Row, Rows};
use super::scene::{Fill, Scene};
use super::texts;
use crate::choice::{Question, WorthUnit};
use crate::ids::OfferId;
use crate::money::{AllIn, Ceiling, Driver, LineSummary};
use units::{Currency, Money, show_money};

/// How amounts and names are written.
#[derive(Clone, Copy)]
pub struct Names<'a> {
    /// Currency of every amount.
    pub currency: Currency,
    /// What people call an offer.
    pub offer: &'a dyn Fn(&OfferId) -> String,
}

impl Names<'_> {
    /// An amount to three digits.
    pub(super) fn amount(&self, amount: f64) -> String {
        self.money(amount)
    }

    fn money(&self, amount: f64) -> String {
        show_money(Money::amount(amount), Some(self.currency), 3)
    }
}

/// Highest price to look at, class by class, beside what the class usually costs.
pub fn ceilings(ceilings: &[Ceiling], names: &Names<'_>) -> Scene {
    let rows = ceilings
        .iter()
        .map(|c| {
            let usual = c.usual.map(|u| (u[0].to_amount(), u[2].to_amount()));
            let price = c.room.price.map(|p| p.to_amount());
            let below = usual.is_some_and(|(least, _)| price.is_none_or(|p| p < least));
            Row {
                label: format!("{}: {}", c.condition.word(), c.name),
                bar: usual,
                fill: Fill::Machine,
                mark: price,
                whisker: Some((
                    c.room.low.to_amount().max(0.0),
                    c.room.high.to_amount().max(0.0),
                )),
                note: match price {
                    None => texts::NO_ROOM.to_owned(),
                    Some(price) if below => texts::below_usual(&names.money(price)),
                    Some(price) => texts::up_to(&names.money(price)),
                },
                short: below,
            }
        })
        .collect();
    Rows {
        id: "ceilings".to_owned(),
        title: texts::CEILINGS.to_owned(),
        description: texts::CEILINGS_WORDS.to_owned(),
        axis_label: texts::CEILINGS_AXIS.to_owned(),
        reference: None,
        rows,
        legend: texts::CEILINGS_LEGEND.to_owned(),
        with_zero: true,
    }
    .scene(|v| names.money(v))
}

/// Lines of an all-in cost piled up to the sum, held against the budget.
pub fn build_up(name: &str, all_in: &AllIn, budget: Money, names: &Names<'_>) -> Scene {
    let mut rows = Vec::new();
    let mut sum = 0.0;
    for line in piled(&all_in.lines) {
        let next = sum + line.amount;
        rows.push(Row {
            label: line.label,
            bar: Some((sum, next)),
            fill: if line.assumed {
                Fill::Spare
            } else {
                Fill::Machine
            },
            mark: None,
            whisker: None,
            note: if line.assumed {
                texts::assumed(&names.money(line.amount))
            } else {
                names.money(line.amount)
            },
            short: false,
        });
        sum = next;
    }
    let p = &all_in.percentiles;
    let over = p.p80 > budget;
    rows.push(Row {
        label: texts::ALL_IN.to_owned(),
        bar: Some((0.0, p.p50.to_amount())),
        fill: Fill::Part,
        mark: Some(p.p80.to_amount()),
        whisker: Some((p.p10.to_amount(), p.p90.to_amount())),
        note: texts::eight_in_ten(&names.money(p.p80.to_amount())),
        short: over,
    });
    Rows {
        id: format!("build-up-{name}"),
        title: texts::build_up(name),
        description: texts::build_up_words(
            name,
            &names.money(p.p50.to_amount()),
            &names.money(p.p80.to_amount()),
            &names.money(budget.to_amount()),
        ),
        axis_label: texts::MONEY.to_owned(),
        reference: Some((budget.to_amount(), texts::BUDGET.to_owned())),
        rows,
        legend: texts::BUILD_UP_LEGEND.to_owned(),
        with_zero: true,
    }
    .scene(|v| names.money(v))
}

struct Piled {
    label: String,
    amount: f64,
    assumed: bool,
}

/// Rows of a build-up at most; the smallest lines are put together.
const PILED: usize = 14;

fn piled(lines: &[LineSummary]) -> Vec<Piled> {
    let shown = |line: &LineSummary| line.likely.to_amount() != 0.0;
    let mut sizes: Vec<f64> = lines.iter().map(|l| l.likely.to_amount().abs()).collect();
    sizes.sort_by(|a, b| b.total_cmp(a));
    let least = sizes.get(PILED - 1).copied().unwrap_or(0.0);
    let (mut piled, mut rest, mut assumed) = (Vec::new(), 0.0, false);
    for line in lines.iter().filter(|l| shown(l)) {
        let amount = line.likely.to_amount();
        if amount.abs() >= least && piled.len() < PILED {
            piled.push(Piled {
                label: line.name.clone(),
                amount,
                assumed: line.origin == "assumed",
            });
        } else {
            rest += amount;
            assumed |= line.origin == "assumed";
        }
    }
    if rest != 0.0 {
        piled.push(Piled {
            label: texts::REST.to_owned(),
            amount: rest,
            assumed,
        });
    }
    piled
}

/// Rows of a tornado and of a question drawing at most.
const MOST: usize = 10;

/// What moves a sum, the strongest first.
pub fn tornado(name: &str, likely: Money, drivers: &[Driver], names: &Names<'_>) -> Scene {
    let rows = drivers
        .iter()
        .take(MOST)
        .map(|driver| {
            let (low, high) = (driver.at_low.to_amount(), driver.at_high.to_amount());
            let own = driver.input.0.rsplit('/').next().unwrap_or_default();
            Row {
                label: own.replace('_', " "),
                bar: Some((low.min(high), low.max(high))),
                fill: Fill::Machine,
                mark: None,
                whisker: None,
                note: texts::share_of_doubt(driver.variance_share),
                short: false,
            }
        })
        .collect();
    Rows {
        id: format!("tornado-{name}"),
        title: texts::tornado(name),
        description: texts::TORNADO_WORDS.to_owned(),
        axis_label: texts::ALL_IN.to_owned(),
        reference: Some((likely.to_amount(), texts::LIKELY.to_owned())),
        rows,
        legend: texts::TORNADO_LEGEND.to_owned(),
        with_zero: false,
    }
    .scene(|v| names.money(v))
}

/// How often each purchase is the best in the common draws.
pub fn confidence(chances: &[(OfferId, f64)], none: f64, names: &Names<'_>) -> Scene {
    let mut rows: Vec<Row> = chances
        .iter()
        .map(|(offer, chance)| share_row((names.offer)(offer), *chance))
        .collect();
    rows.push(share_row(texts::NOTHING.to_owned(), none));
    Rows {
        id: "confidence".to_owned(),
        title: texts::CONFIDENCE.to_owned(),
        description: texts::CONFIDENCE_WORDS.to_owned(),
        axis_label: texts::CONFIDENCE_AXIS.to_owned(),
        reference: None,
        rows,
        legend: texts::CONFIDENCE_LEGEND.to_owned(),
        with_zero: true,
    }
    .scene(texts::percent)
}

fn share_row(label: String, share: f64) -> Row {
    Row {
        label,
        bar: Some((0.0, share)),
        fill: Fill::Part,
        mark: None,
        whisker: None,
        note: texts::percent(share),
        short: false,
    }
}

/// What the questions worth most are worth.
pub fn questions(questions: &[Question], names: &Names<'_>) -> Scene {
    let unit = questions.first().map_or(WorthUnit::Money, |q| q.unit);
    let write = |v: f64| match unit {
        WorthUnit::Money => names.money(v),
        WorthUnit::Chance => texts::percent(v),
    };
    // What is worth nothing is not worth a bar.
    let mut worth: Vec<&Question> = questions
        .iter()
        .filter(|q| q.worth.is_some_and(|w| w > 0.0))
        .collect();
    worth.sort_by(|a, b| b.worth.unwrap_or(0.0).total_cmp(&a.worth.unwrap_or(0.0)));
    let rows = worth
        .into_iter()
        .take(MOST)
        .map(|q| {
            let (worth, error) = (q.worth.unwrap_or(0.0), q.error.unwrap_or(0.0));
            let own = q
                .input
                .rsplit('/')
                .next()
                .unwrap_or_default()
                .replace('_', " ");
            Row {
                label: match &q.offer {
                    Some(offer) => format!("{own}, {}", (names.offer)(offer)),
                    None => own,
                },
                bar: Some((0.0, worth)),
                fill: Fill::Part,
                mark: None,
                whisker: Some(((worth - error).max(0.0), worth + error)),
                note: write(worth),
                short: false,
            }
        })
        .collect();
    Rows {
        id: "questions".to_owned(),
        title: texts::QUESTIONS.to_owned(),
        description: texts::QUESTIONS_WORDS.to_owned(),
        axis_label: match unit {
            WorthUnit::Money => texts::MONEY.to_owned(),
            WorthUnit::Chance => texts::CHANCE_AXIS.to_owned(),
        },
        reference: None,
        rows,
        legend: texts::QUESTIONS_LEGEND.to_owned(),
        with_zero: true,
    }
    .scene(write)
}
