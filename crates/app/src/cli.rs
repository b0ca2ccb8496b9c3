//! The commands and what `--help` says of them.

use crate::cut_args::{BoreArgs, DrillArgs, MillArgs, TapArgs};
pub mod services;

use clap::{Args, Parser, Subcommand};
use engine::entered::CarrierKind;
use geometry::unit::LengthUnit;
use std::path::PathBuf;
use std::time::Duration;
use units::{Length, Mass, Parse, Time};

/// Works out which CNC milling machine a small shop should buy.
///
/// A purchase lives in one folder of plain files: the shop and its budget (shop.toml), the parts
/// to be made (parts.toml and models in parts/), the machines on offer (one file each in offers/)
/// and the room (site.toml). From these, firstchip computes what the parts demand of a mill, which
/// offers meet it, what each really costs, and which one to buy; and it says how sure it is, what
/// it assumed, and what to ask. A number nobody has stated never counts as a yes.
///
/// Start with `firstchip study` to see the answer for the demo shop, then `firstchip new FOLDER`
/// for a folder of your own.
#[derive(Debug, Parser)]
#[command(
    name = "firstchip",
    version,
    max_term_width = 100,
    arg_required_else_help = true
)]
#[command(
    after_help = "Exit codes: 0 answered; 1 no answer that stands; 2 wrong usage or unreadable input; 130 ended by Ctrl-C."
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Answer the whole question for a shop folder (the demo shop when none is given)
    ///
    /// Prints the verdict and how sure it is, then the ceiling (the highest price you may look
    /// at), what your parts demand and which part drives it, which offer makes which part, the
    /// all-in cost of each offer, what was assumed, what to ask and what to do next.
    ///
    /// Ctrl-C while the best purchase is searched ends the search with the best found so far; at any
    /// other time, or pressed again, it cancels, and nothing is written.
    Study(StudyArgs),
    /// Work out how part models are made: size, setups, tools, holes
    ///
    /// Measures each model, finds the fewest setups that reach every face and hole, and says how
    /// it lies and is held in each, what is cut with what, and what no tool reaches. Answers are
    /// kept in the platform's cache folder (FIRSTCHIP_CACHE names another; empty keeps nothing).
    ///
    /// Reads STL, 3MF, OBJ and STEP. STL and OBJ files carry no unit: state it with --unit, or the
    /// command stops and says which unit is likely.
    Part(PartArgs),
    /// Turn a STEP model into a mesh
    ///
    /// Writes the tessellation of every solid, where it stands in the assembly, as binary STL in
    /// millimetres. What could not be read is named, and the file is still written.
    Step(StepArgs),
    /// Ten questions to a first answer and a search brief
    ///
    /// No model and no offer is needed: which classes of machine serve, up to which price, what a
    /// machine must have, what to ask every seller. Answers are read a line each; an empty line
    /// means 'not known'. With --save they become a shop folder to grow from.
    Ask(AskArgs),
    /// Work out one cut: speed, feed, power, torque, thrust
    ///
    /// By the published formulas, without any folder. Quantities carry their unit, metric or inch:
    /// --diameter 80mm --speed 400ft/min. With --material, what is left out is taken from its table,
    /// and the answer carries the band the published tables leave.
    #[command(subcommand)]
    Cut(CutCommand),
    /// Size the supply of one machine: current, wire, breaker, converter
    ///
    /// From a motor's power, or the current or kVA on a nameplate: full-load current by the
    /// published tables, conductor by ampacity and voltage drop, breaker, disconnect, and where one
    /// phase must feed three, every converter with its size, draw and price. A screen: a licensed
    /// electrician and the local code decide.
    Supply(Box<services::SupplyArgs>),
    /// Check one foot of a machine on a concrete slab
    ///
    /// Bending stress inside the slab, at an edge and at a corner against what the concrete allows.
    /// A screen: an engineer signs off elevated or cracked floors.
    Floor(services::FloorArgs),
    /// Ask whether a load comes from the truck to the spot on a floor plan
    ///
    /// The plan is the [plan] table of a site.toml (`firstchip new` writes a commented one). The
    /// answer is yes with a way that was checked, no when there is none, or cannot say between
    /// both; a no tells where the load sticks, by how much, and the largest load of the same
    /// proportions that passes.
    Route(RouteArgs),
    /// Start a shop folder
    ///
    /// Writes commented files to fill in. Nothing that exists is overwritten.
    New(NewArgs),
}

