//! Arguments of `supply` and `floor`.

use clap::{Args, ValueEnum};
use engine::site::converter::Kind;
use engine::site::electrical::Rules;
use std::path::PathBuf;
use units::{
    ApparentPower, Area, Current, Force, GRAVITY_M_S2, Length, Mass, Parse, Power, Quantity,
    Stress, SubgradeModulus, Voltage, parse_dimensions,
};

/// Rules to follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum RulesWord {
    /// NFPA 70 and 79 (North America).
    Nec,
    /// IEC 60364 and 60204-1, BS 7671.
    Iec,
}

impl From<RulesWord> for Rules {
    fn from(word: RulesWord) -> Self {
        match word {
            RulesWord::Nec => Self::Nec,
            RulesWord::Iec => Self::Iec,
        }
    }
}

/// A way to three phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ConverterWord {
    /// An idling motor.
    Rotary,
    /// A drive for the spindle alone.
    Vfd,
    /// Electronics for the whole machine.
    Digital,
    /// The supply has the machine's phases.
    None,
}

impl ConverterWord {
    /// The kind; `None` without a converter.
    pub fn kind(self) -> Option<Kind> {
        match self {
            Self::Rotary => Some(Kind::Rotary),
            Self::Vfd => Some(Kind::Vfd),
            Self::Digital => Some(Kind::Digital),
            Self::None => None,
        }
    }
}

