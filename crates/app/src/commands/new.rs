//! `firstchip new`: starts a shop folder.

use crate::cli::NewArgs;
use crate::output::{self, Outcome};
use anyhow::Result;
use std::fmt::Write;

/// Runs the command.
pub fn run(args: &NewArgs) -> Result<Outcome> {
    let folder = args.folder.display();
    let written = folder::new_folder(&args.folder, args.demo)?;
    let mut text = format!("Wrote {} files to {folder}:\n", written.len());
    for file in written {
        writeln!(text, "  {file}")?;
    }
    writeln!(text, "Fill them in, then run: firstchip study {folder}")?;
    output::print(&text)?;
    Ok(Outcome::Answered)
}