/// What is cut.
#[derive(Debug, Subcommand)]
pub enum CutCommand {
    /// Milling, face milling with a lead angle included
    Mill(MillArgs),
    /// Drilling into the full
    Drill(DrillArgs),
    /// Tapping with a cutting tap
    Tap(TapArgs),
    /// Boring or turning with a single point
    Bore(BoreArgs),
}

/// Arguments of `study`.
#[derive(Debug, Args)]
pub struct StudyArgs {
    /// Shop folder; the built-in demo shop when left out
    pub folder: Option<PathBuf>,
    /// One JSON document on standard output, nothing else there
    #[arg(long)]
    pub json: bool,
    /// Also write every part-by-offer pair to this CSV file
    #[arg(long, value_name = "FILE.csv")]
    pub pairs: Option<PathBuf>,
    /// Write the drawings (SVG) to this folder
    #[arg(long, value_name = "FOLDER")]
    pub drawings: Option<PathBuf>,
    /// Longest time to search for the best purchase, in seconds ("30", "2 min"). If that does not do,
    /// the best found so far is told, and by how much anything else may be better; such an answer
    /// may differ from one machine, and one run, to the next
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    pub time_limit: Option<Duration>,
}

/// Arguments of `part`.
#[derive(Debug, Args)]
pub struct PartArgs {
    /// Model files
    #[arg(required = true, value_name = "MODEL")]
    pub models: Vec<PathBuf>,
    /// Unit of models that carry none: mm, cm, m, in, ft
    #[arg(long, value_parser = unit)]
    pub unit: Option<LengthUnit>,
    /// Material, by group letter of ISO 513 (P M K N S H; O for plastics) or name ("6061"): how
    /// far slender end mills reach
    #[arg(long, value_name = "GROUP")]
    pub material: Option<String>,
    /// Own tools and holders, used before bought ones; the tools.csv of the working directory when
    /// that is a shop folder
    #[arg(long, value_name = "FILE.csv")]
    pub tools: Option<PathBuf>,
    /// Cut engraved marks too, even if they cost a setup
    #[arg(long)]
    pub must_reach_marks: bool,
    /// Leave flat faces on the outside as the stock is, bought to size
    #[arg(long)]
    pub leave_stock_faces: bool,
    /// One JSON document on standard output, nothing else there
    #[arg(long)]
    pub json: bool,
    /// Write drawings of every setup (SVG) to this folder
    #[arg(long, value_name = "FOLDER")]
    pub drawings: Option<PathBuf>,
}

/// Arguments of `step`.
#[derive(Debug, Args)]
pub struct StepArgs {
    /// STEP file
    pub model: PathBuf,
    /// STL file to write
    #[arg(long, value_name = "OUT.stl")]
    pub mesh: PathBuf,
    /// Largest distance between mesh and surface ("0.05 mm"); by default 0.02 % of the part's
    /// diagonal. A bare number is millimetres.
    #[arg(long, value_parser = tolerance)]
    pub tolerance: Option<Length>,
}

