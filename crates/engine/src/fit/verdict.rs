//! The answer of a fit, with margins, reasons and questions.

use super::Held;
use crate::ids::{OfferId, PartId};
use crate::machine::Field;
use serde::Serialize;
use units::{Length, Time};

/// The four answers there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// As it stands.
    Fits,
    /// With more clampings than the part itself asks for.
    FitsWithMoreClampings,
    /// The answer turns on a number nobody has stated.
    CannotSay,
    /// Not even so.
    DoesNotFit,
}

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "named after what is measured")]
pub enum Capability {
    TravelX,
    TravelY,
    TravelZ,
    NoseHigh,
    NoseLow,
    Throat,
    TableX,
    TableY,
    TableLoad,
    Power,
    Torque,
    SpindleSpeed,
    Taper,
    ToolLength,
    ToolDiameter,
    Pockets,
    Accuracy,
    Door,
    Slots,
    ToolWeight,
    ProgramMemory,
    SlowestSpeed,
    CuttingFeed,
    Thrust,
    Grip,
    Deflection,
    Stiffness,
    RotaryAxes,
    Coolant,
    Cutter,
}

impl Capability {
    /// Base unit of its numbers.
    pub fn unit(self) -> &'static str {
        match self {
            Self::TableLoad | Self::ToolWeight => "kg",
            Self::ProgramMemory => "kB",
            Self::Power => "kW",
            Self::Torque | Self::Grip => "N m",
            Self::SpindleSpeed | Self::SlowestSpeed => "1/min",
            Self::CuttingFeed => "m/min",
            Self::Thrust => "N",
            Self::Pockets | Self::RotaryAxes | Self::Coolant | Self::Cutter => "",
            _ => "mm",
        }
    }
}

/// How much is left of a capability; negative when short.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Margin {
    /// Which.
    pub capability: Capability,
    /// In the capability's base unit.
    pub value: f64,
}

/// A reason for a no, or for more clampings or slower cuts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Limit {
    /// Which capability.
    pub capability: Capability,
    /// By how much it is short, in its base unit.
    pub short_by: f64,
    /// The cheapest mend, in words.
    pub mend: String,
    /// Time the mend costs each piece.
    pub costs: Option<Time>,
    /// True when the part cannot be made because of it.
    pub rules_out: bool,
}

/// What a question is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// A measurable property.
    Property(Field),
    /// The spindle taper, by the gauge length of the holders it takes.
    Taper,
}

impl Asked {
    /// Key in offer files.
    pub fn key(self) -> &'static str {
        match self {
            Asked::Property(field) => field.key(),
            Asked::Taper => "taper",
        }
    }

    /// The question to a seller.
    pub fn question(self) -> &'static str {
        match self {
            Asked::Property(field) => field.ask(),
            Asked::Taper => crate::texts::ASK_TAPER,
        }
    }
}

/// A question the verdict turns on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ask {
    /// What is missing.
    #[serde(skip)]
    pub about: Asked,
    /// Name of the input ("offers/x/nose_to_table_max").
    pub input: String,
    /// Value in base units at which the verdict flips.
    pub flips_at: f64,
    /// True when more is better (the answer must be at least `flips_at`).
    pub at_least: bool,
    /// What the class default suggests: yes, no, or nothing when its band straddles the flip.
    pub likely: Option<bool>,
}

/// A number nobody stated, for which the worst there is in practice was taken. The yes holds up to
/// `flips_at`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Assumed {
    /// What is missing.
    #[serde(skip)]
    pub field: Field,
    /// Name of the input ("offers/x/axis_thrust").
    pub input: String,
    /// Taken for it, in base units.
    pub taken: f64,
    /// Value in base units at which the yes is lost.
    pub flips_at: f64,
    /// True when more is better.
    pub at_least: bool,
}

impl Assumed {
    /// Takes the harder of two of one input.
    pub fn harden(&mut self, other: &Assumed) {
        self.flips_at = if self.at_least {
            self.flips_at.max(other.flips_at)
        } else {
            self.flips_at.min(other.flips_at)
        };
    }
}

/// Heights from table to spindle nose, for one setup.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StackUp {
    /// Raised by this much on a riser.
    pub riser: Length,
    /// What holds the work.
    pub held: Held,
    /// Height of the work holding up to the part's underside.
    pub holding: Length,
    /// Part height, stock included.
    pub part: Length,
    /// Clearance over the part for tool changes and loading.
    pub clearance: Length,
    /// Longest gauge length plus stick-out.
    pub longest_tool: Length,
    /// Nose height needed at the top.
    pub nose_high_need: Length,
    /// Nose height needed at the bottom (the lowest any tool asks).
    pub nose_low_need: Length,
    /// Lowest nose the machine has, if stated.
    pub nose_low: Option<Length>,
    /// Highest nose the machine has, if stated.
    pub nose_high: Option<Length>,
}

/// One setup on the machine.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetupFit {
    /// Turned on the table.
    pub turned: bool,
    /// By how many degrees.
    pub angle_deg: f64,
    /// Clampings it takes; none of its own when it joins another on a rotary axis.
    pub clampings: u32,
    /// Of which along X and along Y.
    pub along: [u32; 2],
    /// True when it is taken together with others on a rotary axis.
    pub rotary: bool,
    /// Parts there is room for side by side in one loading.
    pub per_loading: u32,
    /// Heights.
    pub stack: StackUp,
    /// Tool-centre travel needed along X and Y as it lies.
    pub travel_need: [Length; 2],
    /// Size along X and Y as it lies.
    pub size: [Length; 2],
}

/// One part on one offer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fit {
    /// Part.
    pub part: PartId,
    /// Offer.
    pub offer: OfferId,
    /// Verdict.
    pub verdict: Verdict,
    /// Setups the part itself asks for.
    pub setups: u32,
    /// Clampings on this machine.
    pub clampings: u32,
    /// Margins, one per capability compared.
    pub margins: Vec<Margin>,
    /// Reasons.
    pub limits: Vec<Limit>,
    /// Questions.
    pub ask: Vec<Ask>,
    /// What a yes rests on that nobody stated, or one that turns on a question yet: the worst there is
    /// in practice was taken.
    pub assumed: Vec<Assumed>,
    /// Setup by setup.
    pub setups_on: Vec<SetupFit>,
    /// Tools beyond the pockets, changed by hand.
    pub hand_changes: u32,
    /// Distinct tools the part needs.
    pub tools: u32,
    /// Positions of the parts it stands for, when very many parts share it; empty when it is one
    /// part's own.
    #[serde(skip)]
    pub stands_for: Vec<u32>,
}
