//! Every part-by-offer pair as CSV, for spreadsheets.

use crate::contract::study::name;
use engine::study::OfferAnswer;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// A file that is written as offers come, all of it or nothing.
pub struct Pairs {
    file: PathBuf,
    out: BufWriter<NamedTempFile>,
}

impl Pairs {
    /// Begins a file.
    pub fn begin(file: &Path) -> io::Result<Self> {
        let folder = file
            .parent()
            .filter(|p| !p.as_os_str().is_empty())
            .unwrap_or(Path::new("."));
        let mut out = BufWriter::new(NamedTempFile::new_in(folder)?);
        writeln!(
            out,
            "part,offer,verdict,setups,clampings,tools,hand_changes,cycle_s,hours_per_year,bound,ask"
        )?;
        Ok(Self {
            file: file.to_owned(),
            out,
        })
    }

    /// Every part on one offer.
    pub fn write(&mut self, offer: &OfferAnswer) -> io::Result<()> {
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
                self.out,
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
        Ok(())
    }

    /// Puts the file where it belongs.
    pub fn finish(self) -> io::Result<()> {
        let out = self.out.into_inner().map_err(|e| e.into_error())?;
        out.persist(self.file).map_err(|e| e.error)?;
        Ok(())
    }
}

/// A CSV field (RFC 4180).
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
