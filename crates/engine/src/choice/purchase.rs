//! The most valuable purchase exactly: which machines, with which options, which parts to make on
//! which of them, and the tools they need, bought once. All amounts are in one currency.
//!
//! What a purchase takes of the budget is uncertain, and exceeding it costs a rate the buyer names:
//! the worth counts the mean of that over the draws given, not the over-run of the mean.
//!
//! Decomposed by the set of machines (`search`); what remains for a set is a small mixed-integer
//! programme (`programme`). Sets are taken in the order of an upper bound of their worth, and none
//! is left out that could still be better. A search told to stop looks once more at the most promising
//! sets by a cheap rule (`greedy`), and says what nothing it left out can exceed.

mod greedy;
mod programme;
mod search;

pub use search::{Found, search, search_until};

/// Tells when the best found so far must do; having said so it keeps saying so.
pub type Stop<'a> = &'a (dyn Fn() -> bool + Sync);

use std::collections::BTreeSet;

/// Making one part on one machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Making {
    /// Present worth over the horizon of making it here instead of buying it outside.
    pub worth: f64,
    /// Hours a year the machine takes for it.
    pub hours: f64,
    /// Hours a year somebody is at it: all of them, or fewer where the machine runs by itself.
    pub tended: f64,
    /// What must be bought once to make it here, tools not counted: fixtures.
    pub once: f64,
}

/// A machine with a set of options.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineChoice {
    /// Offer it belongs to: an offer is bought once, with one set of options.
    pub offer: usize,
    /// Mean of the all-in cost without what the parts ask for, and of everything else it costs over
    /// the horizon whatever it makes, less the present worth of resale.
    pub cost: f64,
    /// Share of the budget it takes, draw by draw: the all-in cost without what the parts ask for.
    pub spent: Vec<f64>,
    /// Price of each tool on this machine alone (its holder), in the order of [`Purchase::tools`];
    /// empty for nothing.
    pub tools: Vec<f64>,
    /// Per part: what making it here brings; `None` when it cannot be made here.
    pub makes: Vec<Option<Making>>,
}

/// What can be bought, made and spent.
#[derive(Clone, Debug, PartialEq)]
pub struct Purchase {
    /// Machines to choose from.
    pub machines: Vec<MachineChoice>,
    /// Sets of several machines, ascending, that must not be bought, and no larger set with them.
    pub apart: BTreeSet<Vec<usize>>,
    /// Per part: whether it must be made, and the tools it needs (places in `tools`).
    pub parts: Vec<PartNeeds>,
    /// Price of each tool, bought once whatever machines use it.
    pub tools: Vec<f64>,
    /// Hours a year people are there. No machine runs longer, and what all machines together ask of
    /// people is no more.
    pub hours: f64,
    /// Budget, draw by draw, as many draws as every machine's `spent`.
    pub budget: Vec<f64>,
    /// What each unit over the budget costs besides itself.
    pub over_rate: f64,
    /// Most machines to buy.
    pub most_machines: usize,
    /// What every further machine does not cost again: measuring tools, software.
    pub common: Common,
    /// Where no part must be made, sets worth no more than this need not be found: 0, what buying
    /// nothing is worth; without end below where machines bring what is in no part's worth.
    pub least_worth: f64,
}

/// What several machines share.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Common {
    /// Of [`MachineChoice::cost`].
    pub cost: f64,
    /// Of [`MachineChoice::spent`].
    pub spent: f64,
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

