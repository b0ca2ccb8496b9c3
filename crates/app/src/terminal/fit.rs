//! Which offer makes which part.

use super::needs::{amount, words};
use super::study::Page;
use super::table::{bullet, heading, paragraph, percent, table};
use engine::choice::Outcome;
use engine::fit::{Assumed, Capability, Fit, Verdict};
use engine::machine::Field;
use engine::site::SiteVerdict;

/// The table of parts and offers, and the reason of each no.
pub fn section(page: &Page<'_>) -> String {
    let mut out = heading("Which machine makes which part");
    if page.answer.is_large() {
        out.push_str(&counted(page));
        out.push_str(&granted(page));
        return out;
    }
    let letters: Vec<String> = (0..page.entered.parts.len()).map(letter).collect();
    let legend: Vec<String> = page
        .entered
        .parts
        .iter()
        .zip(&letters)
        .map(|(part, letter)| {
            let want = if part.must_make { "" } else { " (optional)" };
            format!("{letter} {}{want}", part.name)
        })
        .collect();
    out.push_str(&paragraph(&legend.join("; ")));
    out.push_str(&paragraph(
        "yes: as it stands; 3x: in so many clampings, more than the part asks; ask: turns on a \
         number nobody stated; no: not even so.",
    ));
    let rows = page
        .answer
        .offers()
        .map(|offer| {
            let mut row = vec![page.offer_name(&offer.offer)];
            let drawn = offer.in_draws.as_deref();
            row.extend(
                offer
                    .fits
                    .iter()
                    .enumerate()
                    .map(|(at, fit)| often(word(fit), drawn.map(|drawn| drawn.made(at)))),
            );
            let goes_in = match offer.site.goes_in {
                SiteVerdict::Yes => "yes",
                SiteVerdict::CannotSay => "ask",
                SiteVerdict::No => "no",
            };
            let yes = |outcome: &Outcome| outcome.goes_in == SiteVerdict::Yes;
            row.push(often(
                goes_in.to_owned(),
                drawn.map(|drawn| drawn.share(yes)),
            ));
            row
        })
        .collect();
    let mut headings = vec!["offer"];
    headings.extend(letters.iter().map(String::as_str));
    headings.push("goes in");
    out.push_str(&table(&headings, &[], rows));
    if page.answer.offers().any(|offer| offer.in_draws.is_some()) {
        out.push_str(&paragraph(
            "A share stands where ranges you gave change the answer: it is yes in so many of the draws.",
        ));
    }
    out.push_str(&reasons(page, &letters));
    out.push_str(&granted(page));
    out
}

/// What yeses rest on that nobody stated.
fn granted(page: &Page<'_>) -> String {
    // By what is taken, since most offers leave the same out.
    let mut by_text: Vec<(String, Vec<String>)> = Vec::new();
    let mut offers = 0;
    for offer in page.answer.offers() {
        offers += 1;
        let name = page.offer_name(&offer.offer);
        for text in offer.assumed().iter().map(|(a, _)| taken(page, a)) {
            match by_text.iter_mut().find(|(t, _)| *t == text) {
                Some((_, names)) => names.push(name.clone()),
                None => by_text.push((text, vec![name.clone()])),
            }
        }
    }
    let lines: Vec<String> = by_text
        .iter()
        .map(|(text, names)| {
            let whose = if names.len() == offers {
                "every offer".to_owned()
            } else {
                names.join(", ")
            };
            bullet("-", &format!("{text}: {whose}"))
        })
        .collect();
    if lines.is_empty() {
        return String::new();
    }
    let intro = paragraph(
        "Where nobody stated these, a yes takes them as poor as they are in practice; it is lost \
         beyond the value told, so ask where that is near.",
    );
    format!("{intro}{}\n", lines.concat())
}

fn taken(page: &Page<'_>, assumed: &Assumed) -> String {
    let (what, of) = match assumed.field {
        Field::spindle_rpm_min => ("lowest spindle speed", Capability::SlowestSpeed),
        Field::axis_thrust => ("thrust of the axes", Capability::Thrust),
        Field::spindle_torque => ("continuous torque", Capability::Torque),
        _ => ("continuous power", Capability::Power),
    };
    let (side, amount) = (
        if assumed.at_least {
            "at least"
        } else {
            "at most"
        },
        |base| amount(of, base, page.system),
    );
    format!(
        "{what} {}, needed {side} {}",
        amount(assumed.taken),
        amount(assumed.flips_at)
    )
}

/// Very many parts, counted by offer.
fn counted(page: &Page<'_>) -> String {
    let mut out = paragraph(
        "So many parts are counted: as they stand; in more clampings; turning on a number nobody \
         stated; not at all, and what rules most of these out.",
    );
    let rows = page
        .answer
        .offers()
        .map(|offer| {
            let counts = &offer.counts;
            let why = counts.short.first().map_or(String::new(), |s| {
                format!("{} ({} parts)", words(s.capability), s.parts)
            });
            vec![
                page.offer_name(&offer.offer),
                counts.fits.to_string(),
                counts.fits_with_more_clampings.to_string(),
                counts.cannot_say.to_string(),
                counts.does_not_fit.to_string(),
                why,
            ]
        })
        .collect();
    let headings = ["offer", "yes", "more", "ask", "no", "mostly for"];
    out.push_str(&table(&headings, &[1, 2, 3, 4], rows));
    out
}

/// Reason, shortfall and mend of every no.
fn reasons(page: &Page<'_>, letters: &[String]) -> String {
    let mut out = String::new();
    for offer in page.answer.offers() {
        let mut lines: Vec<String> = Vec::new();
        for (fit, letter) in offer.fits.iter().zip(letters) {
            if fit.verdict != Verdict::DoesNotFit {
                continue;
            }
            for limit in fit.limits.iter().filter(|l| l.rules_out) {
                lines.push(format!(
                    "{letter}: {} short by {}; {}",
                    words(limit.capability),
                    amount(limit.capability, limit.short_by, page.system),
                    limit.mend
                ));
            }
        }
        for reason in offer.site.reasons.iter().filter(|r| r.rules_out) {
            lines.push(format!(
                "{}: {}",
                reason.what.replace('_', " "),
                reason.mend
            ));
        }
        if !lines.is_empty() {
            out.push_str(&bullet(
                "-",
                &format!("{}: {}", page.offer_name(&offer.offer), lines.join("; ")),
            ));
        }
    }
    if !out.is_empty() {
        out.push('\n');
    }
    out
}

/// A word with the share of the draws in which it is a yes, where that is not all or none of them.
fn often(word: String, share: Option<f64>) -> String {
    match share.filter(|share| *share > 0.0 && *share < 1.0) {
        // Rounding makes no sure thing of it.
        Some(share) => format!("{word} {}", percent(share.clamp(0.01, 0.99))),
        None => word,
    }
}

fn word(fit: &Fit) -> String {
    match fit.verdict {
        Verdict::Fits => "yes".to_owned(),
        Verdict::FitsWithMoreClampings => format!("{}x", fit.clampings),
        Verdict::CannotSay => "ask".to_owned(),
        Verdict::DoesNotFit => "no".to_owned(),
    }
}

/// A, B ... Z, AA, AB ...
fn letter(index: usize) -> String {
    let own = char::from(b'A' + (index % 26) as u8);
    match index / 26 {
        0 => own.to_string(),
        more => format!("{}{own}", letter(more - 1)),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn letters_go_on_after_z() {
        let some: Vec<String> = [0, 25, 26, 27, 701, 702].map(super::letter).to_vec();
        assert_eq!(some, ["A", "Z", "AA", "AB", "ZZ", "AAA"]);
    }
}
