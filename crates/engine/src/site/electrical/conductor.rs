//! The smallest copper conductor that carries a current and keeps a voltage drop.

use super::rules::{Phases, Rules};
use super::{iec, nec};
use serde::Serialize;
use units::{Current, Length, Voltage};

/// Temperature the terminals are marked for; the cable may not run hotter than they allow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Terminals {
    /// 60 C.
    C60,
    /// 75 C.
    C75,
}

impl Terminals {
    /// What counts when nothing is marked: 60 C up to 100 A, 75 C above (NEC 110.14(C)(1)).
    pub fn unmarked(amps: Current) -> Self {
        if amps.to_a() <= 100.0 {
            Self::C60
        } else {
            Self::C75
        }
    }

    /// 60 or 75.
    pub fn celsius(self) -> u8 {
        match self {
            Self::C60 => 60,
            Self::C75 => 75,
        }
    }
}

/// One size of conductor under the circumstances.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// As the trade writes it: "10 AWG", "6 mm2".
    pub name: String,
    /// Current it may carry.
    pub ampacity_a: f64,
    /// Resistance of one conductor at working temperature.
    pub ohm_per_m: f64,
    /// Reactance of one conductor.
    pub x_ohm_per_m: f64,
    /// Section.
    pub section_mm2: f64,
}

impl Size {
    /// Share of the voltage lost along a run, at the power factor that loses most: |Z| bounds
    /// R cos + X sin for every power factor.
    pub fn drop_share(&self, phases: Phases, amps: Current, length: Length, volts: Voltage) -> f64 {
        phases.drop_factor() * amps.to_a() * length.to_m() * self.ohm_per_m.hypot(self.x_ohm_per_m)
            / volts.to_v()
    }
}

/// What a run must do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Rules.
    pub rules: Rules,
    /// Phases of the run.
    pub phases: Phases,
    /// Voltage of the run.
    pub volts: Voltage,
    /// Current that flows.
    pub load: Current,
    /// Current the conductor must be able to carry: the load and what the rules add, and under IEC
    /// at least the device's rating.
    pub ampacity: Current,
    /// True when it feeds one motor, whose small conductors 240.4(D) does not cap.
    pub motor: bool,
    /// Marking of the terminals; `None` when unmarked.
    pub terminals: Option<Terminals>,
    /// Temperature around, C.
    pub ambient_c: f64,
    /// One way.
    pub length: Option<Length>,
    /// Drop to be kept, as a share.
    pub drop_limit: f64,
}

/// A conductor chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// The size.
    pub size: Size,
    /// Drop along the run, as a share; `None` without a length.
    pub drop_share: Option<f64>,
    /// True when ampacity alone would have taken a smaller one.
    pub grown_for_drop: bool,
    /// Section chosen over the section ampacity alone would take.
    pub grown: f64,
    /// Terminal temperature the ampacity is for.
    pub terminals: Terminals,
}

/// Why no conductor serves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoConductor {
    /// Beyond the largest of the table: conductors in parallel, for an engineer.
    TooMuchCurrent {
        /// Largest ampacity of the table.
        largest: f64,
    },
    /// The run is so long that even the largest drops too much.
    TooMuchDrop {
        /// Drop with the largest.
        drop_share: f64,
    },
    /// Hotter around than the correction tables go.
    TooHot,
}

/// All sizes under the circumstances, small to large.
pub fn sizes(run: &Run) -> Option<(Terminals, Vec<Size>)> {
    match run.rules {
        Rules::Nec => {
            let terminals = run
                .terminals
                .unwrap_or_else(|| Terminals::unmarked(run.ampacity));
            Some((terminals, nec::sizes(terminals, run.ambient_c, run.motor)?))
        }
        // PVC cable runs at 70 C; terminals to IEC 60947 are tested with such cable.
        Rules::Iec => Some((Terminals::C75, iec::sizes(run.phases, run.ambient_c)?)),
    }
}

/// Chooses the smallest that serves.
pub fn choose(run: &Run) -> Result<Chosen, NoConductor> {
    let (terminals, sizes) = sizes(run).ok_or(NoConductor::TooHot)?;
    // Rounding of 1.25 x load must not push a size up.
    let carries = |s: &&Size| s.ampacity_a + 5e-4 >= run.ampacity.to_a();
    let Some(by_ampacity) = sizes.iter().find(carries) else {
        let largest = sizes.iter().map(|s| s.ampacity_a).fold(0.0, f64::max);
        return Err(NoConductor::TooMuchCurrent { largest });
    };
    let drop = |s: &Size| {
        run.length
            .map(|length| s.drop_share(run.phases, run.load, length, run.volts))
    };
    let keeps = |s: &Size| drop(s).is_none_or(|d| d <= run.drop_limit * (1.0 + 1e-9));
    let Some(size) = sizes.iter().filter(carries).find(|s| keeps(s)) else {
        let least = sizes.iter().filter_map(drop).fold(f64::INFINITY, f64::min);
        return Err(NoConductor::TooMuchDrop { drop_share: least });
    };
    Ok(Chosen {
        drop_share: drop(size),
        grown_for_drop: size.section_mm2 > by_ampacity.section_mm2,
        grown: size.section_mm2 / by_ampacity.section_mm2,
        size: size.clone(),
        terminals,
    })
}

/// Grounding (protective) conductor for a device and the line conductor chosen; never larger than
/// the line conductor (NEC 250.122(A), from memory).
pub fn ground(rules: Rules, device: Current, chosen: &Chosen) -> Option<String> {
    match rules {
        Rules::Nec => nec::ground(device.to_a(), chosen.grown, &chosen.size),
        Rules::Iec => Some(iec::protective(chosen.size.section_mm2)),
    }
}

/// Voltage drop by the detailed method of BS 7671 Appendix 4 (6.1): the resistive part corrected to
/// the temperature the load brings the cable to. `ca` is the ambient factor, `rated` the tabulated
/// current, `tp` the highest working temperature in C; mV/A/m as tabulated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bs7671Drop {
    /// Design current.
    pub load: Current,
    /// Tabulated current.
    pub rated: Current,
    /// Ambient and grouping factor together.
    pub factor: f64,
    /// Highest working temperature, C.
    pub working_c: f64,
    /// Resistive part, mV/A/m.
    pub r_mv: f64,
    /// Reactive part, mV/A/m.
    pub x_mv: f64,
    /// Power factor.
    pub cos_phi: f64,
    /// One way.
    pub length: Length,
}

impl Bs7671Drop {
    /// Temperature correction Ct.
    pub fn correction(&self) -> f64 {
        let share = (self.load / self.rated).powi(2);
        let cooler = (self.factor.powi(2) - share) * (self.working_c - 30.0);
        (230.0 + self.working_c - cooler) / (230.0 + self.working_c)
    }

    /// Volts lost.
    pub fn volts(&self) -> Voltage {
        let sin_phi = (1.0 - self.cos_phi.powi(2)).max(0.0).sqrt();
        let mv = self.correction() * self.cos_phi * self.r_mv + sin_phi * self.x_mv;
        Voltage::v(mv * self.load.to_a() * self.length.to_m() / 1000.0)
    }
}
