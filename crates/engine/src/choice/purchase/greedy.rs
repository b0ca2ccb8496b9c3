//! A good use of a set of machines at once, for when there is no time for the best: needs first, then
//! part by part what brings more than it costs while the hours last, once from nothing upward and once
//! from everything downward. Nothing says how good it is; it is a purchase that is allowed.

use super::{Bought, Making, Purchase, add_up};

/// Times all parts are looked at again; each look only adds worth.
const LOOKS: usize = 4;

/// `None` when the needs cannot be made on these machines in the hours there are.
pub(super) fn greedy(purchase: &Purchase, set: &[usize]) -> Option<Bought> {
    let mut needs = Pile::of(purchase, set);
    needs.make_needs()?;
    let mut upward = needs.clone();
    upward.look();
    let mut downward = needs;
    downward.make_all();
    downward.look();
    let better = match downward.worth() > upward.worth() {
        true => downward,
        false => upward,
    };
    let bought = Bought {
        machines: set.to_vec(),
        made_on: better
            .made
            .iter()
            .map(|place| place.map(|place| set[place]))
            .collect(),
        worth: 0.0,
        proven: false,
    };
    // Whatever was kept up on the way, the worth is added up apart from it.
    let worth = add_up(purchase, &bought).ok()?;
    Some(Bought { worth, ..bought })
}

/// What is made so far, with its sums.
#[derive(Clone)]
struct Pile<'a> {
    purchase: &'a Purchase,
    set: &'a [usize],
    /// Places of the parts, what brings most in an hour first.
    order: Vec<usize>,
    /// Per part: place in the set of the machine that makes it.
    made: Vec<Option<usize>>,
    /// Hours a year on each machine, and of people at all of them.
    hours: Vec<f64>,
    tended: f64,
    /// Per tool and machine: parts that use it.
    uses: Vec<Vec<u32>>,
    /// Draw by draw: what the machines take beyond the budget.
    beyond: Vec<f64>,
    /// Worth of what is made.
    brings: f64,
    /// What was bought for it.
    kit: f64,
}

impl<'a> Pile<'a> {
    fn of(purchase: &'a Purchase, set: &'a [usize]) -> Self {
        let shared = set.len().saturating_sub(1) as f64 * purchase.common.spent;
        let beyond = |(draw, budget): (usize, &f64)| {
            let spent: f64 = set.iter().map(|m| purchase.machines[*m].spent[draw]).sum();
            spent - shared - budget
        };
        let mut pile = Self {
            purchase,
            set,
            order: Vec::new(),
            made: vec![None; purchase.parts.len()],
            hours: vec![0.0; set.len()],
            tended: 0.0,
            uses: vec![vec![0; set.len()]; purchase.tools.len()],
            beyond: purchase.budget.iter().enumerate().map(beyond).collect(),
            brings: 0.0,
            kit: 0.0,
        };
        let mut order: Vec<(f64, usize)> = (0..purchase.parts.len())
            .filter_map(|part| {
                let in_an_hour = |(_, m): (usize, Making)| (m.worth - m.once) / m.hours.max(1e-9);
                let best = pile.ways(part).map(in_an_hour).reduce(f64::max)?;
                Some((best, part))
            })
            .collect();
        order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        pile.order = order.into_iter().map(|(_, part)| part).collect();
        pile
    }

