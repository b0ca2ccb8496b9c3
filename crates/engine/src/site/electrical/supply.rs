//! One machine on one supply: currents, conductors, devices, converter, transformer.

use super::breaker::{MOTOR_BREAKER, disconnect, next_standard, standard};
use super::circuit::{Circuit, Feed, circuit};
use super::conductor::{NoConductor, Terminals};
use super::motor::full_load;
use super::rules::{Phases, Rules};
use super::transformer::{self, Transformer};
use crate::site::converter::{self, Choice, Kind, Need};
use serde::Serialize;
use units::{ApparentPower, Current, Length, Power, Voltage};

/// What is connected, as its nameplate says it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Load {
    /// One motor of a power.
    Motor(Power),
    /// A machine's full-load current.
    Amps(Current),
    /// A machine's connected load.
    Apparent(ApparentPower),
}

/// The question.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question {
    /// Voltage of the machine.
    pub volts: Voltage,
    /// Phases of the machine.
    pub phases: Phases,
    /// What is connected.
    pub load: Load,
    /// Largest motor inside, where the nameplate says it.
    pub largest_motor: Option<Power>,
    /// Panel to machine, one way.
    pub length: Option<Length>,
    /// Drop to keep, as a share; `None` for what is usual.
    pub drop_limit: Option<f64>,
    /// Rules.
    pub rules: Rules,
    /// Marking of the terminals; `None` when unmarked.
    pub terminals: Option<Terminals>,
    /// Temperature around the cable, C.
    pub ambient_c: f64,
    /// Voltage of the supply; `None` when it is the machine's.
    pub source_volts: Option<Voltage>,
    /// Phases of the supply.
    pub source_phases: Phases,
    /// Converter wanted; `None` lets the first that serves stand.
    pub converter: Option<Kind>,
    /// Metres to the nearest three-phase line.
    pub line_distance_m: Option<f64>,
}

