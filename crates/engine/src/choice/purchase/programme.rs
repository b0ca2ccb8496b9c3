//! The best use of a set of machines: a mixed-integer programme, the mean over-run of the budget as
//! the greatest of its tangents, added where they are found wanting (the outer linearization of
//! Kelley, The cutting-plane method for solving convex programs, Journal of the Society for
//! Industrial and Applied Mathematics 8, 1960). A kit takes finitely many values, so it ends.

use super::{Bought, Purchase, Stop, add_up};
use microlp::{
    ComparisonOp, LinearExpr, OptimizationDirection, Problem as Programme, ResumeOptions,
    SolveOptions, SolveOutcome, Variable,
};

/// Nodes of one programme's search tree at most: far more than any real folder needs, and, unlike
/// a limit in seconds, the same on every machine.
const NODES: u64 = 20_000;

/// Nodes between two looks at whether to stop: some tens of milliseconds with 60 parts. The solver
/// goes on where it was, so what it finds does not depend on this.
const NODES_AT_A_TIME: u64 = 100;

/// Rounds of new tangents at most.
const ROUNDS: usize = 30;

/// Share of the worth's size by which a round may fall short of the programme's own: rounding.
const ROUNDING: f64 = 1e-7;

pub(super) enum Solved {
    /// The best of the set.
    Best(Bought),
    Impossible,
    /// Cut short.
    Open {
        /// The best found until then, if anything.
        best: Option<Bought>,
        /// No use of the set is worth more; without end when nothing is known.
        most: f64,
    },
}

/// A line below the mean over-run as a function of the kit, touching it at one.
struct Tangent {
    kit: f64,
    slope: f64,
    at_zero: f64,
}

/// The best use of a set of machines, or what was found of it when told to stop.
pub(super) fn of_set(purchase: &Purchase, set: &[usize], stop: Stop<'_>) -> Solved {
    let mut tangents = vec![tangent(purchase, set, 0.0)];
    let mut best: Option<Bought> = None;
    // The tangents lie below the over-run: what a round cannot exceed, the set cannot.
    let mut most = f64::INFINITY;
    let slack = ROUNDING * (1.0 + purchase.size(set));
    for round in 0..ROUNDS {
        if round > 0 && stop() {
            break;
        }
        let found = match solve(purchase, set, &tangents, stop) {
            Round::Impossible if best.is_none() => return Solved::Impossible,
            Round::Impossible => break,
            Round::Open(bound) => {
                most = most.min(bound);
                break;
            }
            Round::Found(found) => found,
        };
        most = most.min(found.most);
        // Whatever the solver says, the worth is added up apart from it.
        let Ok(worth) = add_up(purchase, &found.bought) else {
            break;
        };
        let kit = kit(purchase, &found.bought);
        if best.as_ref().is_none_or(|b| worth > b.worth) {
            best = Some(Bought {
                worth,
                ..found.bought
            });
        }
        let kept = best.as_ref().map_or(f64::NEG_INFINITY, |b| b.worth);
        // Where a tangent touches, the programme's own worth is the true one.
        let touched = tangents.iter().any(|t| (t.kit - kit).abs() <= slack);
        match best {
            Some(best) if found.exact && (found.claimed <= kept + slack || touched) => {
                return Solved::Best(best);
            }
            _ if !found.exact => break,
            _ => {}
        }
        tangents.push(tangent(purchase, set, kit));
    }
    most += slack;
    Solved::Open { best, most }
}

fn tangent(purchase: &Purchase, set: &[usize], kit: f64) -> Tangent {
    let (over, slope) = purchase.over(set, kit);
    Tangent {
        kit,
        slope,
        at_zero: over - slope * kit,
    }
}

/// What is bought for the parts.
fn kit(purchase: &Purchase, bought: &Bought) -> f64 {
    let mut kit = 0.0;
    let mut used = vec![vec![false; bought.machines.len()]; purchase.tools.len()];
    for (part, machine) in bought.made_on.iter().enumerate() {
        let Some(place) = machine.and_then(|m| bought.machines.iter().position(|b| *b == m)) else {
            continue;
        };
        let machine = &purchase.machines[bought.machines[place]];
        kit += machine.makes[part].map_or(0.0, |m| m.once);
        for tool in &purchase.parts[part].tools {
            if !used[*tool].contains(&true) {
                kit += purchase.tools[*tool];
            }
            if !used[*tool][place] {
                used[*tool][place] = true;
                kit += machine.tool(*tool);
            }
        }
    }
    kit
}

impl Purchase {
    /// Size of the sums of a set, for telling rounding from difference.
    fn size(&self, set: &[usize]) -> f64 {
        let machines = set.iter().map(|m| &self.machines[*m]);
        let worths = machines.clone().flat_map(|m| m.makes.iter().flatten());
        machines.map(|m| m.cost.abs()).sum::<f64>() + worths.map(|m| m.worth.abs()).sum::<f64>()
    }
}

