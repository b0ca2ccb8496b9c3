//! `firstchip step`: the tessellation of a STEP file.

use crate::cli::StepArgs;
use crate::output::{self, Outcome};
use anyhow::{Context, Result};
use std::io::{BufWriter, Write};
use std::path::Path;
use step::TessellationOptions;

/// Runs the command.
pub fn run(args: &StepArgs) -> Result<Outcome> {
    let name = args.model.display();
    let bytes = std::fs::read(&args.model).with_context(|| format!("{name}: cannot be read"))?;
    let options = TessellationOptions {
        chord_mm: args.tolerance.map(units::Length::to_mm),
        ..TessellationOptions::default()
    };
    let model = step::load(&bytes, &options, None).with_context(|| name.to_string())?;
    for r in &model.reservations {
        let entity = r.entity.map_or_else(String::new, |id| format!(" #{id}"));
        eprintln!("{name}: {}{entity}: {}", r.kind, r.text);
    }
    let mesh = model.mesh();
    if mesh.triangles.is_empty() {
        eprintln!("{name}: the file holds no solid, so no mesh was written");
        return Ok(Outcome::NoAnswer);
    }
    let out = &args.mesh;
    let folder = out
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut file = tempfile::NamedTempFile::new_in(folder)
        .with_context(|| format!("{}: cannot be written", out.display()))?;
    let mut writer = BufWriter::new(&mut file);
    step::stl::write_stl(&mesh, &mut writer)?;
    writer.flush()?;
    drop(writer);
    file.persist(out)
        .with_context(|| format!("{}: cannot be written", out.display()))?;
    output::print(&format!(
        "Wrote {} triangles of {} solids to {}\n",
        mesh.triangles.len(),
        model.solid_count(),
        out.display()
    ))?;
    Ok(Outcome::Answered)
}
