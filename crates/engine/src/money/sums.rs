//! Cost lines made ready to be summed in many draws: every input's stream found once, every line
//! turned to plain numbers. A block of draws is worked on line by line, so that the loops are over
//! plain arrays that stay in the processor's nearer memory.

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

/// One factor or more.
#[derive(Clone, Copy, Debug)]
struct Product(Factor, Option<Factor>, Option<Factor>);

/// At which values the inputs are taken.
#[derive(Clone, Copy, Debug)]
pub(super) enum At {
    /// Each at its best single value.
    Likely,
    /// Each at its best single value, but one at the quantile of a share of its spread.
    LikelyBut {
        /// Place in [`Sums::inputs`].
        input: usize,
        /// The share.
        share: f64,
    },
    /// By the uniform numbers last drawn into the [`Scratch`].
    Drawn,
}

/// What of the lines is wanted. In every draw they are `fixed + slope * price`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Want {
    /// The lines as they are.
    All,
    /// What they would be with a machine that costs nothing.
    WithoutPrice,
    /// What they grow by for each unit of price.
    PerPrice,
}

/// Lines ready to be summed.
#[derive(Clone, Debug)]
pub(super) struct Sums {
    inputs: Vec<(InputId, Stream)>,
    /// Per input: whether it is the same in every draw.
    certain: Vec<bool>,
    /// Per input: whether it is one that happens or does not.
    happens: Vec<bool>,
    terms: Vec<Term>,
    /// Per line: whether tax is charged on it.
    purchase: Vec<bool>,
    /// Per line: whether a share of what is uncertain is taken of it.
    estimate: Vec<bool>,
}

/// Room to work on a block of draws in, kept from block to block.
#[derive(Clone, Debug, Default)]
pub(super) struct Scratch {
    /// Uniform numbers, an array per input; empty for inputs without spread.
    pub uniforms: Vec<Vec<f64>>,
    common: Vec<(Common, Vec<f64>)>,
    /// First of the draws.
    pub first: usize,
    count: usize,
    /// Sum of all lines, draw by draw.
    pub total: Vec<f64>,
    price: Vec<f64>,
    purchase: Vec<f64>,
    base: Vec<f64>,
    column: Vec<f64>,
    second: Vec<f64>,
}

