//! Arguments of `firstchip cut`.

use clap::{Args, ValueEnum};
use std::path::PathBuf;
use units::{Angle, Length, Parse, Rpm, Speed, Stress};

/// What every cut is asked with.
#[derive(Debug, Args)]
pub struct CommonArgs {
    #[command(flatten)]
    pub force: ForceArgs,
    /// Exponent of kc = kc1.1 h^-mc (h in millimetres)
    #[arg(long, requires = "kc11", value_parser = exponent)]
    pub mc: Option<f64>,
    #[command(flatten)]
    pub turning: TurningArgs,
    /// Share of the motor's power that reaches the edge: 0.8 or 80 %
    #[arg(long, value_parser = efficiency)]
    pub efficiency: Option<f64>,
    /// Length fed along: gives the time
    #[arg(long, value_parser = positive::<Length>)]
    pub length: Option<Length>,
    /// Tool material that speeds and feeds of --material are taken for
    #[arg(long, value_enum)]
    pub tool: Option<ToolMaterial>,
    /// A materials.toml of your own on top of the built-in table
    #[arg(long, value_name = "FILE.toml")]
    pub materials: Option<PathBuf>,
    /// One JSON document on standard output, nothing else there
    #[arg(long)]
    pub json: bool,
}

/// Where the specific force comes from.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
pub struct ForceArgs {
    /// Specific cutting force ("1800 MPa", "260 ksi")
    #[arg(long, value_parser = positive::<Stress>)]
    pub kc: Option<Stress>,
    /// Specific cutting force at 1 mm chip thickness, with --mc
    #[arg(long, requires = "mc", value_parser = positive::<Stress>)]
    pub kc11: Option<Stress>,
    /// Material by name ("6061", "mild steel") or group letter of ISO 513 (P M K N S H)
    #[arg(long, value_name = "NAME")]
    pub material: Option<String>,
}

/// How fast it turns.
#[derive(Debug, Args)]
#[group(required = false, multiple = false)]
pub struct TurningArgs {
    /// Cutting speed ("120 m/min", "400 ft/min")
    #[arg(long, value_parser = positive::<Speed>)]
    pub speed: Option<Speed>,
    /// Spindle speed (bare numbers are 1/min)
    #[arg(long, value_parser = rpm)]
    pub rpm: Option<Rpm>,
}

/// What the tool is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ToolMaterial {
    /// High-speed steel
    Hss,
    /// Cemented carbide
    Carbide,
}

/// Arguments of `cut mill`.
#[derive(Debug, Args)]
pub struct MillArgs {
    /// Cutter diameter
    #[arg(long, value_parser = positive::<Length>)]
    pub diameter: Length,
    /// Teeth
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=500))]
    pub teeth: u32,
    /// Feed of a tooth ("0.1 mm", "0.004 in")
    #[arg(long, value_parser = positive::<Length>)]
    pub feed_per_tooth: Option<Length>,
    /// Depth of cut along the axis
    #[arg(long, value_parser = positive::<Length>)]
    pub depth: Length,
    /// Width of cut
    #[arg(long, value_parser = positive::<Length>)]
    pub width: Length,
    /// Cutting edge angle kappa r; 90 degrees is a square shoulder, 45 the usual lead of face mills
    #[arg(long, value_parser = angle, default_value = "90deg")]
    pub cutting_edge_angle: Angle,
    /// The cutter stands over the middle of the cut, as a face mill does
    #[arg(long)]
    pub centred: bool,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Arguments of `cut drill`.
#[derive(Debug, Args)]
pub struct DrillArgs {
    /// Drill diameter
    #[arg(long, value_parser = positive::<Length>)]
    pub diameter: Length,
    /// Feed of a turn ("0.2 mm", "0.008 in")
    #[arg(long, value_parser = positive::<Length>)]
    pub feed_per_rev: Option<Length>,
    /// Point angle: leans the thrust by its half; left out, the makers' formula as printed
    #[arg(long, value_parser = angle)]
    pub point_angle: Option<Angle>,
    /// Depth of the hole: with no --length, the point is added for the time
    #[arg(long, value_parser = positive::<Length>)]
    pub depth: Option<Length>,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Arguments of `cut tap`.
#[derive(Debug, Args)]
pub struct TapArgs {
    /// Nominal diameter of the thread
    #[arg(long, value_parser = positive::<Length>)]
    pub diameter: Length,
    /// Pitch of the thread
    #[arg(long, value_parser = positive::<Length>)]
    pub pitch: Length,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Arguments of `cut bore`.
#[derive(Debug, Args)]
pub struct BoreArgs {
    /// Diameter made; without it there is no torque
    #[arg(long, value_parser = positive::<Length>)]
    pub diameter: Option<Length>,
    /// Depth of cut on the radius
    #[arg(long, value_parser = positive::<Length>)]
    pub depth: Length,
    /// Feed of a turn
    #[arg(long, value_parser = positive::<Length>)]
    pub feed_per_rev: Option<Length>,
    /// Cutting edge angle kappa r
    #[arg(long, value_parser = angle, default_value = "90deg")]
    pub cutting_edge_angle: Angle,
    #[command(flatten)]
    pub common: CommonArgs,
}

fn positive<Q: Parse>(text: &str) -> Result<Q, String> {
    Q::parse_positive(text).map_err(|e| e.to_string())
}

fn rpm(text: &str) -> Result<Rpm, String> {
    match Rpm::parse_with_default(text, Rpm::rpm) {
        Ok(rpm) if rpm > Rpm::ZERO => Ok(rpm),
        Ok(_) => Err("a spindle speed is more than nothing".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}

fn angle(text: &str) -> Result<Angle, String> {
    match Angle::parse_with_default(text, Angle::deg) {
        Ok(angle) if angle > Angle::ZERO && angle.to_deg() <= 180.0 => Ok(angle),
        Ok(_) => Err("an angle between 0 and 180 degrees is expected".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}

fn share(text: &str) -> Option<f64> {
    let text = text.trim();
    match text.strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().ok().map(|p| p / 100.0),
        None => text.parse().ok(),
    }
}

fn efficiency(text: &str) -> Result<f64, String> {
    share(text)
        .filter(|e| *e > 0.0 && *e <= 1.0)
        .ok_or_else(|| {
            format!(
                "'{text}' is no efficiency: a share above 0 and up to 1 is expected, such as 0.8"
            )
        })
}

fn exponent(text: &str) -> Result<f64, String> {
    text.trim()
        .parse::<f64>()
        .ok()
        .filter(|mc| (0.0..1.0).contains(mc))
        .ok_or_else(|| {
            format!(
                "'{text}' is no exponent mc: a number from 0 to below 1 is expected, such as 0.25"
            )
        })
}
