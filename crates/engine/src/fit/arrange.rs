//! Which setups are taken together on the rotary axes, and which stand on the table: of all ways that
//! give the same answer, the one in which a batch is done soonest.
//!
//! What a setup takes on the table (clamping, setting up, its tools put in once a loading) does not
//! depend on the others; on the rotary axis it takes its tool changes only, and the group one clamping
//! and one setting up for all. So for each way the work can be held, the best group is found exactly:
//! those that must join, then the others in the order of what they save. More travel only adds ways and
//! makes none longer, so it never costs time.

use super::places::{Places, batches, each_loading};
use super::tally::Tally;
use super::{Habits, Magazine, SetupFit, StackUp, Verdict};
use crate::demand::Demand;
use crate::machine::Machine;
use units::Time;

/// A setup standing on the table by itself, with what that says.
pub(super) struct Alone {
    pub on: SetupFit,
    pub tally: Tally,
}

/// For each setup its stack-up on the rotary axes, if it is taken there: all that one way of holding the
/// work reaches, or those of them that are chosen.
pub(super) type Group = Vec<Option<StackUp>>;

/// What choosing rests on.
pub(super) struct Choice<'a> {
    pub demand: &'a Demand,
    pub machine: &'a Machine,
    pub habits: &'a Habits,
    pub filled: &'a Magazine,
    /// Setups on the table.
    pub alone: &'a [Alone],
    /// A setup taken on the rotary axes, as the first of its group or a further one.
    pub on_rotary: &'a dyn Fn(usize, &StackUp, bool) -> SetupFit,
    /// What so many further clampings of one setup say of the accuracy.
    pub accuracy: &'a dyn Fn(u32) -> Verdict,
}

/// The best group of all ways of holding; `None` when the table does better.
pub(super) fn best(choice: &Choice<'_>, ways: &[Group]) -> Option<Group> {
    let orders = super::changes(choice.demand);
    let (_, in_batch) = batches(choice.demand, choice.habits);
    let loading: Vec<Time> = orders
        .iter()
        .map(|order| each_loading(order, choice.filled, choice.machine, choice.habits))
        .collect();
    let batch = |at: usize, on: &SetupFit| {
        let best = Places::best(
            loading[at],
            in_batch,
            Some(on),
            choice.machine,
            choice.habits,
        );
        best.batch
    };
    let on_table: Vec<Time> = (0..choice.alone.len())
        .map(|at| batch(at, &choice.alone[at].on))
        .collect();
    let mut best = (
        choice.answer(&vec![None; on_table.len()]),
        on_table.iter().copied().sum::<Time>(),
    );
    let mut found = None;
    for reached in ways {
        let joined = |at: usize, first: bool| {
            let stack = reached[at].as_ref()?;
            Some(batch(at, &(choice.on_rotary)(at, stack, first)))
        };
        // Each one's saving as a further one of a group, and what the group as such takes.
        let saved: Vec<Option<Time>> = (0..reached.len())
            .map(|at| joined(at, false).map(|t| on_table[at] - t))
            .collect();
        let Some(group_takes) =
            (0..reached.len()).find_map(|at| Some(joined(at, true)? - joined(at, false)?))
        else {
            continue;
        };
        for must in choice.musts(reached) {
            let Some(group) = choice.with_the_best(&must, reached, &saved) else {
                continue;
            };
            let joins = group.iter().zip(&saved).filter(|(g, _)| g.is_some());
            let saves: Time = joins.filter_map(|(_, s)| *s).sum();
            let time = on_table.iter().copied().sum::<Time>() + group_takes - saves;
            let answer = choice.answer(&group);
            if answer < best.0 || answer == best.0 && time < best.1 {
                best = (answer, time);
                found = Some(group);
            }
        }
    }
    found
}

impl Choice<'_> {
    /// The answer with a group, as far as it depends on which setups are in it: worst of those left on
    /// the table. More clampings are no worse an answer here; they take their time.
    fn answer(&self, group: &[Option<StackUp>]) -> Verdict {
        let left = || {
            let all = self.alone.iter().zip(group);
            all.filter(|(_, g)| g.is_none()).map(|(a, _)| a)
        };
        let worst = left().map(|a| a.tally.verdict(false)).max();
        let further = left().map(|a| a.on.clampings.saturating_sub(1)).max();
        let accuracy = (self.accuracy)(further.unwrap_or(0));
        worst.unwrap_or(Verdict::Fits).max(accuracy)
    }

    /// Sets that must join: for each answer and each number of clampings that may stay on the table,
    /// those beyond.
    fn musts(&self, reached: &Group) -> Vec<Vec<bool>> {
        let mut most: Vec<u32> = self.alone.iter().map(|a| a.on.clampings).collect();
        most.push(1);
        most.sort_unstable();
        most.dedup();
        let mut musts: Vec<Vec<bool>> = Vec::new();
        for answer in [Verdict::Fits, Verdict::CannotSay, Verdict::DoesNotFit] {
            for &clampings in &most {
                let beyond =
                    |a: &Alone| a.tally.verdict(false) > answer || a.on.clampings > clampings;
                let must: Vec<bool> = self
                    .alone
                    .iter()
                    .zip(reached)
                    .map(|(a, r)| r.is_some() && beyond(a))
                    .collect();
                if !musts.contains(&must) {
                    musts.push(must);
                }
            }
        }
        musts
    }

    /// Those that must join, those that save by joining, and as many more as make two sides on which
    /// something is cut; `None` when there are no two.
    fn with_the_best(
        &self,
        must: &[bool],
        reached: &Group,
        saved: &[Option<Time>],
    ) -> Option<Group> {
        let cut = |at: usize| !self.demand.setups[at].tasks.is_empty();
        let mut joins: Vec<bool> = must.to_vec();
        for (joins, saved) in joins.iter_mut().zip(saved) {
            *joins |= saved.is_some_and(|s| s > Time::ZERO);
        }
        let mut others: Vec<(Time, usize)> = saved
            .iter()
            .enumerate()
            .filter(|(at, _)| !joins[*at] && cut(*at))
            .filter_map(|(at, s)| Some(((*s)?, at)))
            .collect();
        others.sort_by(|a, b| b.0.total_cmp(&a.0));
        let sides = (0..joins.len()).filter(|at| joins[*at] && cut(*at)).count();
        for (_, at) in others.into_iter().take(2usize.saturating_sub(sides)) {
            joins[at] = true;
        }
        let sides = (0..joins.len()).filter(|at| joins[*at] && cut(*at)).count();
        (sides >= 2).then(|| {
            let all = reached.iter().zip(&joins);
            all.map(|(r, joins)| if *joins { r.clone() } else { None })
                .collect()
        })
    }
}
