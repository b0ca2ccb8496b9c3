//! Present value, internal rate of return, payback of a row of cash flows, the first of them now and
//! each next one a period later.

/// Net present value at a rate a period.
pub fn npv(rate: f64, flows: &[f64]) -> f64 {
    at(flows, 1.0 / (1.0 + rate))
}

/// The flows as a polynomial in x, the worth now of one unit in a period.
fn at(flows: &[f64], x: f64) -> f64 {
    flows.iter().rev().fold(0.0, |sum, flow| sum * x + flow)
}

/// The internal rate of return, when there is one to tell.
#[derive(Clone, Debug, PartialEq)]
pub enum Irr {
    /// No rate makes the flows worth nothing.
    None,
    /// Exactly one does.
    One(f64),
    /// Several do, ascending: none of them tells whether the purchase is a good one; the net present
    /// value does.
    Several(Vec<f64>),
    /// More than [`MOST_PERIODS`] periods whose flows change sign more than once: not looked for.
    Undecided,
}

/// Longest row of flows with several changes of sign whose rates are looked for: the search takes
/// the third power of it.
pub const MOST_PERIODS: usize = 120;

/// Every rate above -100 % at which the flows are worth nothing. Descartes' rule settles rows that
/// change sign never or once; of the others every root is parted from its neighbours by the extrema
/// between them, which are the roots of the derivative, found in the same way.
pub fn irr(flows: &[f64]) -> Irr {
    let first = flows.iter().position(|f| *f != 0.0);
    let last = flows.iter().rposition(|f| *f != 0.0);
    let (Some(first), Some(last)) = (first, last) else {
        return Irr::None;
    };
    if flows.iter().any(|f| !f.is_finite()) {
        return Irr::None;
    }
    // Leading and trailing zeros shift every flow alike and change no root.
    let core = &flows[first..=last];
    let changes = sign_changes(core);
    let roots = match changes {
        0 => Vec::new(),
        1 => single_root(core),
        _ if core.len() > MOST_PERIODS + 1 => return Irr::Undecided,
        _ => roots(core),
    };
    let mut rates: Vec<f64> = roots.iter().map(|x| 1.0 / x - 1.0).collect();
    rates.sort_by(f64::total_cmp);
    match rates.as_slice() {
        [] => Irr::None,
        [one] => Irr::One(*one),
        _ => Irr::Several(rates),
    }
}

fn sign_changes(flows: &[f64]) -> usize {
    let signs: Vec<bool> = flows
        .iter()
        .filter(|f| **f != 0.0)
        .map(|f| *f > 0.0)
        .collect();
    signs.windows(2).filter(|w| w[0] != w[1]).count()
}

/// Every root in x lies below this (Cauchy's bound).
fn bound(p: &[f64]) -> f64 {
    let (last, rest) = match p.split_last() {
        Some((last, rest)) if *last != 0.0 => (last.abs(), rest),
        _ => return 1.0,
    };
    1.0 + rest.iter().fold(0.0_f64, |most, c| most.max(c.abs())) / last
}

fn single_root(p: &[f64]) -> Vec<f64> {
    bisect(p, 0.0, bound(p)).into_iter().collect()
}

/// The flows as a polynomial in x, and its slope.
fn with_slope(p: &[f64], x: f64) -> (f64, f64) {
    p.iter().rev().fold((0.0, 0.0), |(value, slope), c| {
        (value * x + c, slope * x + value)
    })
}

/// Narrows a bracket whose ends differ in sign until it holds no number in between: Newton's steps
/// as long as they stay inside it, halving otherwise.
fn bisect(p: &[f64], mut low: f64, mut high: f64) -> Option<f64> {
    let rising = at(p, low) < at(p, high);
    if at(p, low).signum() == at(p, high).signum() {
        return None;
    }
    // Most rates lie near nothing, where x is one.
    let mut x = if low < 1.0 && 1.0 < high {
        1.0
    } else {
        0.5 * (low + high)
    };
    // Near a root of even order Newton creeps: after so many steps only halving goes on.
    const NEWTON: u32 = 60;
    for round in 0..2000 {
        let (value, slope) = with_slope(p, x);
        if value == 0.0 {
            return Some(x);
        }
        if (value < 0.0) == rising {
            low = x;
        } else {
            high = x;
        }
        let step = x - value / slope;
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        let newton = round < NEWTON && step > low && step < high;
        if newton && (step - x).abs() <= 2.0 * f64::EPSILON * x.abs() {
            return Some(step);
        }
        x = if newton { step } else { middle };
    }
    Some(0.5 * (low + high))
}

/// Positive roots, ascending.
fn roots(p: &[f64]) -> Vec<f64> {
    let p = match p.iter().rposition(|c| *c != 0.0) {
        Some(last) => &p[..=last],
        None => return Vec::new(),
    };
    if p.len() < 2 || sign_changes(p) == 0 {
        return Vec::new();
    }
    let derivative: Vec<f64> = p
        .iter()
        .enumerate()
        .skip(1)
        .map(|(power, c)| c * power as f64)
        .collect();
    let top = bound(p);
    let mut marks = vec![0.0];
    marks.extend(roots(&derivative).into_iter().filter(|x| *x < top));
    marks.push(top);
    let mut found: Vec<f64> = Vec::new();
    let mut add = |x: f64| {
        if x > 0.0 && found.last().is_none_or(|last| x > last * (1.0 + 1e-9)) {
            found.push(x);
        }
    };
    for (index, pair) in marks.windows(2).enumerate() {
        // An extremum on the axis is a root of even order, to within the rounding of the sum.
        if index > 0 && touches(p, pair[0]) {
            add(pair[0]);
        } else if let Some(x) = bisect(p, pair[0], pair[1]).filter(|_| !touches(p, pair[1])) {
            add(x);
        }
    }
    found
}

fn touches(p: &[f64], x: f64) -> bool {
    let size = p.iter().rev().fold(0.0, |sum, c: &f64| sum * x + c.abs());
    at(p, x).abs() <= 1e-13 * size * p.len() as f64
}

/// Periods until the flows, each at its worth now, have paid back, within a period in proportion;
/// `None` for never. Where later outlays undo it, the last time counts.
pub fn payback(rate: f64, flows: &[f64]) -> Option<f64> {
    let mut sum = 0.0;
    let mut back = None;
    let mut one = 1.0;
    for (period, flow) in flows.iter().enumerate() {
        let worth = flow * one;
        one /= 1.0 + rate;
        let before = sum;
        sum += worth;
        if sum < 0.0 {
            back = None;
        } else if back.is_none() {
            let share = if period == 0 || worth <= 0.0 {
                1.0
            } else {
                -before / worth
            };
            back = Some((period as f64 - 1.0 + share).max(0.0));
        }
    }
    back
}
