//! Every part-by-offer pair as CSV, for spreadsheets.

use crate::contract::study::name;
use engine::ids::OfferId;
use engine::study::OfferAnswer;
use std::io::{self, BufWriter, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// A file that is written as offers come, all of it or nothing.
pub struct Pairs {
    file: PathBuf,
    out: BufWriter<NamedTempFile>,
    /// Where the pairs of each offer begin, in the order they were written.
    begins: Vec<(OfferId, u64)>,
}

impl Pairs {
    /// Begins a file.
    pub fn begin(file: &Path) -> io::Result<Self> {
        let mut out = BufWriter::new(temporary(file)?);
        writeln!(
            out,
            "part,offer,verdict,setups,clampings,tools,hand_changes,cycle_s,hours_per_year,bound,ask"
        )?;
        Ok(Self {
            file: file.to_owned(),
            out,
            begins: Vec::new(),
        })
    }

    /// Every part on one offer. An offer written before, with other options, is written in its place.
    pub fn write(&mut self, offer: &OfferAnswer) -> io::Result<()> {
        let end = self.out.stream_position()?;
        let Some(at) = self.begins.iter().position(|(o, _)| *o == offer.offer) else {
            self.begins.push((offer.offer.clone(), end));
            return self.write_pairs(offer);
        };
        let begin = self.begins[at].1;
        let next = self.begins.get(at + 1).map_or(end, |(_, next)| *next);
        // Copied around the old ones, file to file: there may be very many.
        let whole = BufWriter::new(temporary(&self.file)?);
        let mut old = std::mem::replace(&mut self.out, whole)
            .into_inner()
            .map_err(|e| e.into_error())?;
        old.rewind()?;
        io::copy(&mut Read::by_ref(&mut old).take(begin), &mut self.out)?;
        self.write_pairs(offer)?;
        let moved = self.out.stream_position()?;
        for (_, begins) in &mut self.begins[at + 1..] {
            *begins = *begins - next + moved;
        }
        old.seek(SeekFrom::Start(next))?;
        io::copy(&mut old, &mut self.out)?;
        Ok(())
    }

    fn write_pairs(&mut self, offer: &OfferAnswer) -> io::Result<()> {
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

/// A file beside the one that is to be.
fn temporary(file: &Path) -> io::Result<NamedTempFile> {
    let folder = file
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    NamedTempFile::new_in(folder)
}

/// A CSV field (RFC 4180).
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use engine::study::{Settings, run};
    use units::Watch;

    #[test]
    fn an_offer_written_again_stands_in_its_old_place() {
        let demo = folder::demo(Watch::NOBODY).unwrap();
        let settings = Settings {
            draws: 64,
            ..Settings::new(2026)
        };
        let answer = run(&demo.inputs(), &settings, Watch::NOBODY).unwrap();
        let offers: Vec<OfferAnswer> = answer.offers().cloned().collect();
        let folder = tempfile::tempdir().unwrap();
        let written = |name: &str, offers: &[&OfferAnswer]| {
            let file = folder.path().join(name);
            let mut pairs = Pairs::begin(&file).unwrap();
            for offer in offers {
                pairs.write(offer).unwrap();
            }
            pairs.finish().unwrap();
            std::fs::read_to_string(file).unwrap()
        };
        // Longer and shorter than before.
        let [mut longer, mut shorter] = [offers[1].clone(), offers[0].clone()];
        longer.fits[0].hand_changes = 1_000_000;
        shorter.fits.truncate(2);
        shorter.times.truncate(2);
        let [a, b, c] = [&offers[0], &offers[1], &offers[2]];
        let again = written("again", &[a, b, c, &longer, &shorter, &longer]);
        assert_eq!(again, written("once", &[&shorter, &longer, c]));
        assert!(again.contains(",1000000,"));
        let last = written("last", &[a, b, &longer]);
        assert_eq!(last, written("last once", &[a, &longer]));
    }
}