impl Sums {
    /// Makes the lines ready.
    pub fn new(lines: &[Line]) -> Self {
        let mut inputs = Inputs::default();
        let terms = lines
            .iter()
            .map(|line| {
                let product = match &line.amount {
                    Amount::Fixed(v) => Product(inputs.factor(v), None, None),
                    Amount::Times { count, each } => {
                        Product(inputs.factor(count), Some(inputs.factor(each)), None)
                    }
                    Amount::Scaled { by, count, each } => Product(
                        inputs.factor(count),
                        Some(inputs.factor(each)),
                        Some(inputs.factor(by)),
                    ),
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
            certain: inputs.certain,
            happens: inputs.happens,
            inputs: inputs.list,
            terms,
            purchase: lines.iter().map(Line::is_purchase).collect(),
            estimate: lines.iter().map(Line::is_estimate).collect(),
        }
    }

    /// The inputs the lines are made from, in the order they first occur.
    pub fn inputs(&self) -> impl ExactSizeIterator<Item = &InputId> {
        self.inputs.iter().map(|(id, _)| id)
    }

    /// True for an input that happens or does not.
    pub fn happens(&self, input: usize) -> bool {
        self.happens[input]
    }

    /// Draws the uniform numbers of `first..first + count`.
    pub fn draw(&self, seed: u64, first: u64, count: usize, scratch: &mut Scratch) {
        (scratch.first, scratch.count) = (first as usize, count);
        scratch.uniforms.resize(self.inputs.len(), Vec::new());
        for (_, scores) in &mut scratch.common {
            scores.clear();
        }
        for (at, (_, stream)) in self.inputs.iter().enumerate() {
            if self.certain[at] {
                continue;
            }
            let common = match stream.common() {
                None => &[][..],
                Some(group) => scores(&mut scratch.common, group, seed, first, count),
            };
            let uniforms = &mut scratch.uniforms[at];
            uniforms.resize(count, 0.0);
            stream.fill(seed, first, common, uniforms);
        }
    }

    /// Draws the uniform numbers of the first draws, those of streams met before taken from what was
    /// kept: sums of lines that differ little share most of them.
    pub fn draw_kept(&self, seed: u64, count: usize, kept: &mut Kept, scratch: &mut Scratch) {
        (scratch.first, scratch.count) = (0, count);
        scratch.uniforms.resize(self.inputs.len(), Vec::new());
        for (at, (_, stream)) in self.inputs.iter().enumerate() {
            if !self.certain[at] {
                let known = kept.uniforms(*stream, seed, count);
                scratch.uniforms[at].clone_from(known);
            }
        }
    }

    /// Works out all lines, each handed to `each` with its place, and their sum
    /// ([`Scratch::total`]). As many draws as were last drawn, one where none are asked for.
    pub fn run(
        &self,
        at: At,
        want: Want,
        scratch: &mut Scratch,
        mut each: impl FnMut(usize, &[f64]),
    ) {
        let count = if let At::Drawn = at { scratch.count } else { 1 };
        let Scratch {
            uniforms,
            total,
            price,
            purchase,
            base,
            column,
            second,
            ..
        } = scratch;
        for sum in [&mut *total, price, purchase, base] {
            sum.clear();
            sum.resize(count, 0.0);
        }
        column.resize(count, 0.0);
        for (line, term) in self.terms.iter().enumerate() {
            match (term, want) {
                (Term::Price(product), Want::All) => {
                    product.fill(at, uniforms, column, second);
                    price.copy_from_slice(column);
                }
                (Term::Price(_), Want::PerPrice) => {
                    column.fill(1.0);
                    price.fill(1.0);
                }
                (Term::Sum(product), Want::All | Want::WithoutPrice) => {
                    product.fill(at, uniforms, column, second);
                }
                (Term::Price(_), Want::WithoutPrice) | (Term::Sum(_), Want::PerPrice) => {
                    column.fill(0.0);
                }
                (Term::Share(..), _) => continue,
            }
            add(total, column);
            if self.purchase[line] {
                add(purchase, column);
            }
            if self.estimate[line] {
                add(base, column);
            }
            each(line, column);
        }
        // Shares of the price first, then of the purchase, which those belong to, then of all that is
        // uncertain.
        for of in [ShareOf::Price, ShareOf::Purchase, ShareOf::Uncertain] {
            for (line, term) in self.terms.iter().enumerate() {
                let Term::Share(own, factor) = term else {
                    continue;
                };
                if *own != of {
                    continue;
                }
                factor.fill(at, uniforms, column);
                times(
                    column,
                    match of {
                        ShareOf::Price => price,
                        ShareOf::Purchase => purchase,
                        ShareOf::Uncertain => base,
                    },
                );
                add(total, column);
                if of == ShareOf::Price && self.purchase[line] {
                    add(purchase, column);
                }
                if self.estimate[line] {
                    add(base, column);
                }
                each(line, column);
            }
        }
    }

    /// Tenth and ninetieth percentile and mean of a line that rests on one uncertain number, in
    /// closed form; `None` where several play together.
    pub fn closed_form(&self, line: usize) -> Option<[f64; 3]> {
        let (Term::Price(product) | Term::Sum(product)) = &self.terms[line] else {
            return None;
        };
        let (one, by) = match product {
            Product(one, None, None) => (one, 1.0),
            Product(one, Some(k), None) if self.certain[k.input] => (one, k.likely),
            Product(k, Some(one), None) if self.certain[k.input] => (one, k.likely),
            Product(..) => return None,
        };
        let likely = Number::from_base(one.likely);
        let quantile = |u| by * one.spread.quantile(u, likely).base();
        let (a, b) = (quantile(0.1), quantile(0.9));
        Some([a.min(b), a.max(b), by * one.spread.mean(likely).base()])
    }
}

/// Uniform numbers of streams, kept for the next sum with the same seed and count.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    streams: Vec<(Stream, Vec<f64>)>,
    common: Vec<(Common, Vec<f64>)>,
}

impl Kept {
    fn uniforms(&mut self, stream: Stream, seed: u64, count: usize) -> &Vec<f64> {
        let known = self.streams.iter().position(|(s, _)| *s == stream);
        let at = known.unwrap_or_else(|| {
            let common = match stream.common() {
                None => &[][..],
                Some(group) => scores(&mut self.common, group, seed, 0, count),
            };
            let mut uniforms = vec![0.0; count];
            stream.fill(seed, 0, common, &mut uniforms);
            self.streams.push((stream, uniforms));
            self.streams.len() - 1
        });
        &self.streams[at].1
    }
}

/// The scores of a group in a block of draws, drawn once.
fn scores(
    known: &mut Vec<(Common, Vec<f64>)>,
    group: Common,
    seed: u64,
    first: u64,
    count: usize,
) -> &[f64] {
    let at = known
        .iter()
        .position(|(g, _)| *g == group)
        .unwrap_or_else(|| {
            known.push((group, Vec::new()));
            known.len() - 1
        });
    let scores = &mut known[at].1;
    if scores.is_empty() {
        scores.resize(count, 0.0);
        group.fill(seed, first, scores);
    }
    scores
}

fn add(sum: &mut [f64], column: &[f64]) {
    for (total, amount) in sum.iter_mut().zip(column) {
        *total += amount;
    }
}

fn times(column: &mut [f64], by: &[f64]) {
    for (value, k) in column.iter_mut().zip(by) {
        *value *= k;
    }
}

impl Product {
    fn fill(&self, at: At, uniforms: &[Vec<f64>], out: &mut [f64], second: &mut Vec<f64>) {
        self.0.fill(at, uniforms, out);
        for factor in [&self.1, &self.2].into_iter().flatten() {
            second.resize(out.len(), 0.0);
            factor.fill(at, uniforms, second);
            times(out, second);
        }
    }
}

impl Factor {
    fn fill(&self, at: At, uniforms: &[Vec<f64>], out: &mut [f64]) {
        match at {
            At::LikelyBut { input, share } if input == self.input => {
                let likely = Number::from_base(self.likely);
                out.fill(self.spread.quantile(share, likely).base());
            }
            At::Likely | At::LikelyBut { .. } => out.fill(self.likely),
            At::Drawn => self
                .spread
                .quantiles(&uniforms[self.input], self.likely, out),
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
            Amount::Scaled { by, count, each } => {
                add(by.clone());
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
    certain: Vec<bool>,
    happens: Vec<bool>,
    places: BTreeMap<InputId, usize>,
}

impl Inputs {
    fn factor<Q: Quantity>(&mut self, value: &Value<Q>) -> Factor {
        let input = *self.places.entry(value.id.clone()).or_insert_with(|| {
            self.list.push((value.id.clone(), Stream::of(value)));
            self.certain.push(true);
            self.happens
                .push(matches!(value.spread, Spread::Either { .. }));
            self.list.len() - 1
        });
        // One input may be used by several lines; all must be without spread.
        self.certain[input] &= value.spread == Spread::None;
        Factor {
            input,
            likely: value.likely.base(),
            spread: value.spread.in_base_units(),
        }
    }
}
