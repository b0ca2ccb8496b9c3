//! What would bring in a load that does not come in as it is: leaves off their hinges, things aside,
//! parts of the machine or the frame of a door taken off; each with what it costs.

use super::case::{Case, told};
use super::planner::Decision;
use super::way_in::{ComesIn, Effort, Load, WayIn};
use crate::entered::{Dismantling, Door, Plan};
use crate::site::texts;
use serde::Serialize;
use units::{Cancelled, Length, Money, Place, Watch};

/// What can come off for the way in.
#[derive(Clone, Copy, Debug, Default)]
pub struct ComesOff<'a> {
    /// Stated for this machine, and frames of doors.
    pub surely: &'a [Dismantling],
    /// Stated for no machine in particular.
    pub perhaps: &'a [Dismantling],
}

/// What a step does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// Moves something aside.
    Aside,
    /// Takes a door leaf off its hinges.
    LeafOff,
    /// Takes a part off the machine and puts it on again.
    PartOff,
    /// Takes out the frame of a door.
    FrameOff,
}

/// One thing to be done.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// Kind.
    pub kind: StepKind,
    /// In words.
    pub what: String,
    /// What it costs, in words; empty when nobody said.
    pub cost: String,
    /// What it costs: low, likely, high, in the folder's currency, where stated.
    pub price: Option<[Money; 3]>,
    /// Days it takes, where stated.
    pub lead_days: Option<u32>,
    /// Where it is stated.
    #[serde(skip)]
    pub place: Place,
}

/// Something that would help.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Help {
    /// What.
    pub what: String,
    /// What it costs, in words; empty when nobody said.
    pub cost: String,
    /// What comes of it.
    pub comes_in: ComesIn,
    /// What is to be done.
    pub steps: Vec<Step>,
    /// What must be asked before it can be counted on.
    pub ask: Vec<String>,
    /// Sides of the load at which the answer flips, where a size is asked.
    pub flips_mm: Option<[f64; 2]>,
    /// Poses of the way it opens, as of the way without it.
    pub way: Vec<[f64; 3]>,
    /// Sides of the load then.
    pub load_mm: [f64; 2],
}

/// More steps than this are tried by kinds, all leaves together and all things together.
const MOST_STEPS: usize = 8;
/// A frame whose opening nobody measured is tried with this much more at each jamb and above: the
/// width of a frame. Common practice, no source.
const FRAME: Length = Length::mm(100.0);

/// A change of plan or load.
#[derive(Clone, Copy)]
enum Change<'a> {
    Aside(usize),
    Leaf(usize),
    Off(&'a Dismantling),
}

impl Change<'_> {
    fn apply(self, plan: &mut Plan, load: &mut Load) {
        match self {
            Change::Aside(n) => plan.blocks[n].outline.clear(),
            Change::Leaf(n) => plan.doors[n].swing = None,
            Change::Off(option) => take_off(option, plan, load),
        }
    }

    fn step(self, plan: &Plan) -> Step {
        let (kind, what) = match self {
            Change::Aside(n) => (StepKind::Aside, texts::cleared(&plan.blocks[n].name)),
            Change::Leaf(n) => (StepKind::LeafOff, texts::leaf_off(&plan.doors[n].name)),
            Change::Off(option) if option.door.is_some() => {
                (StepKind::FrameOff, option.name.clone())
            }
            Change::Off(option) => (StepKind::PartOff, option.name.clone()),
        };
        let stated = match self {
            Change::Off(option) => Some(option),
            _ => None,
        };
        Step {
            kind,
            what,
            cost: stated.map_or_else(String::new, |o| o.cost.clone()),
            price: stated.and_then(|o| o.price),
            lead_days: stated.and_then(|o| o.lead_days),
            place: stated.map_or_else(Place::default, |o| o.place.clone()),
        }
    }
}

/// The part off the load, or the frame out of its door. Nothing grows narrower by it.
fn take_off(option: &Dismantling, plan: &mut Plan, load: &mut Load) {
    let Some(name) = &option.door else {
        let less =
            |side: &mut Length, left: Option<Length>| *side = left.map_or(*side, |l| l.min(*side));
        less(&mut load.length, option.length);
        less(&mut load.width, option.width);
        load.height = load.height.map(|h| option.height.map_or(h, |l| l.min(h)));
        return;
    };
    for door in plan.doors.iter_mut().filter(|d| &d.name == name) {
        widen(door, option.width);
        if let Some(height) = option.height {
            door.height = door.height.map(|h| h.max(height)).or(Some(height));
        }
    }
}

