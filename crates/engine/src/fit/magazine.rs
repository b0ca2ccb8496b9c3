//! Tools against the changer: pockets, wide, long and heavy tools. None of these rules a part out:
//! tools are put in by hand.

use super::holder::{Holders, holders};
use super::tally::{Tally, short};
use super::tools::{distinct_tools, uses};
use super::{Capability, Practice};
use crate::cutting::{Limits, Material, possible_cut_within};
use crate::demand::{Demand, ToolNeed, ToolShape};
use crate::machine::Machine;
use crate::texts;
use units::{Length, Mass, Time};

/// Tools wider than a pocket takes beside full neighbours go in up to this many times that width
/// when the neighbours are empty (common practice, no source; makers' sheets give 1.5 to 1.9).
const WIDE: f64 = 1.6;
/// Height of a face mill's body (common practice, no source).
const FACE_MILL_HEIGHT: Length = Length::mm(45.0);
/// Density of steel, kg/m3.
const STEEL: f64 = 7850.0;

/// Which of a part's distinct tools are changed by hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Magazine {
    /// One answer a tool, in the order of [`distinct_tools`].
    pub by_hand: Vec<bool>,
}

impl Magazine {
    /// Number of tools changed by hand.
    pub fn count(&self) -> u32 {
        self.by_hand.iter().filter(|h| **h).count() as u32
    }
}

/// How a tool suits the changer.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Suits {
    Pocket,
    /// With the neighbouring pockets empty.
    Wide,
    No,
}

fn suits(tool: &ToolNeed, machine: &Machine, practice: &Practice) -> Suits {
    let p = &machine.properties;
    let too_long = p
        .tool_length_max
        .stated()
        .is_some_and(|most| short((most - length(tool, machine, practice)).to_mm()));
    let too_heavy = p
        .tool_weight_max
        .stated()
        .is_some_and(|most| mass(tool, machine) > most);
    if too_long || too_heavy {
        return Suits::No;
    }
    match p.tool_diameter_max.stated() {
        Some(most) if short((most - tool.diameter).to_mm()) => {
            if tool.diameter.fits(most * WIDE) {
                Suits::Wide
            } else {
                Suits::No
            }
        }
        _ => Suits::Pocket,
    }
}

/// Holder and tool from the gauge line.
fn length(tool: &ToolNeed, machine: &Machine, practice: &Practice) -> Length {
    practice.gauge(machine) + practice.stick_out(tool.reach)
}

/// Holder and tool. Only face mills weigh anything beside their holders.
fn mass(tool: &ToolNeed, machine: &Machine) -> Mass {
    let holder = machine
        .taper
        .as_ref()
        .map_or(Mass::ZERO, |t| holders(t).mass);
    if tool.shape != ToolShape::Face {
        return holder;
    }
    let d = tool.diameter.to_m();
    let volume_m3 = std::f64::consts::FRAC_PI_4 * d * d * FACE_MILL_HEIGHT.to_m();
    holder + Mass::kg(volume_m3 * STEEL)
}

/// Fills the pockets with the tools that change most, wide ones last, since each of them costs more
/// than one pocket (so a larger changer never leaves more to do by hand); the rest is changed by
/// hand. One tool alone stays in the spindle. Wide tools stand together with an empty pocket at
/// either end and between.
pub fn magazine(demand: &Demand, machine: &Machine, practice: &Practice) -> Magazine {
    let tools = distinct_tools(demand);
    let mut by_hand = vec![true; tools.len()];
    if tools.len() <= 1 {
        by_hand.fill(false);
        return Magazine { by_hand };
    }
    let pockets = machine
        .properties
        .changer_pockets
        .estimate()
        .map_or(0.0, |n| n.to_number().max(0.0).floor()) as usize;
    let uses = uses(demand, &tools);
    let mut order: Vec<(Suits, std::cmp::Reverse<u32>, usize)> = tools
        .iter()
        .enumerate()
        .map(|(at, tool)| {
            let suits = suits(tool, machine, practice);
            (suits, std::cmp::Reverse(uses[at]), at)
        })
        .collect();
    order.sort();
    let (mut taken, mut wide) = (0, 0);
    for (suits, _, at) in order {
        let needed = match suits {
            Suits::No => continue,
            Suits::Pocket => 1,
            Suits::Wide if wide == 0 => 3,
            Suits::Wide => 2,
        };
        if taken + needed <= pockets {
            taken += needed;
            wide += usize::from(needed > 1);
            by_hand[at] = false;
        }
    }
    Magazine { by_hand }
}