/// The most valuable purchase. Buying nothing is worth 0 and allowed when no part must be made;
/// `None` when the parts that must be made cannot be.
pub fn most_valuable(purchase: &Purchase) -> Option<Bought> {
    let found = search(purchase, &[]);
    let nothing = nothing(purchase);
    let best = found.sets.into_iter().next();
    let best = match (best, nothing) {
        (Some(a), Some(b)) => Some(if a.worth > b.worth { a } else { b }),
        (a, b) => a.or(b),
    };
    best.map(|b| Bought {
        proven: found.proven,
        ..b
    })
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
    if !purchase.may_stand(&bought.machines) {
        return Err("machines that cannot stand and run together");
    }
    let (mut worth, mut tended, mut kit) = (0.0, 0.0, 0.0);
    let places = bought.machines.len();
    let mut hours = vec![0.0; places];
    let mut tools = vec![vec![false; places]; purchase.tools.len()];
    worth -= purchase.cost(&bought.machines);
    for (part, (made_on, needs)) in bought.made_on.iter().zip(&purchase.parts).enumerate() {
        let Some(machine) = made_on else {
            if needs.must {
                return Err("a part that must be made is not");
            }
            continue;
        };
        let Some(place) = bought.machines.iter().position(|m| m == machine) else {
            return Err("a part is made on a machine that is not bought");
        };
        let Some(making) = purchase.machines[*machine].makes[part] else {
            return Err("a part is made where it cannot be");
        };
        worth += making.worth;
        hours[place] += making.hours;
        tended += making.tended;
        kit += making.once;
        for tool in &needs.tools {
            tools[*tool][place] = true;
        }
    }
    let most = purchase.hours * (1.0 + 1e-9) + 1e-9;
    if tended > most || hours.iter().any(|hours| *hours > most) {
        return Err("more hours than there are");
    }
    for (tool, on) in tools.iter().enumerate() {
        if on.contains(&true) {
            kit += purchase.tools[tool];
        }
        for (machine, _) in bought.machines.iter().zip(on).filter(|(_, on)| **on) {
            kit += purchase.machines[*machine].tool(tool);
        }
    }
    Ok(worth - kit - purchase.over_rate * purchase.over(&bought.machines, kit).0)
}

impl MachineChoice {
    /// Price of a tool on this machine alone.
    fn tool(&self, tool: usize) -> f64 {
        self.tools.get(tool).copied().unwrap_or(0.0)
    }
}

impl Purchase {
    /// False for a set that holds machines that must not be bought together.
    fn may_stand(&self, machines: &[usize]) -> bool {
        let held = |apart: &Vec<usize>| apart.iter().all(|m| machines.contains(m));
        let pairs = || {
            let places = 0..machines.len();
            places.flat_map(|b| (0..b).map(move |a| [machines[a], machines[b]]))
        };
        // Pairs are looked up; larger sets are few.
        let pair = pairs().any(|[a, b]| self.apart.contains(&[a.min(b), a.max(b)][..]));
        let larger = machines.len() > 2 && self.apart.iter().any(|s| s.len() > 2 && held(s));
        !pair && !larger
    }

    /// Cost of a set of machines without what the parts ask for.
    fn cost(&self, machines: &[usize]) -> f64 {
        let further = machines.len().saturating_sub(1) as f64;
        machines.iter().map(|m| self.machines[*m].cost).sum::<f64>() - further * self.common.cost
    }

    /// Mean over-run of a set of machines with a kit of so much, and the share of the draws over the
    /// budget: the slope of the former in the kit.
    fn over(&self, machines: &[usize], kit: f64) -> (f64, f64) {
        let (mut sum, mut count) = (0.0, 0.0);
        let kit = kit - machines.len().saturating_sub(1) as f64 * self.common.spent;
        for (draw, budget) in self.budget.iter().enumerate() {
            let spent: f64 = machines.iter().map(|m| self.machines[*m].spent[draw]).sum();
            let over = spent + kit - budget;
            if over > 0.0 {
                sum += over;
                count += 1.0;
            }
        }
        let draws = self.budget.len().max(1) as f64;
        (sum / draws, count / draws)
    }
}

fn nothing(purchase: &Purchase) -> Option<Bought> {
    let bought = Bought {
        machines: Vec::new(),
        made_on: vec![None; purchase.parts.len()],
        worth: 0.0,
        proven: true,
    };
    let worth = add_up(purchase, &bought).ok()?;
    Some(Bought { worth, ..bought })
}