/// The opening at least this wide, evenly to both sides.
fn widen(door: &mut Door, width: Option<Length>) {
    let Some(width) = width.map(Length::to_mm) else {
        return;
    };
    let jambs = door.from.distance(door.to);
    let clear = door.width.map_or(jambs, Length::to_mm);
    if width <= clear {
        return;
    }
    if width <= jambs {
        door.width = Some(Length::mm(width));
        return;
    }
    door.width = None;
    let out = 0.5 * (width - jambs) * (door.to - door.from).normalize_or_zero();
    door.from -= out;
    door.to += out;
}

struct Trial<'a> {
    plan: &'a Plan,
    load: &'a Load,
    effort: &'a Effort,
    watch: Watch<'a>,
}

impl Trial<'_> {
    fn with(&self, changes: &[Change<'_>]) -> (Plan, Load) {
        let (mut plan, mut load) = (self.plan.clone(), self.load.clone());
        changes.iter().for_each(|c| c.apply(&mut plan, &mut load));
        plan.blocks.retain(|b| !b.outline.is_empty());
        (plan, load)
    }

    /// The answer with some changes: the decision, and the way it opens.
    fn asked(&self, changes: &[Change<'_>], wary: bool) -> Result<(ComesIn, Help), Cancelled> {
        let (plan, load) = self.with(changes);
        let clearance_mm = (load.clearance + plan.measured_to).to_mm();
        let mut help = Help {
            load_mm: [load.length.to_mm(), load.width.to_mm()],
            ..Help::default()
        };
        let Some(case) = Case::new(&plan, &load, clearance_mm) else {
            return Ok((ComesIn::CannotSay, help));
        };
        let carried = case.decide(&case.burden(wary), self.effort, self.watch)?;
        let comes_in = match &carried.decision {
            // Only the carrier's word is missing: it must not shunt, and no driven way was found.
            Decision::Yes(_)
                if load.carrier.shunts == Some(false) && !carried.shunts_at.is_empty() =>
            {
                ComesIn::CannotSay
            }
            Decision::Yes(way) => {
                help.way = way.iter().map(told).collect();
                ComesIn::Yes
            }
            Decision::No => ComesIn::No,
            Decision::Undecided => ComesIn::CannotSay,
        };
        if !wary {
            help.ask = case.unknowns();
        }
        Ok((comes_in, help))
    }

    fn described(&self, changes: &[Change<'_>], comes_in: ComesIn, help: Help) -> Help {
        let steps: Vec<Step> = changes.iter().map(|c| c.step(self.plan)).collect();
        let join = |of: fn(&Step) -> &str| {
            let said: Vec<&str> = steps.iter().map(of).filter(|t| !t.is_empty()).collect();
            said.join(", and ")
        };
        Help {
            what: join(|s| &s.what),
            cost: join(|s| &s.cost),
            comes_in,
            steps,
            ..help
        }
    }

    /// The dearest left out first, as long as it still comes in: what remains is all needed.
    fn least(
        &self,
        groups: &[Vec<Change<'_>>],
        wary: bool,
    ) -> Result<Option<Vec<usize>>, Cancelled> {
        let mut kept: Vec<usize> = (0..groups.len()).collect();
        let all = |kept: &[usize]| -> Vec<Change<'_>> {
            kept.iter()
                .flat_map(|n| groups[*n].iter().copied())
                .collect()
        };
        if self.asked(&all(&kept), wary)?.0 != ComesIn::Yes {
            return Ok(None);
        }
        for number in (0..groups.len()).rev() {
            let fewer: Vec<usize> = kept.iter().copied().filter(|n| *n != number).collect();
            if self.asked(&all(&fewer), wary)?.0 == ComesIn::Yes {
                kept = fewer;
            }
        }
        Ok(Some(kept))
    }
}

/// Everything that can be changed, cheapest kinds first.
fn groups<'a>(plan: &Plan, surely: &'a [Dismantling]) -> Vec<Vec<Change<'a>>> {
    let aside: Vec<Change<'_>> = (0..plan.blocks.len())
        .filter(|n| plan.blocks[*n].movable)
        .map(Change::Aside)
        .collect();
    let leaves: Vec<Change<'_>> = (0..plan.doors.len())
        .filter(|n| plan.doors[*n].swing.is_some())
        .map(Change::Leaf)
        .collect();
    let mut off: Vec<&Dismantling> = surely.iter().filter(|o| !o.is_unmeasured()).collect();
    let likely = |o: &Dismantling| o.price.map_or(f64::NAN, |p| p[1].to_amount());
    // Parts of the machine before frames of doors; stated prices in their order.
    off.sort_by(|a, b| {
        (a.door.is_some().cmp(&b.door.is_some())).then(likely(a).total_cmp(&likely(b)))
    });
    let apart = aside.len() + leaves.len() + off.len() <= MOST_STEPS;
    let mut all: Vec<Vec<Change<'a>>> = Vec::new();
    for kind in [aside, leaves] {
        if apart {
            all.extend(kind.into_iter().map(|c| vec![c]));
        } else if !kind.is_empty() {
            all.push(kind);
        }
    }
    all.extend(off.into_iter().map(|o| vec![Change::Off(o)]));
    all
}

