//! Other numbers, another order, other spaces between the same tokens.

use super::{Text, assert_same, load};
use crate::damage::Random;
use std::collections::BTreeMap;

const FILES: [&str; 8] = [
    "assembly_inch",
    "bezier_top",
    "bracket_with_pcurves",
    "cone_fused_torus",
    "faceted_sphere",
    "tessellated_bracket",
    "two_bodies",
    "voids",
];

/// The text with every token outside of strings handed through `token`; tokens are references and
/// single characters, and strings as a whole.
fn by_tokens(text: &str, mut token: impl FnMut(&str, &mut String)) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '\'' => rest[1..].find('\'').expect("the string ends") + 2,
            '#' => 1 + rest[1..].bytes().take_while(u8::is_ascii_digit).count(),
            c => c.len_utf8(),
        };
        token(&rest[..length], &mut out);
        rest = &rest[length..];
    }
    out
}

fn shuffled(list: &mut [u64], random: &mut Random) {
    for i in (1..list.len()).rev() {
        list.swap(i, random.below(i + 1));
    }
}

#[test]
fn other_numbers_in_another_order() {
    for (round, name) in (0..).zip(FILES) {
        let mut random = Random::of_round(round);
        let text = Text::of(name);
        let want = load(&text.written());
        let mut old: Vec<u64> = text.instances.keys().copied().collect();
        shuffled(&mut old, &mut random);
        let mut new_of = BTreeMap::new();
        let mut next = 0;
        for n in &old {
            // Gaps, some of which add up to beyond 32 bits.
            let wide = random.below(50) == 0;
            next += 1 + random.below(if wide { 3_000_000_000 } else { 4 }) as u64;
            new_of.insert(*n, next);
        }
        shuffled(&mut old, &mut random);
        let renumbered: Vec<(u64, String)> = old
            .iter()
            .map(|n| {
                let body = by_tokens(&text.instances[n], |token, out| {
                    match token.strip_prefix('#') {
                        Some(digits) => {
                            let n: u64 = digits.parse().expect("a number");
                            *out += &format!("#{}", new_of[&n]);
                        }
                        None => *out += token,
                    }
                });
                (new_of[n], body)
            })
            .collect();
        let got = load(&text.in_order(renumbered.iter().map(|(n, body)| (n, body))));
        // Only sums over faces that were met in another order may round otherwise.
        assert_same(name, &got, &want, 1e-12);
        assert_eq!(got.reservations.len(), want.reservations.len(), "{name}");
    }
}

#[test]
fn other_spaces_and_comments() {
    const FILLERS: [&str; 8] = [
        " ",
        "\r\n",
        "\t",
        "\n\n",
        "\r",
        "/* it's; #5=('*/",
        "/**/",
        " /* a\r\n * b / ** */ ",
    ];
    for (round, name) in (100..).zip(FILES) {
        let mut random = Random::of_round(round);
        let text = Text::of(name);
        let want = load(&text.written());
        let spaced = by_tokens(&text.written(), |token, out| {
            let breaks = matches!(token, "(" | ")" | "," | "=" | ";");
            let mut filler = |out: &mut String| {
                if breaks && random.below(3) == 0 {
                    *out += FILLERS[random.below(FILLERS.len())];
                }
            };
            filler(out);
            *out += token;
            filler(out);
        });
        assert_same(name, &load(&spaced), &want, 0.0);

        let windows = text.written().replace('\n', "\r\n");
        assert_same(name, &load(&windows), &want, 0.0);

        // Nothing between tokens at all.
        let tight = by_tokens(&text.written(), |token, out| {
            if !token.chars().all(char::is_whitespace) {
                *out += token;
            }
        });
        assert_same(name, &load(&tight), &want, 0.0);
    }
}
