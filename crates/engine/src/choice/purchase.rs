//! The most valuable purchase exactly: which machines, with which options, which parts to make on
//! which of them, and the tools they need, bought once. All amounts are in one currency.
//!
//! Decomposed by the set of machines; what remains for a set is a small mixed-integer programme.
//! Sets are taken in the order of an upper bound of their worth, and none is left out that could
//! still be better.

use microlp::{
    ComparisonOp, LinearExpr, OptimizationDirection, Problem as Programme, SolveOptions, Variable,
};

/// Making one part on one machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Making {
    /// Present worth over the horizon of making it here instead of buying it outside.
    pub worth: f64,
    /// Hours a year it takes.
    pub hours: f64,
}

/// A machine with a set of options.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineChoice {
    /// Offer it belongs to: an offer is bought once, with one set of options.
    pub offer: usize,
    /// All-in cost without the tools of the parts, less the present worth of resale.
    pub cost: f64,
    /// Share of the budget it takes: the all-in cost without the tools of the parts.
    pub spent: f64,
    /// Per part: what making it here brings; `None` when it cannot be made here.
    pub makes: Vec<Option<Making>>,
}

/// What can be bought, made and spent.
#[derive(Clone, Debug, PartialEq)]
pub struct Purchase {
    /// Machines to choose from.
    pub machines: Vec<MachineChoice>,
    /// Per part: whether it must be made, and the tools it needs (places in `tools`).
    pub parts: Vec<PartNeeds>,
    /// Price of each tool.
    pub tools: Vec<f64>,
    /// Hours a year there are for all machines together.
    pub hours: f64,
    /// Budget.
    pub budget: f64,
    /// What each unit over the budget costs besides itself.
    pub over_rate: f64,
    /// Most machines to buy.
    pub most_machines: usize,
}

/// What a part needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartNeeds {
    /// It must be made.
    pub must: bool,
    /// Tools, as places in [`Purchase::tools`].
    pub tools: Vec<usize>,
}

/// What to buy and make.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// Machines, ascending places in [`Purchase::machines`].
    pub machines: Vec<usize>,
    /// Per part: the machine that makes it, as a place in [`Purchase::machines`].
    pub made_on: Vec<Option<usize>>,
    /// Worth of it all: parts' worth less machines, tools and what the over-run costs.
    pub worth: f64,
    /// True when nothing better can exist; false when the search was cut short.
    pub proven: bool,
}

/// Nodes of one programme's search tree at most: far more than any real folder needs, and, unlike
/// a limit in seconds, the same on every machine.
const NODES: u64 = 20_000;

/// Programmes solved at most; a folder of 60 offers needs some dozens.
const PROGRAMMES: usize = 2_000;

/// The most valuable purchase. Buying nothing is worth 0 and allowed when no part must be made;
/// `None` when the parts that must be made cannot be.
pub fn most_valuable(purchase: &Purchase) -> Option<Bought> {
    let mut best = nothing(purchase);
    let mut proven = true;
    let mut sets: Vec<(f64, Vec<usize>)> = sets(purchase);
    sets.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    for (count, (bound, set)) in sets.into_iter().enumerate() {
        if best.as_ref().is_some_and(|b| bound <= b.worth) {
            break;
        }
        if count == PROGRAMMES {
            proven = false;
            break;
        }
        match of_set(purchase, &set) {
            Solved::Best(found, exact) => {
                proven &= exact;
                if best.as_ref().is_none_or(|b| found.worth > b.worth) {
                    best = Some(found);
                }
            }
            Solved::Impossible => {}
            Solved::Unknown => proven = false,
        }
    }
    best.map(|b| Bought { proven, ..b })
}

/// The worth of a purchase by adding it up, apart from any solver; `Err` with the reason when it is
/// not allowed.
pub fn add_up(purchase: &Purchase, bought: &Bought) -> Result<f64, &'static str> {
    let mut offers: Vec<usize> = bought
        .machines
        .iter()
        .map(|m| purchase.machines[*m].offer)
        .collect();
    offers.sort_unstable();
    if offers.windows(2).any(|w| w[0] == w[1]) {
        return Err("an offer is bought twice");
    }
    if bought.machines.len() > purchase.most_machines {
        return Err("too many machines");
    }
    let (mut worth, mut spent, mut hours) = (0.0, 0.0, 0.0);
    let mut tools = vec![false; purchase.tools.len()];
    for machine in &bought.machines {
        worth -= purchase.machines[*machine].cost;
        spent += purchase.machines[*machine].spent;
    }
    for (part, (made_on, needs)) in bought.made_on.iter().zip(&purchase.parts).enumerate() {
        let Some(machine) = made_on else {
            if needs.must {
                return Err("a part that must be made is not");
            }
            continue;
        };
        if !bought.machines.contains(machine) {
            return Err("a part is made on a machine that is not bought");
        }
        let Some(making) = purchase.machines[*machine].makes[part] else {
            return Err("a part is made where it cannot be");
        };
        worth += making.worth;
        hours += making.hours;
        for tool in &needs.tools {
            tools[*tool] = true;
        }
    }
    if hours > purchase.hours * (1.0 + 1e-9) + 1e-9 {
        return Err("more hours than there are");
    }
    let kit: f64 = tools
        .iter()
        .zip(&purchase.tools)
        .filter(|(bought, _)| **bought)
        .map(|(_, price)| price)
        .sum();
    worth -= kit;
    spent += kit;
    Ok(worth - purchase.over_rate * (spent - purchase.budget).max(0.0))
}

