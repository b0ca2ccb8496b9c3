//! Numbers as text, rounded.

use Rounding::{Decimals, Significant};

/// How a number is rounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rounding {
    /// To this many significant digits.
    Significant(u8),
    /// To this many decimals.
    Decimals(u8),
}

/// Prints a number rounded, with commas between thousands from 10,000 on and no idle zeros.
pub fn number_text(number: f64, rounding: Rounding) -> String {
    if number.is_nan() {
        return "unknown".to_owned();
    }
    if number.is_infinite() {
        return if number > 0.0 {
            "infinite"
        } else {
            "-infinite"
        }
        .to_owned();
    }
    let decimals = match rounding {
        Decimals(d) => i32::from(d),
        Significant(digits) => decimals_for(number, digits),
    };
    let fixed = fixed(number, decimals);
    let trimmed = if fixed.contains('.') {
        fixed.trim_end_matches('0').trim_end_matches('.')
    } else {
        &fixed
    };
    let text = if trimmed == "-0" { "0" } else { trimmed };
    let digits = text.trim_start_matches('-').split('.').next().unwrap_or("");
    if digits.len() > 4 {
        grouped(text)
    } else {
        text.to_owned()
    }
}

/// Decimals that leave this many significant digits; negative when tens and more are rounded away.
pub(super) fn decimals_for(number: f64, digits: u8) -> i32 {
    if number == 0.0 {
        return 0;
    }
    // The exponent of the number once rounded: 999.6 to three digits is 1000.
    let rounded = format!("{:.*e}", usize::from(digits.max(1)) - 1, number);
    let exponent: i32 = rounded
        .split('e')
        .nth(1)
        .and_then(|e| e.parse().ok())
        .unwrap_or(0);
    i32::from(digits) - 1 - exponent
}

/// Fixed decimals; negative ones round to tens, hundreds ...
pub(super) fn fixed(number: f64, decimals: i32) -> String {
    match usize::try_from(decimals) {
        Ok(decimals) => format!("{number:.decimals$}"),
        Err(_) => {
            let step = 10f64.powi(-decimals);
            format!("{:.0}", (number / step).round() * step)
        }
    }
}

/// Commas between groups of three digits before the decimal point.
pub(super) fn grouped(text: &str) -> String {
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", text),
    };
    let (whole, tail) = match rest.find('.') {
        Some(point) => rest.split_at(point),
        None => (rest, ""),
    };
    let mut out = String::from(sign);
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    out.push_str(tail);
    out
}
