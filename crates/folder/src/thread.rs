//! Threads by their names: nominal diameter and pitch. Coarse pitches of ISO 261 and the UNC and UNF
//! series of ASME B1.1, all from memory.

use crate::texts::{self, Wrong};
use units::Length;

/// Nominal diameter and coarse pitch in mm (ISO 261; from memory).
const ISO_COARSE: &[(f64, f64)] = &[
    (1.6, 0.35),
    (2.0, 0.4),
    (2.5, 0.45),
    (3.0, 0.5),
    (3.5, 0.6),
    (4.0, 0.7),
    (5.0, 0.8),
    (6.0, 1.0),
    (7.0, 1.0),
    (8.0, 1.25),
    (10.0, 1.5),
    (12.0, 1.75),
    (14.0, 2.0),
    (16.0, 2.0),
    (18.0, 2.5),
    (20.0, 2.5),
    (22.0, 2.5),
    (24.0, 3.0),
    (27.0, 3.0),
    (30.0, 3.5),
    (33.0, 3.5),
    (36.0, 4.0),
];

/// Size, threads an inch of UNC and of UNF (ASME B1.1; from memory). Zero where there is none.
const UNIFIED: &[(&str, f64, f64)] = &[
    ("0", 0.0, 80.0),
    ("1", 64.0, 72.0),
    ("2", 56.0, 64.0),
    ("3", 48.0, 56.0),
    ("4", 40.0, 48.0),
    ("5", 40.0, 44.0),
    ("6", 32.0, 40.0),
    ("8", 32.0, 36.0),
    ("10", 24.0, 32.0),
    ("12", 24.0, 28.0),
    ("1/4", 20.0, 28.0),
    ("5/16", 18.0, 24.0),
    ("3/8", 16.0, 24.0),
    ("7/16", 14.0, 20.0),
    ("1/2", 13.0, 20.0),
    ("9/16", 12.0, 18.0),
    ("5/8", 11.0, 18.0),
    ("3/4", 10.0, 16.0),
    ("7/8", 9.0, 14.0),
    ("1 in", 8.0, 12.0),
];

/// Nominal diameter and pitch of a thread.
pub(crate) fn thread(text: &str) -> Result<(Length, Length), Wrong> {
    let plain: String = text
        .to_uppercase()
        .chars()
        .filter(|c| !c.is_whitespace())
        .collect();
    let read = match plain.strip_prefix('M') {
        Some(rest) => metric(rest),
        None => unified(&plain),
    };
    read.ok_or_else(|| texts::unknown_thread(&crate::document::shortened(text)))
}

fn metric(rest: &str) -> Option<(Length, Length)> {
    // A tolerance class ("M6-6H") says nothing of size.
    let rest = rest.split('-').next()?;
    let number = |text: &str| text.replace(',', ".").parse::<f64>().ok();
    let (diameter, pitch) = match rest.split_once(['X', '*', '\u{d7}']) {
        Some((d, p)) => (number(d)?, Some(number(p)?)),
        None => (number(rest)?, None),
    };
    let coarse = ISO_COARSE
        .iter()
        .find(|(d, _)| *d == diameter)
        .map(|(_, p)| *p);
    let pitch = pitch.or(coarse)?;
    // A pitch above a third of the diameter is no thread of the standard.
    let fine = (1.0..=300.0).contains(&diameter) && pitch > 0.0 && pitch <= diameter / 3.0;
    fine.then(|| (Length::mm(diameter), Length::mm(pitch)))
}

fn unified(plain: &str) -> Option<(Length, Length)> {
    let plain = plain.trim_start_matches("NO.").trim_start_matches('#');
    let (body, series) = match plain.find("UN") {
        Some(at) => (&plain[..at], Some(&plain[at..])),
        None => (plain, None),
    };
    // A class behind the series ("UNC-2B") says nothing of size.
    let series = series.map(|s| s.split('-').next().unwrap_or(s));
    let body = body.trim_end_matches('-');
    let (size, threads) = match body.rsplit_once('-') {
        Some((size, threads)) => (size, Some(threads.parse::<f64>().ok()?)),
        None => (body, None),
    };
    let size = size.trim_end_matches('"').trim_end_matches("IN");
    let rows = UNIFIED
        .iter()
        .filter(|(name, ..)| *name == size || (*name == "1 in" && size == "1"));
    for (name, coarse, fine) in rows {
        let threads_an_inch = match (threads, series) {
            (Some(n), Some("UNC")) if n == *coarse => n,
            (Some(n), Some("UNF")) if n == *fine => n,
            (Some(n), Some("UN" | "UNS" | "UNEF")) if (4.0..=80.0).contains(&n) => n,
            (Some(n), None) if n == *coarse || n == *fine => n,
            (None, Some("UNC")) if *coarse > 0.0 => *coarse,
            (None, Some("UNF")) => *fine,
            _ => continue,
        };
        return Some((diameter(name)?, Length::inch(1.0 / threads_an_inch)));
    }
    None
}

fn diameter(size: &str) -> Option<Length> {
    if size == "1 in" {
        return Some(Length::inch(1.0));
    }
    match size.split_once('/') {
        Some((n, d)) => Some(Length::inch(
            n.parse::<f64>().ok()? / d.parse::<f64>().ok()?,
        )),
        // Number sizes: 0.060 in and 0.013 in more for each number (ASME B1.1; from memory).
        None => Some(Length::inch(0.060 + 0.013 * size.parse::<f64>().ok()?)),
    }
}

#[cfg(test)]
mod tests {
    use super::thread;

    #[test]
    fn trade_names_are_read() {
        for (text, diameter_mm, pitch_mm) in [
            ("M6", 6.0, 1.0),
            ("m10 x 1", 10.0, 1.0),
            ("M8x1,25", 8.0, 1.25),
            ("M6-6H", 6.0, 1.0),
            ("1/4-20 UNC", 6.35, 1.27),
            ("1/4-20", 6.35, 1.27),
            ("1/4\"-28 UNF-2B", 6.35, 25.4 / 28.0),
            ("10-32", 4.826, 25.4 / 32.0),
            ("#4-40", 2.8448, 0.635),
            ("3/8 UNC", 9.525, 25.4 / 16.0),
            ("1-8 UNC", 25.4, 3.175),
            ("1-64", 1.8542, 25.4 / 64.0),
        ] {
            let (diameter, pitch) = thread(text).unwrap_or_else(|_| panic!("{text}"));
            assert!((diameter.to_mm() - diameter_mm).abs() < 1e-9, "{text}");
            assert!((pitch.to_mm() - pitch_mm).abs() < 1e-9, "{text}");
        }
        for text in [
            "",
            "M",
            "M0",
            "M6x9",
            "6",
            "1/4-20 UNF",
            "1/4-21",
            "UNC",
            "1/0-20",
            "\u{1f527}",
        ] {
            assert!(thread(text).is_err(), "{text}");
        }
    }
}
