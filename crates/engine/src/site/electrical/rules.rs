//! Which code of practice sizes the wiring, and the words every rule shares.

use serde::Serialize;
use units::{ApparentPower, Current, Voltage};

/// The family of wiring rules. The local code and the authority that inspects decide; these are
/// what they commonly follow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Rules {
    /// NFPA 70 (NEC) and NFPA 79: North America. AWG conductors.
    #[default]
    Nec,
    /// IEC 60364 (in Britain BS 7671) and IEC 60204-1: most other places. Metric conductors.
    Iec,
}

/// Number of live phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phases {
    /// Two wires carry the load.
    One,
    /// Three wires carry the load.
    Three,
}

impl Phases {
    /// From a count; anything from two and a half up is three.
    pub fn of(count: f64) -> Self {
        if count >= 2.5 { Self::Three } else { Self::One }
    }

    /// 1 or 3.
    pub fn count(self) -> u8 {
        match self {
            Self::One => 1,
            Self::Three => 3,
        }
    }

    /// Apparent power is voltage times current times this.
    pub fn power_factor_of_lines(self) -> f64 {
        match self {
            Self::One => 1.0,
            Self::Three => 3.0_f64.sqrt(),
        }
    }

    /// Drop along a run is current times impedance of one conductor times this: out and back, or
    /// between two of three lines.
    pub fn drop_factor(self) -> f64 {
        match self {
            Self::One => 2.0,
            Self::Three => 3.0_f64.sqrt(),
        }
    }

    /// Live conductors of the run.
    pub fn wires(self) -> u8 {
        match self {
            Self::One => 2,
            Self::Three => 3,
        }
    }
}

impl Rules {
    /// Conductors and devices are sized for this multiple of the full-load current.
    ///
    /// NEC 430.22 (one motor) and 670.4(A) (machine): 125 %; EC&M Code Q&A, 20 March 2014: 22 A
    /// gives 27.5 A. IEC 60364-4-43 clause 433.1 (BS 7671 433.1.1) asks only that the design current
    /// does not exceed the device's nor the conductor's rating.
    pub fn continuous(self) -> f64 {
        match self {
            Self::Nec => 1.25,
            Self::Iec => 1.0,
        }
    }

    /// What a single-phase outlet feeds for good behind a breaker of this rating.
    pub fn continuous_kva(self, breaker: Current, volts: Voltage) -> ApparentPower {
        ApparentPower::va(breaker.to_a() * volts.to_v() / self.continuous())
    }

    /// Voltage drop from the panel to the machine that is usually kept, as a share.
    ///
    /// NEC 210.19 note: 3 % on a branch, advice and no rule (EC&M, article 20900220). BS 7671
    /// Appendix 4: 5 % for other than lighting.
    pub fn usual_drop(self) -> f64 {
        match self {
            Self::Nec => 0.03,
            Self::Iec => 0.05,
        }
    }

    /// The documents behind the numbers.
    pub fn documents(self) -> &'static str {
        match self {
            Self::Nec => {
                "NFPA 70 (430.6, 430.22, 430.52, 110.14(C), 240.6, 310.16, 455.6, 670.4), NFPA 79"
            }
            Self::Iec => "IEC 60364-4-43 and 60364-5-52 (BS 7671), IEC 60204-1",
        }
    }
}

/// Drop limit of BS 7671 Appendix 4 for a long run: 5 %, and 0.005 % more for each metre beyond 100,
/// at most 0.5 % more.
pub fn bs7671_drop_limit(length_m: f64) -> f64 {
    0.05 + (0.000_05 * (length_m - 100.0)).clamp(0.0, 0.005)
}
