//! The commands and what `--help` says of them.

use clap::{Args, Parser, Subcommand};
use geometry::unit::LengthUnit;
use std::path::PathBuf;
use units::{Length, Parse};

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
    after_help = "Exit codes: 0 answered; 1 no answer that stands; 2 wrong usage or unreadable input."
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
    /// Start a shop folder
    ///
    /// Writes commented files to fill in. Nothing that exists is overwritten.
    New(NewArgs),
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
    /// Material, by group letter of ISO 513 (P M K N S H) or name ("6061")
    #[arg(long, value_name = "GROUP")]
    pub material: Option<String>,
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

fn tolerance(text: &str) -> Result<Length, String> {
    match Length::parse_with_default(text, Length::mm) {
        Ok(length) if length > Length::ZERO => Ok(length),
        Ok(_) => Err("a tolerance is more than nothing".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}
