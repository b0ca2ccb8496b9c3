//! Cost lines made ready to be summed in many draws: every input's stream found once, every line
//! turned to plain numbers. A block of draws is worked on line by line, so that the loops are over
//! plain arrays.

use super::line::{Amount, Line, ShareOf};
use std::collections::BTreeMap;
use units::{Common, InputId, Number, Quantity, Spread, Stream, Value};

/// One number of a line: its input, and how the input's uniform number becomes it.
#[derive(Clone, Copy, Debug)]
struct Factor {
    input: usize,
    likely: f64,
    spread: Spread<Number>,
}

/// A line's amount.
#[derive(Clone, Copy, Debug)]
enum Term {
    /// The price of the machine.
    Price(Product),
    /// An amount or a product.
    Sum(Product),
    /// A share of other lines.
    Share(ShareOf, Factor),
}

/// One factor or two.
#[derive(Clone, Copy, Debug)]
struct Product(Factor, Option<Factor>);

/// At which values the inputs are taken.
#[derive(Clone, Copy, Debug)]
pub(super) enum At<'u> {
    /// Each at its best single value.
    Likely,
    /// Each at its best single value, but one at the quantile of a share of its spread.
    LikelyBut {
        /// Place in [`Sums::inputs`].
        input: usize,
        /// The share.
        share: f64,
    },
    /// By uniform numbers, an array per input.
    Uniform(&'u [Vec<f64>]),
}

/// Lines ready to be summed.
#[derive(Clone, Debug)]
pub(super) struct Sums {
    inputs: Vec<(InputId, Stream)>,
    terms: Vec<Term>,
    /// Per line: whether tax is charged on it.
    purchase: Vec<bool>,
}

/// Every line in some draws as a function of the price: `fixed + slope * price`; the price line
/// itself has slope 1.
#[derive(Clone, Debug, Default)]
pub(super) struct Block {
    /// The price line's own amount.
    pub price: Vec<f64>,
    /// Per line, per draw: the part that does not depend on the price.
    pub fixed: Vec<Vec<f64>>,
    /// Per line, per draw: money spent for each unit of price.
    pub slope: Vec<Vec<f64>>,
}

impl Block {
    /// Amounts of one line at the price line's own amounts.
    pub fn line(&self, line: usize) -> impl Iterator<Item = f64> {
        let parts = self.fixed[line].iter().zip(&self.slope[line]);
        parts.zip(&self.price).map(|((f, s), p)| f + s * p)
    }

    /// Sum of all lines, draw by draw.
    pub fn totals(&self) -> Vec<f64> {
        let mut totals = vec![0.0; self.price.len()];
        for line in 0..self.fixed.len() {
            for (total, amount) in totals.iter_mut().zip(self.line(line)) {
                *total += amount;
            }
        }
        totals
    }

    /// The sum as a function of the price, draw by draw.
    pub fn affine(&self) -> Vec<(f64, f64)> {
        let mut sums = vec![(0.0, 0.0); self.price.len()];
        for (fixed, slope) in self.fixed.iter().zip(&self.slope) {
            for ((sum, f), s) in sums.iter_mut().zip(fixed).zip(slope) {
                sum.0 += f;
                sum.1 += s;
            }
        }
        sums
    }
}

impl Sums {
    /// Makes the lines ready.
    pub fn new(lines: &[Line]) -> Self {
        let mut inputs = Inputs::default();
        let terms = lines
            .iter()
            .map(|line| {
                let product = match &line.amount {
                    Amount::Fixed(v) => Product(inputs.factor(v), None),
                    Amount::Times { count, each } => {
                        Product(inputs.factor(count), Some(inputs.factor(each)))
                    }
                    Amount::Share { of, share } => return Term::Share(*of, inputs.factor(share)),
                };
                if line.name == Line::PRICE {
                    Term::Price(product)
                } else {
                    Term::Sum(product)
                }
            })
            .collect();
        Self {
            inputs: inputs.list,
            terms,
            purchase: lines.iter().map(Line::is_purchase).collect(),
        }
    }

    /// The inputs the lines are made from, in the order they first occur.
    pub fn inputs(&self) -> impl ExactSizeIterator<Item = &InputId> {
        self.inputs.iter().map(|(id, _)| id)
    }

    /// Uniform numbers of draws `first..first + count`, an array per input.
    pub fn uniforms(&self, seed: u64, first: u64, count: usize) -> Vec<Vec<f64>> {
        let draws = first..first + count as u64;
        let mut groups: BTreeMap<Common, Vec<f64>> = BTreeMap::new();
        let none = vec![0.0; count];
        self.inputs
            .iter()
            .map(|(_, stream)| {
                let common = match stream.common() {
                    None => &none,
                    Some(group) => groups.entry(group).or_insert_with(|| {
                        draws
                            .clone()
                            .map(|index| group.score(seed, index))
                            .collect()
                    }),
                };
                let draws = draws.clone().zip(common);
                draws
                    .map(|(index, common)| stream.uniform_with(seed, index, *common))
                    .collect()
            })
            .collect()
    }