fn nothing(purchase: &Purchase) -> Option<Bought> {
    let bought = Bought {
        machines: Vec::new(),
        made_on: vec![None; purchase.parts.len()],
        worth: 0.0,
        proven: true,
    };
    add_up(purchase, &bought).ok()?;
    Some(bought)
}

/// Every set of one machine or two of different offers, with an upper bound of its worth: every
/// part made where it brings most, all at once and with tools for nothing.
fn sets(purchase: &Purchase) -> Vec<(f64, Vec<usize>)> {
    let all = 0..purchase.machines.len();
    let mut sets: Vec<Vec<usize>> = Vec::new();
    if purchase.most_machines >= 1 {
        sets.extend(all.clone().map(|m| vec![m]));
    }
    if purchase.most_machines >= 2 {
        for a in all.clone() {
            for b in a + 1..purchase.machines.len() {
                if purchase.machines[a].offer != purchase.machines[b].offer {
                    sets.push(vec![a, b]);
                }
            }
        }
    }
    let bounded = sets
        .into_iter()
        .filter_map(|set| Some((bound(purchase, &set)?, set)));
    bounded.collect()
}

/// `None` when a part that must be made cannot be.
fn bound(purchase: &Purchase, set: &[usize]) -> Option<f64> {
    let mut worth = 0.0;
    for (part, needs) in purchase.parts.iter().enumerate() {
        let best = set
            .iter()
            .filter_map(|m| purchase.machines[*m].makes[part])
            .map(|m| m.worth)
            .reduce(f64::max);
        match best {
            None if needs.must => return None,
            None => {}
            Some(most) if needs.must => worth += most,
            Some(most) => worth += most.max(0.0),
        }
    }
    let spent: f64 = set.iter().map(|m| purchase.machines[*m].spent).sum();
    let cost: f64 = set.iter().map(|m| purchase.machines[*m].cost).sum();
    Some(worth - cost - purchase.over_rate * (spent - purchase.budget).max(0.0))
}

enum Solved {
    /// The best of the set, and whether that is proven.
    Best(Bought, bool),
    Impossible,
    /// The search was cut short before anything was found.
    Unknown,
}

/// The best use of a set of machines.
fn of_set(purchase: &Purchase, set: &[usize]) -> Solved {
    let mut programme = Programme::new(OptimizationDirection::Maximize);
    let tools: Vec<Variable> = purchase
        .tools
        .iter()
        .map(|price| programme.add_var(-price, (0.0, 1.0)))
        .collect();
    let mut makes: Vec<(usize, usize, Variable)> = Vec::new();
    let mut hours = LinearExpr::empty();
    for (part, needs) in purchase.parts.iter().enumerate() {
        let mut once = LinearExpr::empty();
        for machine in set {
            let Some(making) = purchase.machines[*machine].makes[part] else {
                continue;
            };
            let made = programme.add_binary_var(making.worth);
            makes.push((part, *machine, made));
            once.add(made, 1.0);
            // In shares of the hours there are, so that coefficients are of one size.
            hours.add(made, making.hours / purchase.hours.max(1e-9));
            for tool in &needs.tools {
                // A tool is bought whole when anything that needs it is made whole.
                programme.add_constraint(
                    [(made, 1.0), (tools[*tool], -1.0)],
                    ComparisonOp::Le,
                    0.0,
                );
            }
        }
        let sense = if needs.must {
            ComparisonOp::Eq
        } else {
            ComparisonOp::Le
        };
        programme.add_constraint(once, sense, 1.0);
    }
    programme.add_constraint(hours, ComparisonOp::Le, 1.0);
    let spent: f64 = set.iter().map(|m| purchase.machines[*m].spent).sum();
    if purchase.over_rate > 0.0 {
        // In thousands, for the same reason.
        let over = programme.add_var(-1e3 * purchase.over_rate, (0.0, f64::INFINITY));
        let mut kit = LinearExpr::empty();
        for (tool, price) in tools.iter().zip(&purchase.tools) {
            kit.add(*tool, price / 1e3);
        }
        kit.add(over, -1.0);
        programme.add_constraint(kit, ComparisonOp::Le, (purchase.budget - spent) / 1e3);
    }
    let mut options = SolveOptions::default();
    options.node_limit = Some(NODES);
    let outcome = match programme.solve_with(options) {
        Ok(outcome) => outcome,
        Err(microlp::Error::Infeasible) => return Solved::Impossible,
        Err(_) => return Solved::Unknown,
    };
    let exact = outcome.is_optimal();
    let Ok(solution) = outcome.into_solution() else {
        return Solved::Unknown;
    };
    let mut bought = Bought {
        machines: set.to_vec(),
        made_on: vec![None; purchase.parts.len()],
        worth: 0.0,
        proven: exact,
    };
    for (part, machine, made) in makes {
        if solution.var_value(made) > 0.5 {
            bought.made_on[part] = Some(machine);
        }
    }
    // Whatever the solver says, the worth is added up apart from it.
    match add_up(purchase, &bought) {
        Ok(worth) => Solved::Best(Bought { worth, ..bought }, exact),
        Err(_) => Solved::Unknown,
    }
}