/// Arguments of `supply`.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("load").required(true).args(["hp", "amps", "kva"]))]
pub struct SupplyArgs {
    /// Voltage of the machine ("230 V"; a bare number is volts)
    #[arg(long, value_parser = volts)]
    pub volts: Voltage,
    /// Phases of the machine
    #[arg(long, value_parser = phases)]
    pub phases: u8,
    /// One motor of this power ("7.5", "7.5 hp", "5.5 kW"; a bare number is horsepower)
    #[arg(long, value_parser = hp)]
    pub hp: Option<Power>,
    /// Full-load current on the machine's nameplate
    #[arg(long, value_parser = amps)]
    pub amps: Option<Current>,
    /// Connected load on the machine's nameplate
    #[arg(long, value_parser = kva)]
    pub kva: Option<ApparentPower>,
    /// Largest motor inside the machine, where the nameplate says it
    #[arg(long, value_parser = hp, value_name = "HP")]
    pub largest_motor: Option<Power>,
    /// Way of the wire from the panel to the machine ("60 ft", "18 m")
    #[arg(long, value_parser = length)]
    pub length: Option<Length>,
    /// Voltage drop to keep; 3 % by NEC and 5 % by IEC when left out
    #[arg(long, value_parser = percent, value_name = "3%")]
    pub drop: Option<f64>,
    /// Rules to follow
    #[arg(long, value_enum, default_value = "nec")]
    pub rules: RulesWord,
    /// Way to three phases from a single-phase supply
    #[arg(long, value_enum, default_value = "none")]
    pub converter: ConverterWord,
    /// Voltage of the supply; the machine's when left out
    #[arg(long, value_parser = volts, value_name = "VOLTS")]
    pub source_volts: Option<Voltage>,
    /// Phases of the supply; the machine's, or 1 with a converter, when left out
    #[arg(long, value_parser = phases, value_name = "PHASES")]
    pub source_phases: Option<u8>,
    /// What the terminals are marked for: 60 or 75 (degrees C); by the code's rule when left out
    #[arg(long, value_parser = ["60", "75"], value_name = "60|75")]
    pub terminals: Option<String>,
    /// Temperature around the cable, in degrees C
    #[arg(long, default_value = "30", value_parser = celsius, value_name = "C")]
    pub ambient: f64,
    /// Current the panel can still give
    #[arg(long, value_parser = amps, value_name = "AMPS")]
    pub available: Option<Current>,
    /// Measured voltages between the three lines ("429/415/419"), for their unbalance
    #[arg(long, value_parser = three_volts, value_name = "A/B/C")]
    pub measured: Option<[Voltage; 3]>,
    /// Write the single-line diagram (SVG) to this file
    #[arg(long, value_name = "FILE.svg")]
    pub drawing: Option<PathBuf>,
    /// One JSON document on standard output, nothing else there
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `floor`.
#[derive(Debug, Args)]
pub struct FloorArgs {
    /// What one foot carries ("1900 lb", "850 kg", "8 kN", "2 kip")
    #[arg(long, value_parser = load)]
    pub load: Mass,
    /// Size of that foot or its plate ("4x4 in", "100x100 mm")
    #[arg(long, value_parser = foot, value_name = "AxB")]
    pub foot: Area,
    /// Thickness of the slab ("4 in", "150 mm")
    #[arg(long, value_parser = length)]
    pub slab: Length,
    /// Compressive strength of the concrete ("4000 psi", "28 MPa"); from 1500 to 6000 psi when left out
    #[arg(long, value_parser = stress, value_name = "STRENGTH")]
    pub concrete: Option<Stress>,
    /// Modulus of subgrade reaction ("100 pci", "27 MPa/m"); from 25 to 400 pci when left out
    #[arg(long, value_parser = subgrade, value_name = "K")]
    pub subgrade: Option<SubgradeModulus>,
    /// Modulus of rupture over allowed stress
    #[arg(long, default_value = "2", value_parser = safety, value_name = "FACTOR")]
    pub safety: f64,
    /// One JSON document on standard output, nothing else there
    #[arg(long)]
    pub json: bool,
}

/// Largest and smallest numbers of base units that are believed; what is beyond is a slip of the
/// unit. Common practice, no source.
const BELIEVED: std::ops::Range<f64> = 1.0e-6..1.0e9;

fn positive<Q: Quantity, E: ToString>(read: Result<Q, E>) -> Result<Q, String> {
    let read = read.map_err(|e| e.to_string())?;
    if BELIEVED.contains(&read.base()) {
        Ok(read)
    } else {
        Err(format!(
            "expected a {} greater than zero and of a size that can be meant",
            Q::NAME
        ))
    }
}

/// The tables are of low voltage: NFPA 70 article 430 and IEC 60364 end at 1000 V (from memory).
const MOST_VOLTS: Voltage = Voltage::v(1000.0);

fn volts(text: &str) -> Result<Voltage, String> {
    let volts = positive(Voltage::parse_with_default(text, Voltage::v))?;
    if volts > MOST_VOLTS {
        return Err(format!(
            "{} V is no low voltage: the tables end at 1000 V, and what is above is the utility's",
            volts.to_v()
        ));
    }
    Ok(volts)
}

fn hp(text: &str) -> Result<Power, String> {
    positive(Power::parse_with_default(text, Power::hp))
}

fn amps(text: &str) -> Result<Current, String> {
    positive(Current::parse_with_default(text, Current::a))
}

fn kva(text: &str) -> Result<ApparentPower, String> {
    positive(ApparentPower::parse_with_default(text, ApparentPower::kva))
}

fn length(text: &str) -> Result<Length, String> {
    positive(Length::parse(text))
}

fn stress(text: &str) -> Result<Stress, String> {
    positive(Stress::parse(text))
}

fn subgrade(text: &str) -> Result<SubgradeModulus, String> {
    positive(SubgradeModulus::parse(text))
}

fn load(text: &str) -> Result<Mass, String> {
    let by_mass = Mass::parse(text);
    match (by_mass, Force::parse(text)) {
        // Kilonewtons and kips are forces.
        (Err(_), Ok(force)) => positive::<_, String>(Ok(Mass::kg(force.to_n() / GRAVITY_M_S2))),
        (by_mass, _) => positive(by_mass),
    }
}

fn foot(text: &str) -> Result<Area, String> {
    let sides = parse_dimensions(text).map_err(|e| e.to_string())?;
    match sides.as_slice() {
        [a, b] if *a > Length::ZERO && *b > Length::ZERO => positive::<_, String>(Ok(*a * *b)),
        [_, _] => Err("both sides of a foot are greater than zero".to_owned()),
        _ => Err(format!(
            "expected two sides such as 4x4 in or 100x100 mm, found {}",
            sides.len()
        )),
    }
}

fn phases(text: &str) -> Result<u8, String> {
    match text.trim() {
        "1" => Ok(1),
        "3" => Ok(3),
        other => Err(format!(
            "there are supplies of 1 and of 3 phases, not of '{other}'"
        )),
    }
}

fn percent(text: &str) -> Result<f64, String> {
    let wanted = || format!("expected a percentage such as 3%, found '{text}'");
    let number = text.trim().strip_suffix('%').ok_or_else(wanted)?;
    let value: f64 = number.trim().parse().map_err(|_| wanted())?;
    if value > 0.0 && value <= 20.0 {
        Ok(value / 100.0)
    } else {
        Err(format!(
            "a drop of more than 0 % and up to 20 % can be kept, not '{text}'"
        ))
    }
}

fn celsius(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches(['C', '\u{b0}']).trim();
    match number.parse::<f64>() {
        Ok(value) if (-60.0..=80.0).contains(&value) => Ok(value),
        Ok(_) => Err("expected a temperature from -60 to 80 degrees C".to_owned()),
        Err(_) => Err(format!(
            "expected a temperature in degrees C such as 30, found '{text}'"
        )),
    }
}

fn safety(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(value) if (1.0..=10.0).contains(&value) => Ok(value),
        _ => Err(format!(
            "expected a safety factor from 1 to 10, found '{text}'"
        )),
    }
}

fn three_volts(text: &str) -> Result<[Voltage; 3], String> {
    let read: Vec<Voltage> = text
        .split(['/', ','])
        .map(|each| volts(each.trim()))
        .collect::<Result<_, _>>()?;
    read.try_into()
        .map_err(|_| format!("expected three voltages such as 429/415/419, found '{text}'"))
}