/// What tools are compared in.
#[derive(Clone, Copy)]
pub(super) struct With<'a> {
    pub demand: &'a Demand,
    pub machine: &'a Machine,
    /// For what a smaller cutter costs.
    pub cutting: Option<(&'a Material, &'a Limits)>,
    pub practice: &'a Practice,
}

impl With<'_> {
    /// Time the piece takes longer when a tool goes in by hand so many times: one part a loading.
    fn by_hand(&self, uses: u32) -> Time {
        let changer = self.machine.properties.tool_change.estimate();
        let hand = self.practice.mends.hand_change;
        let longer = hand - changer.unwrap_or(Time::ZERO).max(Time::ZERO);
        longer.max(Time::ZERO) * f64::from(uses)
    }

    /// Time the tasks of a tool take longer with a smaller one; `None` when it cannot do them.
    fn with_smaller(&self, tool: &ToolNeed, most: Length) -> Option<Time> {
        let (material, limits) = self.cutting?;
        let own = self.demand.tasks();
        let own = own.filter(|t| t.tool.shape == tool.shape && t.tool.diameter == tool.diameter);
        own.map(|task| {
            let mut smaller = task.clone();
            smaller.tool.diameter = most;
            smaller.tool.corner = smaller.tool.corner.min(most / 2.0);
            let before = possible_cut_within(task, material, limits)?;
            let after = possible_cut_within(&smaller, material, limits)?;
            Some((after.time - before.time).max(Time::ZERO))
        })
        .sum()
    }
}

pub(super) fn compare(with: With<'_>, tools: &[ToolNeed], filled: &Magazine, tally: &mut Tally) {
    let With {
        demand,
        machine,
        practice,
        ..
    } = with;
    let p = &machine.properties;
    let uses = uses(demand, tools);
    let cost_of = |at: usize| {
        if filled.by_hand[at] {
            with.by_hand(uses[at])
        } else {
            Time::ZERO
        }
    };
    if let Some(pockets) = p.changer_pockets.stated() {
        let margin = pockets.to_number() - tools.len() as f64;
        tally.margin(Capability::Pockets, margin);
        let by_hand = filled.count();
        if by_hand > 0 {
            // A tool the changer cannot take costs where its own limit is told.
            let room = |at: &usize| suits(&tools[*at], machine, practice) != Suits::No;
            let costs = (0..tools.len()).filter(room).map(cost_of).sum();
            tally.limit(
                Capability::Pockets,
                (-margin).max(f64::from(by_hand)),
                texts::hand_changes(by_hand),
                Some(costs),
                false,
            );
        }
    }
    let own = machine.taper.as_ref().map(holders);
    for (at, tool) in tools.iter().enumerate() {
        if let Some(own) = &own {
            taper(with, own, tool, tally);
        }
        // The first of its limits carries what putting it in by hand costs.
        let mut left = cost_of(at);
        let mut past_changer = |capability, margin: f64, wide: bool| {
            tally.margin(capability, margin);
            if short(margin) {
                let mend = if wide {
                    texts::empty_neighbours()
                } else {
                    texts::load_by_hand()
                };
                // One that is wide but has a place is in the count of pockets.
                let costs = if wide {
                    Time::ZERO
                } else {
                    std::mem::take(&mut left)
                };
                tally.limit(capability, -margin, mend, Some(costs), false);
            }
        };
        let wide = suits(tool, machine, practice) == Suits::Wide;
        if let Some(most) = p.tool_diameter_max.stated() {
            past_changer(
                Capability::ToolDiameter,
                (most - tool.diameter).to_mm(),
                wide,
            );
        }
        if let Some(most) = p.tool_length_max.stated() {
            let length = length(tool, machine, practice);
            past_changer(Capability::ToolLength, (most - length).to_mm(), false);
        }
        if let Some(most) = p.tool_weight_max.stated() {
            let margin = (most - mass(tool, machine)).to_kg();
            past_changer(Capability::ToolWeight, margin, false);
        }
    }
}

/// The cutter against what the taper's holders carry.
fn taper(with: With<'_>, own: &Holders, tool: &ToolNeed, tally: &mut Tally) {
    // Small shanks carry larger taps, drills with a turned shank and boring heads.
    let most = match tool.shape {
        ToolShape::Tap | ToolShape::Drill | ToolShape::Boring | ToolShape::Reamer => return,
        ToolShape::Face => own.face_mill,
        _ => own.shank,
    };
    let margin = (most - tool.diameter).to_mm();
    tally.margin(Capability::Taper, margin);
    if short(margin) {
        let costs = with.with_smaller(tool, most);
        let mend = texts::smaller_tool(most);
        tally.limit(Capability::Taper, -margin, mend, costs, false);
    }
}
