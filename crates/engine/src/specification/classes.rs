//! Classes of machines for buyers who have no offers yet: what share of the work a usual machine of
//! each class meets, in how many clampings and hours.

use crate::cutting::{LimitsBand, Materials};
use crate::cycle::{PartTime, time_within};
use crate::demand::Demand;
use crate::fit::{Capability, Fit, Practice, Verdict, fit_within};
use crate::ids::{ClassId, PartId};
use crate::machine::{Machine, MachineClass};
use serde::Serialize;

/// What a usual machine of a class does with the parts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassPicture {
    /// Class.
    pub class: ClassId,
    /// What people call it.
    pub name: String,
    /// Parts it makes, of those there are.
    pub parts_met: usize,
    /// Parts there are.
    pub parts: usize,
    /// Share of the pieces of a year it makes.
    pub share_of_pieces: f64,
    /// Clampings of one piece of every part it makes.
    pub clampings: u32,
    /// Of which more than the parts themselves ask for.
    pub further_clampings: u32,
    /// Machine hours a year for the parts it makes.
    pub hours_per_year: f64,
    /// Hours a year somebody stands by.
    pub attended_h: f64,
    /// Parts it makes only with more clampings.
    pub re_clamped: Vec<PartId>,
    /// Parts it does not make.
    pub not_made: Vec<PartId>,
    /// Parts of which it cannot be said, since the class has no usual value of what they turn on.
    pub open: Vec<PartId>,
    /// Of every part it does not make or of which it cannot be said, what stands in the way.
    pub why: Vec<ClassWhy>,
    /// The one part that must be made and keeps a machine of this class from being enough: drop it
    /// or have it made outside, and the class will do.
    pub drop_one: Option<PartId>,
    /// True when every part that must be made is made.
    pub enough: bool,
}

/// What keeps a usual machine of a class from a surely made part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassWhy {
    /// Part.
    pub part: PartId,
    /// Capabilities that rule it out, and by how much each is short, in its base unit.
    pub short: Vec<ClassShort>,
    /// Where nothing rules it out: the properties the class has no usual value of, by their keys.
    pub asks: Vec<&'static str>,
}

/// A capability a usual machine of a class is short of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ClassShort {
    /// Which.
    pub capability: Capability,
    /// By how much, in its base unit.
    pub short_by: f64,
}

fn why(fit: &Fit) -> Option<ClassWhy> {
    let out = fit.verdict == Verdict::DoesNotFit;
    (out || fit.verdict == Verdict::CannotSay).then(|| ClassWhy {
        part: fit.part.clone(),
        short: fit
            .limits
            .iter()
            .filter(|l| l.rules_out)
            .map(|l| ClassShort {
                capability: l.capability,
                short_by: l.short_by,
            })
            .collect(),
        asks: if out {
            Vec::new()
        } else {
            fit.ask.iter().map(|a| a.about.key()).collect()
        },
    })
}

/// The picture of one class. `machine` is its usual machine; its defaults are taken as if stated,
/// which no offer ever is.
pub fn class_picture(
    class: &MachineClass,
    machine: &Machine,
    demands: &[Demand],
    materials: &Materials,
    practice: &Practice,
) -> ClassPicture {
    let machine = Machine {
        properties: machine.properties.as_if_stated(),
        taper: machine
            .taper
            .clone()
            .or_else(|| machine.taper_default.clone()),
        ..machine.clone()
    };
    // A usual machine gives what is likely of it: nothing is left to ask.
    let likely = LimitsBand::of(&machine).likely;
    let band = LimitsBand {
        least: likely,
        likely,
        most: likely,
    };
    let limits = band.likely.as_ref();
    let fits: Vec<Fit> = demands
        .iter()
        .map(|d| fit_within(d, &machine, &band, materials, practice))
        .collect();
    let made = |f: &Fit| matches!(f.verdict, Verdict::Fits | Verdict::FitsWithMoreClampings);
    let times: Vec<PartTime> = demands
        .iter()
        .zip(&fits)
        .filter(|(_, f)| made(f))
        .map(|(d, f)| time_within(d, f, &machine, limits, materials, practice))
        .collect();
    let with = |verdict: Verdict| -> Vec<PartId> {
        fits.iter()
            .filter(|f| f.verdict == verdict)
            .map(|f| f.part.clone())
            .collect()
    };
    let pieces = |d: &Demand| d.per_year.to_number().max(0.0);
    let all: f64 = demands.iter().map(pieces).sum();
    let met: f64 = demands
        .iter()
        .zip(&fits)
        .filter(|(_, f)| made(f))
        .map(|(d, _)| pieces(d))
        .sum();
    let mut missing = demands
        .iter()
        .zip(&fits)
        .filter(|(d, f)| d.must_make && !made(f))
        .map(|(d, _)| d.part.clone());
    let (first, second) = (missing.next(), missing.next());
    let of_made = |of: &dyn Fn(&Fit) -> u32| fits.iter().filter(|f| made(f)).map(of).sum::<u32>();
    ClassPicture {
        class: class.id.clone(),
        name: class.name.clone(),
        parts_met: fits.iter().filter(|f| made(f)).count(),
        parts: demands.len(),
        share_of_pieces: if all > 0.0 { met / all + 0.0 } else { 0.0 },
        clampings: of_made(&|f| f.clampings),
        further_clampings: of_made(&|f| f.clampings.saturating_sub(f.setups)),
        hours_per_year: times.iter().map(|t| t.per_year.to_h()).sum::<f64>() + 0.0,
        attended_h: times
            .iter()
            .map(|t| t.attended_per_year.to_h())
            .sum::<f64>()
            + 0.0,
        re_clamped: with(Verdict::FitsWithMoreClampings),
        not_made: with(Verdict::DoesNotFit),
        open: with(Verdict::CannotSay),
        why: fits.iter().filter_map(why).collect(),
        enough: first.is_none(),
        drop_one: if second.is_none() { first } else { None },
    }
}
