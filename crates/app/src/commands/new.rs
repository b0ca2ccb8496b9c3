//! `firstchip new`: starts a shop folder.

use crate::cli::NewArgs;
use crate::output::{self, Outcome};
use anyhow::Result;

/// Runs the command.
pub fn run(args: &NewArgs) -> Result<Outcome> {
    let written = folder::new_folder(&args.folder, args.demo)?;
    let folder = args.folder.display();
    let mut text = format!("Wrote {} files to {folder}:\n", written.len());
    for file in written {
        text.push_str(&format!("  {file}\n"));
    }
    text.push_str(&format!("Fill them in, then run: firstchip study {folder}\n"));
    output::print(&text)?;
    Ok(Outcome::Answered)
}