    /// All lines in `count` draws.
    pub fn block(&self, at: At<'_>, count: usize) -> Block {
        let zeros = vec![0.0; count];
        let mut block = Block {
            price: zeros.clone(),
            ..Block::default()
        };
        for term in &self.terms {
            let (fixed, slope) = match term {
                Term::Price(product) => {
                    block.price = product.values(at, count);
                    (zeros.clone(), vec![1.0; count])
                }
                Term::Sum(product) => (product.values(at, count), zeros.clone()),
                Term::Share(ShareOf::Price, share) => (zeros.clone(), share.values(at, count)),
                // Filled below, once what it is a share of is known.
                Term::Share(..) => (zeros.clone(), zeros.clone()),
            };
            block.fixed.push(fixed);
            block.slope.push(slope);
        }
        for of in [ShareOf::Purchase, ShareOf::Everything] {
            self.fill_shares(of, at, &mut block);
        }
        block
    }

    /// Lines that are shares of other lines: of the purchase first, then of everything, which the
    /// former belong to.
    fn fill_shares(&self, of: ShareOf, at: At<'_>, block: &mut Block) {
        let shares = || {
            self.terms
                .iter()
                .enumerate()
                .filter_map(|(line, term)| match term {
                    Term::Share(own, factor) if *own == of => Some((line, factor)),
                    _ => None,
                })
        };
        if shares().next().is_none() {
            return;
        }
        let counted = |line: &usize| of == ShareOf::Everything || self.purchase[*line];
        let sum = |columns: &[Vec<f64>]| {
            let mut sum = vec![0.0; block.price.len()];
            for line in (0..columns.len()).filter(counted) {
                for (total, amount) in sum.iter_mut().zip(&columns[line]) {
                    *total += amount;
                }
            }
            sum
        };
        let (fixed, slope) = (sum(&block.fixed), sum(&block.slope));
        for (line, factor) in shares() {
            let share = factor.values(at, fixed.len());
            let times = |sum: &[f64]| sum.iter().zip(&share).map(|(s, k)| s * k).collect();
            (block.fixed[line], block.slope[line]) = (times(&fixed), times(&slope));
        }
    }
}

impl Product {
    fn values(&self, at: At<'_>, count: usize) -> Vec<f64> {
        let mut values = self.0.values(at, count);
        if let Some(second) = &self.1 {
            for (value, times) in values.iter_mut().zip(second.values(at, count)) {
                *value *= times;
            }
        }
        values
    }
}

impl Factor {
    fn values(&self, at: At<'_>, count: usize) -> Vec<f64> {
        let quantile = |u: f64| {
            self.spread
                .quantile(u, Number::from_base(self.likely))
                .base()
        };
        match at {
            At::LikelyBut { input, share } if input == self.input => vec![quantile(share); count],
            At::Likely | At::LikelyBut { .. } => vec![self.likely; count],
            At::Uniform(us) => us[self.input].iter().map(|u| quantile(*u)).collect(),
        }
    }
}

/// An uncertain number of a cost line.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncertain {
    /// Line it belongs to.
    pub line: String,
    /// The number in base units.
    pub value: Value<Number>,
}

/// The uncertain numbers of some lines.
pub fn uncertain(lines: &[Line]) -> Vec<Uncertain> {
    let mut list = Vec::new();
    for line in lines {
        let mut add = |value: Value<Number>| {
            if value.spread != Spread::None {
                let line = line.name.clone();
                list.push(Uncertain { line, value });
            }
        };
        match &line.amount {
            Amount::Fixed(v) => add(v.in_base_units()),
            Amount::Share { share, .. } => add(share.clone()),
            Amount::Times { count, each } => {
                add(count.clone());
                add(each.in_base_units());
            }
        }
    }
    list
}

#[derive(Default)]
struct Inputs {
    list: Vec<(InputId, Stream)>,
    places: BTreeMap<InputId, usize>,
}

impl Inputs {
    fn factor<Q: Quantity>(&mut self, value: &Value<Q>) -> Factor {
        let input = *self.places.entry(value.id.clone()).or_insert_with(|| {
            self.list.push((value.id.clone(), Stream::of(value)));
            self.list.len() - 1
        });
        Factor {
            input,
            likely: value.likely.base(),
            spread: value.spread.in_base_units(),
        }
    }
}