/// What a round of the programme came to.
enum Round {
    Found(Found),
    Impossible,
    /// Nothing was found; no use of the set is worth more than this.
    Open(f64),
}

struct Found {
    bought: Bought,
    /// What the programme claims it is worth.
    claimed: f64,
    /// What the programme says nothing exceeds.
    most: f64,
    /// True when the programme's claim is its best.
    exact: bool,
}

fn solve(purchase: &Purchase, set: &[usize], tangents: &[Tangent], stop: Stop<'_>) -> Round {
    let mut programme = Programme::new(OptimizationDirection::Maximize);
    let counts = purchase.over_rate > 0.0;
    // Everything a kit is made of, with its price.
    let mut kit: Vec<(Variable, f64)> = Vec::new();
    let mut priced = |programme: &mut Programme, price: f64| {
        let variable = programme.add_var(-price, (0.0, 1.0));
        kit.push((variable, price));
        variable
    };
    // With one machine a tool and its holder are bought together; with several, each machine has
    // its own holder for a tool that is bought once.
    let alone = set.len() == 1;
    let held: Vec<Vec<Variable>> = set
        .iter()
        .map(|machine| {
            let machine = &purchase.machines[*machine];
            let tools = purchase.tools.iter().enumerate();
            tools
                .map(|(tool, shared)| {
                    let shared = if alone { *shared } else { 0.0 };
                    priced(&mut programme, shared + machine.tool(tool))
                })
                .collect()
        })
        .collect();
    if !alone {
        for (tool, price) in purchase.tools.iter().enumerate() {
            let shared = priced(&mut programme, *price);
            for held in &held {
                let terms = [(held[tool], 1.0), (shared, -1.0)];
                programme.add_constraint(terms, ComparisonOp::Le, 0.0);
            }
        }
    }
    let mut makes: Vec<(usize, usize, Variable)> = Vec::new();
    let mut tended = LinearExpr::empty();
    let mut hours: Vec<LinearExpr> = set.iter().map(|_| LinearExpr::empty()).collect();
    for (part, needs) in purchase.parts.iter().enumerate() {
        let mut once = LinearExpr::empty();
        for ((machine, held), hours) in set.iter().zip(&held).zip(&mut hours) {
            let Some(making) = purchase.machines[*machine].makes[part] else {
                continue;
            };
            let made = programme.add_binary_var(making.worth - making.once);
            kit.push((made, making.once));
            makes.push((part, *machine, made));
            once.add(made, 1.0);
            // In shares of the hours there are, so that coefficients are of one size.
            hours.add(made, making.hours / purchase.hours.max(1e-9));
            tended.add(made, making.tended / purchase.hours.max(1e-9));
            for tool in &needs.tools {
                // A tool is bought whole when anything that needs it is made whole.
                programme.add_constraint([(made, 1.0), (held[*tool], -1.0)], ComparisonOp::Le, 0.0);
            }
        }
        let sense = if needs.must {
            ComparisonOp::Eq
        } else {
            ComparisonOp::Le
        };
        programme.add_constraint(once, sense, 1.0);
    }
    programme.add_constraint(tended, ComparisonOp::Le, 1.0);
    for hours in hours {
        programme.add_constraint(hours, ComparisonOp::Le, 1.0);
    }
    if counts {
        // In thousands, for the same reason.
        let over = programme.add_var(-1e3 * purchase.over_rate, (0.0, f64::INFINITY));
        for tangent in tangents {
            let mut below = LinearExpr::empty();
            for (variable, price) in &kit {
                below.add(*variable, tangent.slope * price / 1e3);
            }
            below.add(over, -1.0);
            programme.add_constraint(below, ComparisonOp::Le, -tangent.at_zero / 1e3);
        }
    }
    let cost = purchase.cost(set);
    let outcome = match in_steps(programme, stop) {
        Ok(outcome) => outcome,
        Err(microlp::Error::Infeasible) => return Round::Impossible,
        Err(_) => return Round::Open(f64::INFINITY),
    };
    let exact = outcome.is_optimal();
    let most = outcome
        .stats()
        .best_bound
        .map_or(f64::INFINITY, |bound| bound - cost);
    let Ok(solution) = outcome.into_solution() else {
        return Round::Open(most);
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
    Round::Found(Found {
        bought,
        claimed: solution.objective() - cost,
        most,
        exact,
    })
}

/// Solves a programme some nodes at a time, asking between whether to stop.
fn in_steps(programme: Programme, stop: Stop<'_>) -> Result<SolveOutcome, microlp::Error> {
    let mut options = SolveOptions::default();
    options.node_limit = Some(NODES_AT_A_TIME);
    let mut outcome = programme.solve_with(options)?;
    for _ in 1..NODES / NODES_AT_A_TIME {
        if outcome.is_optimal() || stop() {
            break;
        }
        let mut more = ResumeOptions::default();
        more.node_limit = Some(NODES_AT_A_TIME);
        outcome = outcome.resume_with(more)?;
    }
    Ok(outcome)
}
