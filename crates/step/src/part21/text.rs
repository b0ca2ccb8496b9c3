//! Strings of ISO 10303-21 clause 6.4.3 (and their control directives) to Unicode.

use super::code_pages::{Page, upper_half};

/// Decodes the inside of a string literal: doubled quotes, `\\`, `\S\`, `\P.\`, `\X\`, `\X2\`,
/// `\X4\`. Raw bytes above 127, which editions 1 and 2 forbid and every system writes, are taken
/// as UTF-8 where they are, otherwise as Latin-1. What is malformed stays as it stands.
pub fn decode_string(raw: &[u8]) -> String {
    let utf8 = std::str::from_utf8(raw).is_ok();
    let mut out: Vec<u8> = Vec::with_capacity(raw.len());
    let mut page = Page::Latin1;
    let mut at = 0;
    while let Some(&byte) = raw.get(at) {
        let rest = &raw[at..];
        at += match byte {
            b'\'' if rest.get(1) == Some(&b'\'') => {
                out.push(b'\'');
                2
            }
            // A line break in a string only folds the line.
            b'\n' | b'\r' => 1,
            b'\\' => directive(rest, &mut page, &mut out),
            128.. if !utf8 => {
                push(&mut out, char::from(byte));
                1
            }
            _ => {
                out.push(byte);
                1
            }
        };
    }
    String::from_utf8(out)
        .unwrap_or_else(|bad| String::from_utf8_lossy(bad.as_bytes()).into_owned())
}

fn push(out: &mut Vec<u8>, c: char) {
    out.extend_from_slice(c.encode_utf8(&mut [0; 4]).as_bytes());
}

/// Decodes one directive at the start of `rest`; returns how many bytes it took.
fn directive(rest: &[u8], page: &mut Page, out: &mut Vec<u8>) -> usize {
    match rest {
        [_, b'\\', ..] => {
            out.push(b'\\');
            2
        }
        [_, b'S', b'\\', c @ 32..=126, ..] => {
            push(out, upper_half(*page, *c));
            // The character may be an apostrophe, which is doubled as everywhere.
            if *c == b'\'' && rest.get(4) == Some(&b'\'') {
                5
            } else {
                4
            }
        }
        [_, b'P', letter @ b'A'..=b'I', b'\\', ..] => {
            *page = Page::from_letter(*letter);
            4
        }
        [_, b'N' | b'F', b'\\', ..] => 3,
        [_, b'X', b'\\', high, low, ..] => match (hex(*high), hex(*low)) {
            (Some(high), Some(low)) => {
                push(out, char::from((high * 16 + low) as u8));
                5
            }
            _ => literal(out),
        },
        [_, b'X', b'2', b'\\', tail @ ..] => wide(tail, 4, out),
        [_, b'X', b'4', b'\\', tail @ ..] => wide(tail, 8, out),
        _ => literal(out),
    }
}

fn literal(out: &mut Vec<u8>) -> usize {
    out.push(b'\\');
    1
}

fn hex(digit: u8) -> Option<u32> {
    char::from(digit).to_digit(16)
}

/// Groups of 4 or 8 hexadecimal digits up to `\X0\`.
fn wide(tail: &[u8], width: usize, out: &mut Vec<u8>) -> usize {
    let mut units = Vec::new();
    let mut at = 0;
    while let Some(group) = tail.get(at..at + width) {
        let Some(unit) = group
            .iter()
            .try_fold(0u32, |n, d| Some(n.wrapping_mul(16) | hex(*d)?))
        else {
            break;
        };
        units.push(unit);
        at += width;
    }
    if width == 4 {
        let sixteen = units.iter().map(|u| *u as u16);
        for c in char::decode_utf16(sixteen) {
            push(out, c.unwrap_or(char::REPLACEMENT_CHARACTER));
        }
    } else {
        for unit in units {
            push(
                out,
                char::from_u32(unit).unwrap_or(char::REPLACEMENT_CHARACTER),
            );
        }
    }
    let closed = tail[at..].starts_with(b"\\X0\\");
    4 + at + if closed { 4 } else { 0 }
}
