//! What a purchase does in each of the common draws, where numbers of the machine, the room or a part
//! are stated with a spread: a part that fits at the likely numbers may not fit at others.

use crate::fit::Verdict;
use crate::ids::PartId;
use crate::site::SiteVerdict;

/// One part in a draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartIn {
    /// Whether it is made.
    pub verdict: Verdict,
    /// Clampings it takes.
    pub clampings: u32,
}

impl PartIn {
    /// True when it is made.
    pub fn is_made(self) -> bool {
        matches!(self.verdict, Verdict::Fits | Verdict::FitsWithMoreClampings)
    }
}

/// What becomes of a purchase, the same in many draws.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Outcome {
    /// Part by part, in the order of the wishes.
    pub parts: Vec<PartIn>,
    /// The site.
    pub goes_in: SiteVerdict,
}

/// A number in doubt that something turns on.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// Name of the input.
    pub input: String,
    /// The question in words.
    pub about: String,
    /// Values in base units at which something changes while the other numbers are likely, ascending;
    /// empty when it takes others with it.
    pub flips_at: Vec<f64>,
    /// True when more is better.
    pub at_least: bool,
    /// Parts that turn on it.
    pub parts: Vec<PartId>,
    /// True when the site turns on it.
    pub site: bool,
}

/// Every draw's outcome.
#[derive(Clone, Debug, PartialEq)]
pub struct InDraws {
    /// Those there are, no two alike.
    pub outcomes: Vec<Outcome>,
    /// By draw: its outcome's place.
    pub of: Vec<u32>,
    /// What they turn on.
    pub turns: Vec<Turn>,
}

impl InDraws {
    /// The outcome of a draw.
    pub fn at(&self, draw: usize) -> &Outcome {
        &self.outcomes[self.of[draw] as usize]
    }

    /// Share of the draws whose outcome passes.
    pub fn share(&self, passes: impl Fn(&Outcome) -> bool) -> f64 {
        let passing: Vec<bool> = self.outcomes.iter().map(passes).collect();
        let count = self.of.iter().filter(|at| passing[**at as usize]).count();
        count as f64 / self.of.len().max(1) as f64
    }

    /// Draw by draw: whether the outcome passes.
    pub fn each(&self, passes: impl Fn(&Outcome) -> bool) -> Vec<bool> {
        let passing: Vec<bool> = self.outcomes.iter().map(passes).collect();
        self.of.iter().map(|at| passing[*at as usize]).collect()
    }

    /// Share of the draws in which a part is made.
    pub fn made(&self, part: usize) -> f64 {
        self.share(|outcome| outcome.parts[part].is_made())
    }
}

impl Outcome {
    /// True when the machine is not known to stay outside, and nothing that is needed is known not
    /// to fit.
    pub fn does(&self, needed: impl Fn(usize) -> bool) -> bool {
        let fails =
            |(at, part): (usize, &PartIn)| needed(at) && part.verdict == Verdict::DoesNotFit;
        self.goes_in != SiteVerdict::No && !self.parts.iter().enumerate().any(fails)
    }

    /// True when the machine goes in and everything needed is made.
    pub fn surely_does(&self, needed: impl Fn(usize) -> bool) -> bool {
        self.goes_in == SiteVerdict::Yes && self.makes_all(needed)
    }

    /// True when everything needed is made.
    pub fn makes_all(&self, needed: impl Fn(usize) -> bool) -> bool {
        let made = |(at, part): (usize, &PartIn)| !needed(at) || part.is_made();
        self.parts.iter().enumerate().all(made)
    }
}