/// Arguments of `ask`.
#[derive(Debug, Args)]
pub struct AskArgs {
    /// Write the answers as a shop folder; nothing that exists is overwritten
    #[arg(long, value_name = "FOLDER")]
    pub save: Option<PathBuf>,
    /// One JSON document on standard output, nothing else there
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `route`.
#[derive(Debug, Args)]
pub struct RouteArgs {
    /// Floor plan: a site.toml with a [plan] table, or the shop folder that holds one
    #[arg(value_name = "PLAN.toml")]
    pub plan: PathBuf,
    /// Length by width, and by height when doors and beams count ("2200x1500x2100 mm", "7 ft x 5
    /// ft"); bare numbers are millimetres
    #[arg(long, value_name = "LxW[xH]", value_parser = load)]
    pub load: LoadSize,
    /// Weight of the load, when floors count ("5500 lb")
    #[arg(long, value_parser = quantity::<Mass>)]
    pub weight: Option<Mass>,
    /// Room to keep on every side, beyond the plan's measured_to ("1 in"); none when left out
    #[arg(long, value_parser = tolerance)]
    pub clearance: Option<Length>,
    /// How it is moved, instead of what the plan says: none, skates, pallet jack, forks, gantry
    #[arg(long, value_parser = carrier)]
    pub carrier: Option<CarrierKind>,
    /// Side of the smallest boxes of poses looked at; smaller takes longer [default: 10 mm]
    #[arg(long, value_name = "SIZE", value_parser = tolerance)]
    pub cell: Option<Length>,
    /// Do not look for the largest load that passes
    #[arg(long)]
    pub quick: bool,
    /// Also draw plan and way to this file
    #[arg(long, value_name = "FILE.svg")]
    pub drawing: Option<PathBuf>,
    /// One JSON document on standard output, nothing else there
    #[arg(long)]
    pub json: bool,
}

/// Length, width and, when given, height of a load.
#[derive(Clone, Copy, Debug)]
pub struct LoadSize {
    /// Length.
    pub length: Length,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Option<Length>,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// Folder to write
    pub folder: PathBuf,
    /// Write the demo shop instead of an empty one
    #[arg(long)]
    pub demo: bool,
}

fn unit(text: &str) -> Result<LengthUnit, String> {
    LengthUnit::from_name(text)
        .ok_or_else(|| format!("'{text}' is no unit of length; use mm, cm, m, in or ft"))
}

fn seconds(text: &str) -> Result<Duration, String> {
    let time = Time::parse_with_default(text, Time::s).map_err(|e| e.to_string())?;
    Duration::try_from_secs_f64(time.to_s())
        .map_err(|_| format!("'{text}' is no time to wait; use seconds, such as 30"))
}

fn tolerance(text: &str) -> Result<Length, String> {
    match Length::parse_with_default(text, Length::mm) {
        Ok(length) if length > Length::ZERO => Ok(length),
        Ok(_) => Err("a tolerance is more than nothing".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}

fn load(text: &str) -> Result<LoadSize, String> {
    // Without any unit, millimetres as everywhere on the command line.
    let bare = !text
        .chars()
        .any(|c| matches!(c, '"' | '\'') || (c.is_alphabetic() && c != 'x' && c != 'X'));
    let text = if bare {
        format!("{text} mm")
    } else {
        text.to_owned()
    };
    let sides = units::parse_dimensions(&text).map_err(|e| e.to_string())?;
    if sides
        .iter()
        .any(|s| !s.is_finite() || *s <= Length::ZERO || s.to_mm() > 1.0e6)
    {
        return Err("every side of a load is more than nothing and at most a kilometre".to_owned());
    }
    match sides[..] {
        [length, width] => Ok(LoadSize {
            length,
            width,
            height: None,
        }),
        [length, width, height] => Ok(LoadSize {
            length,
            width,
            height: Some(height),
        }),
        _ => Err(
            "a load is length x width, or length x width x height, such as 2200x1500x2100 mm"
                .to_owned(),
        ),
    }
}

fn quantity<Q: Parse + PartialOrd>(text: &str) -> Result<Q, String> {
    match Q::parse(text) {
        Ok(q) if q.base() > 0.0 => Ok(q),
        Ok(_) => Err("it is more than nothing".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}

fn carrier(text: &str) -> Result<CarrierKind, String> {
    CarrierKind::ALL
        .iter()
        .find(|(word, _)| word.eq_ignore_ascii_case(text.trim()))
        .map(|(_, kind)| *kind)
        .ok_or_else(|| {
            let words: Vec<&str> = CarrierKind::ALL.iter().map(|(word, _)| *word).collect();
            format!("'{text}' is none of {}", words.join(", "))
        })
}