impl Question {
    /// A machine on its own kind of supply, by the usual rules.
    pub fn new(volts: Voltage, phases: Phases, load: Load) -> Self {
        Self {
            volts,
            phases,
            load,
            largest_motor: None,
            length: None,
            drop_limit: None,
            rules: Rules::Nec,
            terminals: None,
            ambient_c: 30.0,
            source_volts: None,
            source_phases: phases,
            converter: None,
            line_distance_m: None,
        }
    }
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Supply {
    /// Full-load current at the machine's voltage and phases.
    pub load_amps: f64,
    /// Current its conductors are sized for.
    pub design_amps: f64,
    /// Wiring to the machine.
    pub machine: Circuit,
    /// Most the machine's own device may be rated, where the largest motor is known.
    pub breaker_most_a: Option<f64>,
    /// Disconnect in sight of the machine.
    pub disconnect_a: Option<f64>,
    /// Current drawn from the supply, at equal power factor and without losses.
    pub source_amps: f64,
    /// Current the supply must be able to give.
    pub source_need_amps: f64,
    /// Voltage of the supply.
    pub source_volts: f64,
    /// Phases of the supply.
    pub source_phases: Phases,
    /// Wiring from the panel to converter or transformer, where there is one.
    pub source: Option<Circuit>,
    /// Converter taken.
    pub converter: Option<Choice>,
    /// Every way to three phases, where one phase feeds a three-phase machine.
    pub choices: Vec<Choice>,
    /// Transformer, where the voltages differ.
    pub transformer: Option<Transformer>,
    /// Rules followed.
    pub rules: Rules,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum NoSupply {
    /// The motor is beyond the tables.
    MotorTooLarge {
        /// Largest they list.
        largest: Power,
    },
    /// No conductor of the tables serves.
    Conductor(NoConductor),
    /// No standard device is large enough.
    NoBreaker {
        /// Current asked for.
        amps: f64,
    },
    /// A single-phase machine on three phases, or the like, that no converter is for.
    NothingToConvert,
}

/// Voltage and phases a machine is fed from: a single-phase machine takes two of three lines, or one
/// line and the neutral where that is nearer. In North America a single-phase 240 V service has its
/// neutral in the middle, 120 V either way.
pub fn fed_from(
    rules: Rules,
    machine: (Voltage, Phases),
    source: (Voltage, Phases),
) -> (Voltage, Phases) {
    let (volts, phases) = source;
    if machine.1 == Phases::Three {
        return source;
    }
    let to_neutral = match (phases, rules) {
        (Phases::Three, _) => volts / Phases::Three.power_factor_of_lines(),
        (Phases::One, Rules::Nec) if volts >= Voltage::v(200.0) => volts * 0.5,
        (Phases::One, _) => volts,
    };
    let off = |v: Voltage| (v - machine.0).abs();
    let volts = if off(to_neutral) < off(volts) {
        to_neutral
    } else {
        volts
    };
    (volts, Phases::One)
}

/// Answers.
pub fn size(question: &Question) -> Result<Supply, NoSupply> {
    let q = question;
    let convert = q.phases == Phases::Three && q.source_phases == Phases::One;
    if !convert && q.converter.is_some() {
        return Err(NoSupply::NothingToConvert);
    }
    if q.converter == Some(Kind::Utility) {
        return from_utility(q);
    }
    let load = load_current(q)?;
    let design = design_current(q, load)?;
    let motor = matches!(q.load, Load::Motor(_));
    let (source_volts, source_phases) = fed_from(
        q.rules,
        (q.volts, q.phases),
        (q.source_volts.unwrap_or(q.volts), q.source_phases),
    );
    let machine = circuit(
        q,
        Feed {
            phases: q.phases,
            volts: q.volts,
            load,
            design,
            device: device_current(q, load, design),
            motor,
        },
    )?;
    let ratio = q.volts / source_volts;
    let source_amps = if convert {
        converter::source_current(load, q.volts, source_volts)
    } else {
        load * ratio
    };
    let need = Need {
        rules: q.rules,
        load,
        volts: q.volts,
        source_volts,
        largest_motor: q.largest_motor.or(match q.load {
            Load::Motor(power) => Some(power),
            _ => None,
        }),
        one_motor: motor,
        line_distance_m: q.line_distance_m,
    };
    let choices = if convert {
        converter::choices(&need)
    } else {
        Vec::new()
    };
    let taken = convert.then(|| {
        let kind = q.converter.unwrap_or(Kind::Rotary);
        converter::choice(&need, kind)
    });
    let transformer = transformer::needed(q.volts, source_volts)
        .then(|| transformer::size(q.rules, q.phases, q.volts, source_volts, load));
    let real = taken
        .as_ref()
        .and_then(|c| c.input_amps)
        .map_or(source_amps, Current::a);
    let source = if convert || transformer.is_some() {
        let kind = taken.as_ref().map(|c| c.kind);
        let design = source_design(q, load * ratio, real, kind);
        Some(circuit(
            q,
            Feed {
                phases: source_phases,
                volts: source_volts,
                load: real,
                design,
                device: design,
                motor: false,
            },
        )?)
    } else {
        None
    };
    Ok(Supply {
        load_amps: load.to_a(),
        design_amps: design.to_a(),
        breaker_most_a: breaker_most(q, load),
        disconnect_a: disconnect(q.rules, load).map(Current::to_a),
        source_amps: source_amps.to_a(),
        source_need_amps: source_amps.to_a() * q.rules.continuous(),
        source_volts: source_volts.to_v(),
        source_phases,
        source,
        machine,
        converter: taken,
        choices,
        transformer,
        rules: q.rules,
    })
}

/// Full-load current of what is connected.
pub fn load_current(q: &Question) -> Result<Current, NoSupply> {
    match q.load {
        Load::Motor(power) => motor_current(q, power),
        Load::Amps(amps) => Ok(amps),
        Load::Apparent(kva) => {
            let lines = q.phases.power_factor_of_lines();
            Ok(Current::a(kva.to_va() / (q.volts.to_v() * lines)))
        }
    }
}

fn motor_current(q: &Question, power: Power) -> Result<Current, NoSupply> {
    full_load(q.rules, q.phases, power, q.volts)
        .map_err(|largest| NoSupply::MotorTooLarge { largest })
}

/// Current the conductors are sized for. Of a machine whose largest motor is known only that motor
/// counts with 125 % (670.4(A)); of one that is not, the whole does.
fn design_current(q: &Question, load: Current) -> Result<Current, NoSupply> {
    let more = q.rules.continuous() - 1.0;
    let largest = match (q.load, q.largest_motor) {
        (Load::Amps(_) | Load::Apparent(_), Some(power)) => motor_current(q, power)?.min(load),
        _ => load,
    };
    Ok(load + largest * more)
}

/// What the device ahead of the machine is chosen for.
fn device_current(q: &Question, load: Current, design: Current) -> Current {
    match (q.rules, q.load) {
        (Rules::Nec, Load::Motor(_)) => load * MOTOR_BREAKER,
        _ => design,
    }
}

/// 670.4(C): the largest branch device inside plus the other loads; the largest standard rating that
/// does not exceed it.
fn breaker_most(q: &Question, load: Current) -> Option<f64> {
    if q.rules == Rules::Iec || matches!(q.load, Load::Motor(_)) {
        return None;
    }
    let largest = motor_current(q, q.largest_motor?).ok()?.min(load);
    let branch = next_standard(q.rules, largest * MOTOR_BREAKER)?;
    let cap = super::motor::machine_overcurrent_cap(branch, &[load - largest]);
    standard(q.rules)
        .iter()
        .copied()
        .rfind(|r| *r <= cap.to_a() + 5e-4)
}

/// Three phases from the utility, at the machine's voltage; the ways it is an alternative to stay told.
fn from_utility(q: &Question) -> Result<Supply, NoSupply> {
    let otherwise = size(&Question {
        converter: None,
        ..*q
    })?;
    let three = size(&Question {
        converter: None,
        source_phases: Phases::Three,
        source_volts: Some(q.volts),
        ..*q
    })?;
    Ok(Supply {
        converter: otherwise
            .choices
            .iter()
            .find(|c| c.kind == Kind::Utility)
            .cloned(),
        choices: otherwise.choices,
        ..three
    })
}

/// Single-phase conductors of a converter: 250 % of the three-phase current it feeds, in the ratio
/// of the voltages (NEC 455.6(A)(2) and 455.7, from memory); of a drive and of a transformer's primary
/// 125 % of the current drawn (NEC 430.122 and 450.3(B), from memory). Elsewhere the current drawn,
/// losses included.
fn source_design(q: &Question, reflected: Current, real: Current, kind: Option<Kind>) -> Current {
    match (q.rules, kind) {
        (Rules::Nec, Some(Kind::Vfd) | None) => real * 1.25,
        (Rules::Nec, Some(_)) => (reflected * 2.5).max(real * 1.25),
        (Rules::Iec, _) => real,
    }
}
