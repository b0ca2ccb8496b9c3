//! Every part-by-offer pair as CSV, for spreadsheets.

use crate::contract::study::name;
use engine::study::Answer;
use std::io::{self, Write};
use std::path::Path;

/// Writes the file, all of it or nothing.
pub fn write(file: &Path, answer: &Answer) -> io::Result<()> {
    let folder = file
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut out = tempfile::NamedTempFile::new_in(folder)?;
    writeln!(
        out,
        "part,offer,verdict,setups,clampings,tools,hand_changes,cycle_s,hours_per_year,bound,ask"
    )?;
    for offer in answer.offers() {
        for (fit, time) in offer.fits.iter().zip(&offer.times) {
            let (cycle, hours, bound) = match time {
                Some(t) => (
                    format!("{:.1}", t.cycle.total().to_s()),
                    format!("{:.2}", t.per_year.to_h()),
                    name(&t.bound),
                ),
                None => Default::default(),
            };
            let ask: Vec<&str> = fit.ask.iter().map(|a| a.about.key()).collect();
            writeln!(
                out,
                "{},{},{},{},{},{},{},{cycle},{hours},{bound},{}",
                quoted(&fit.part.0),
                quoted(&fit.offer.0),
                name(&fit.verdict),
                fit.setups,
                fit.clampings,
                fit.tools,
                fit.hand_changes,
                ask.join(" "),
            )?;
        }
    }
    out.persist(file).map_err(|e| e.error)?;
    Ok(())
}

/// A CSV field (RFC 4180).
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