    /// Where a part can be made.
    fn ways(&self, part: usize) -> impl Iterator<Item = (usize, Making)> + use<'a> {
        let machines = &self.purchase.machines;
        let of_set = self.set.iter().enumerate();
        of_set.filter_map(move |(place, m)| Some((place, machines[*m].makes[part]?)))
    }

    /// Worth of it all but for the machines' cost, which is the same whatever is made.
    fn worth(&self) -> f64 {
        let over: f64 = self.beyond.iter().map(|b| (b + self.kit).max(0.0)).sum();
        let over = over / self.beyond.len().max(1) as f64;
        self.brings - self.kit - self.purchase.over_rate * over
    }

    /// True when the hours there are suffice.
    fn lasts(&self) -> bool {
        let most = self.purchase.hours * (1.0 + 1e-9);
        self.tended <= most && self.hours.iter().all(|hours| *hours <= most)
    }

    fn put(&mut self, part: usize, place: usize) {
        self.change(part, place, true);
        self.made[part] = Some(place);
    }

    fn take(&mut self, part: usize) {
        if let Some(place) = self.made[part].take() {
            self.change(part, place, false);
        }
    }

    /// The sums with one part more or less on a machine.
    fn change(&mut self, part: usize, place: usize, more: bool) {
        let machine = &self.purchase.machines[self.set[place]];
        let Some(making) = machine.makes[part] else {
            return;
        };
        let sign = if more { 1.0 } else { -1.0 };
        self.brings += sign * making.worth;
        self.hours[place] += sign * making.hours;
        self.tended += sign * making.tended;
        self.kit += sign * making.once;
        for tool in &self.purchase.parts[part].tools {
            let uses = &mut self.uses[*tool];
            if !more {
                uses[place] -= 1;
            }
            if uses[place] == 0 {
                self.kit += sign * machine.tool(*tool);
                if uses.iter().all(|u| *u == 0) {
                    self.kit += sign * self.purchase.tools[*tool];
                }
            }
            if more {
                uses[place] += 1;
            }
        }
    }

    /// Every need where it brings most or, where that takes too long, where it takes fewest hours.
    fn make_needs(&mut self) -> Option<()> {
        let best = |m: Making| m.worth - m.once;
        let soonest = |m: Making| -m.hours;
        self.put_needs(&best)?;
        if !self.lasts() {
            self.put_needs(&soonest)?;
        }
        self.lasts().then_some(())
    }

    fn put_needs(&mut self, rank: &dyn Fn(Making) -> f64) -> Option<()> {
        let parts = self.purchase.parts.iter().enumerate();
        for (part, _) in parts.filter(|(_, needs)| needs.must) {
            let ways = self.ways(part).map(|(place, m)| (rank(m), place));
            let (_, place) = ways.reduce(|a, b| if b.0 > a.0 { b } else { a })?;
            self.take(part);
            self.put(part, place);
        }
        Some(())
    }

    /// Everything that brings more than its fixture, while the hours last.
    fn make_all(&mut self) {
        for part in self.order.clone() {
            let ways = self.ways(part).map(|(place, m)| (m.worth - m.once, place));
            let best = ways.reduce(|a, b| if b.0 > a.0 { b } else { a });
            let Some((_, place)) = best.filter(|b| b.0 > 0.0 && self.made[part].is_none()) else {
                continue;
            };
            self.put(part, place);
            if !self.lasts() {
                self.take(part);
            }
        }
    }

    /// Each part, what brings least first, is left out, made or moved wherever that adds worth, until
    /// nothing does.
    fn look(&mut self) {
        for _ in 0..LOOKS {
            let before = self.worth();
            for part in self.order.clone().into_iter().rev() {
                self.settle(part);
            }
            for part in self.order.clone() {
                self.settle(part);
            }
            if self.worth() <= before {
                return;
            }
        }
    }

    /// A part where it adds most worth, what else is made unchanged.
    fn settle(&mut self, part: usize) {
        let was = self.made[part];
        let mut best = (self.worth(), was);
        self.take(part);
        if !self.purchase.parts[part].must && self.worth() > best.0 {
            best = (self.worth(), None);
        }
        let ways: Vec<usize> = self.ways(part).map(|(place, _)| place).collect();
        for place in ways {
            self.put(part, place);
            if self.lasts() && self.worth() > best.0 {
                best = (self.worth(), Some(place));
            }
            self.take(part);
        }
        if let Some(place) = best.1 {
            self.put(part, place);
        }
    }
}
