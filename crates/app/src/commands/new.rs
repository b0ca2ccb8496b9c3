//! `firstchip new`: starts a shop folder.

use crate::cli::NewArgs;
use crate::output::{self, Outcome};
use anyhow::{Result, anyhow};

/// Runs the command.
pub fn run(args: &NewArgs) -> Result<Outcome> {
    let folder = args.folder.display();
    folder::new_folder(&args.folder, args.demo)
        .map_err(|problems| anyhow!("no folder was written\n{problems}"))?;
    output::print(&format!(
        "Wrote a shop folder to {folder}: shop.toml, parts.toml, site.toml and offers/.\n\
         Fill them in, then run: firstchip study {folder}\n"
    ))?;
    Ok(Outcome::Answered)
}