/// Tells what would help.
pub(super) fn helps(
    plan: &Plan,
    load: &Load,
    off: &ComesOff<'_>,
    effort: &Effort,
    watch: Watch<'_>,
    answer: &mut WayIn,
) -> Result<(), Cancelled> {
    let trial = Trial {
        plan,
        load,
        effort,
        watch,
    };
    let groups = groups(plan, off.surely);
    if !groups.is_empty() {
        for wary in [true, false] {
            let Some(kept) = trial.least(&groups, wary)? else {
                continue;
            };
            let changes: Vec<Change<'_>> = kept
                .iter()
                .flat_map(|n| groups[*n].iter().copied())
                .collect();
            // Nothing to be changed where only a question is open.
            if !changes.is_empty() {
                let (_, help) = trial.asked(&changes, wary)?;
                let comes_in = if wary {
                    ComesIn::Yes
                } else {
                    ComesIn::CannotSay
                };
                answer.helps.push(trial.described(&changes, comes_in, help));
            }
            break;
        }
    }
    for option in off.surely {
        let alone = [Change::Off(option)];
        let told = |h: &Help| h.steps.len() == 1 && h.what == option.name;
        if option.is_unmeasured() {
            answer.helps.extend(unmeasured(&trial, option, answer)?);
        } else if !answer.helps.iter().any(told) {
            let (comes_in, help) = trial.asked(&alone, false)?;
            let comes_in = comes_in.and_asked(&help.ask);
            answer.helps.push(trial.described(&alone, comes_in, help));
        }
    }
    if answer.helps.iter().all(|h| h.comes_in != ComesIn::Yes) {
        for option in off.perhaps {
            let found = if option.is_unmeasured() {
                unmeasured(&trial, option, answer)?
            } else {
                let alone = [Change::Off(option)];
                let (comes_in, mut help) = trial.asked(&alone, false)?;
                (comes_in == ComesIn::Yes).then(|| {
                    help.ask.push(texts::ask_comes_off(&option.name));
                    help.flips_mm = Some(help.load_mm);
                    trial.described(&alone, ComesIn::CannotSay, help)
                })
            };
            answer.helps.extend(found);
        }
    }
    Ok(())
}

impl ComesIn {
    /// A yes that rests on open questions is none.
    fn and_asked(self, ask: &[String]) -> Self {
        if self == ComesIn::Yes && !ask.is_empty() {
            ComesIn::CannotSay
        } else {
            self
        }
    }
}

/// An option whose sizes nobody stated: worth asking where some size would help.
fn unmeasured(
    trial: &Trial<'_>,
    option: &Dismantling,
    answer: &WayIn,
) -> Result<Option<Help>, Cancelled> {
    let ask = vec![texts::ask_what_is_left(
        &option.name,
        option.door.as_deref(),
    )];
    let help = if let Some(name) = &option.door {
        let door = trial.plan.doors.iter().find(|d| &d.name == name);
        let Some(door) = door else { return Ok(None) };
        let widest = Dismantling {
            width: Some(Length::mm(door.from.distance(door.to)) + FRAME * 2.0),
            height: door.height.map(|h| h + FRAME),
            ..option.clone()
        };
        let (comes_in, help) = trial.asked(&[Change::Off(&widest)], false)?;
        (comes_in == ComesIn::Yes).then_some(help)
    } else {
        // Where smaller loads pass, the sides left may be small enough; where none was looked for,
        // nobody knows.
        let in_height = answer.sticks.as_ref().is_some_and(|s| s.in_height);
        let none = answer.fails_mm.is_some() && answer.largest_mm.is_none() && !in_height;
        (!none).then(|| Help {
            flips_mm: answer.largest_mm,
            ..Help::default()
        })
    };
    Ok(help.map(|help| {
        let help = Help {
            ask,
            way: Vec::new(),
            ..help
        };
        trial.described(&[Change::Off(option)], ComesIn::CannotSay, help)
    }))
}
