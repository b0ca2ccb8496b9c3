//! What holds for any folder.

use crate::shop_on_disk::{Files, OFFER, PARTS, SHOP, SITE};
use proptest::prelude::*;

/// A part as a block of text.
fn part(n: usize) -> String {
    format!(
        "[[part]]\nid = \"p{n}\"\nmaterial = \"6061\"\nsize = \"{} x 3 x 1 in\"\nquantity = \"{n} per year\"\n\n",
        4 + n
    )
}

/// What was read, without the places where it stood.
fn content(study: &folder::Study) -> String {
    let lines = format!("{:?}{:?}{:?}", study.shop, study.parts, study.offers);
    let mut plain = String::new();
    let mut rest = lines.as_str();
    while let Some(at) = rest.find("line: ") {
        plain.push_str(&rest[..at]);
        rest = rest[at + 6..].trim_start_matches(|c: char| c.is_ascii_digit());
    }
    plain + rest
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_order_of_parts_is_irrelevant(order in Just((1..7usize).collect::<Vec<_>>()).prop_shuffle()) {
        let mut sorted = Files::sound();
        sorted.put("parts.toml", (1..7).map(part).collect::<String>());
        let mut shuffled = Files::sound();
        shuffled.put("parts.toml", order.iter().map(|n| part(*n)).collect::<String>());
        let (a, b) = (sorted.read().expect("reads"), shuffled.read().expect("reads"));
        prop_assert_eq!(content(&a), content(&b));
    }

    #[test]
    fn the_order_of_keys_is_irrelevant(order in Just(OFFER.lines().collect::<Vec<_>>()).prop_shuffle()) {
        let mut shuffled = Files::sound();
        shuffled.put("offers/mill.toml", order.join("\n"));
        let (a, b) = (Files::sound().read().expect("reads"), shuffled.read().expect("reads"));
        prop_assert_eq!(content(&a), content(&b));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Bytes changed, lost or added anywhere: a study or problems that say where, never a panic.
    #[test]
    fn no_change_of_bytes_makes_it_panic(
        which in 0..4usize,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..3u8), 1..6),
    ) {
        let (name, text) = [("shop.toml", SHOP), ("parts.toml", PARTS), ("offers/mill.toml", OFFER), ("site.toml", SITE)][which];
        let mut bytes = text.as_bytes().to_vec();
        for (at, byte, how) in changes {
            let at = at.index(bytes.len());
            match how {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => { bytes.remove(at); }
            }
        }
        let mut files = Files::sound();
        files.put(name, bytes);
        if let Err(problems) = files.read() {
            prop_assert!(problems.stop());
            prop_assert!(problems.0.iter().all(|p| !p.place.file.is_empty() && !p.message.is_empty()));
        }
    }

    /// Values exchanged for others that are fine elsewhere.
    #[test]
    fn no_change_of_values_makes_it_panic(
        which in any::<prop::sample::Index>(),
        value in prop::sample::select(vec![
            "nan", "-inf", "0", "-0.0", "1e308", "true", "[]", "{}", "\"\"", "\"-\"", "\"|\"", "\"%\"", "\" x \"", "\"1 x\"",
            "\"9e999 in\"", "\"1/0 in\"", "\"- to -\"", "\"M\"", "\"@\"", "\"\u{1f527}\"", "[[1]]", "1979-05-27", "\"per year\"", "\"about\"",
            "\"12 x 8 x 1 in,\"", "\"../..\"", "\"\\u0000\"",
        ]),
    ) {
        let all: Vec<(&str, &str)> = [("shop.toml", SHOP), ("parts.toml", PARTS), ("offers/mill.toml", OFFER), ("site.toml", SITE)]
            .into_iter()
            .flat_map(|(name, text)| text.lines().filter(|l| l.contains(" = ")).map(move |l| (name, l)))
            .collect();
        let (name, line) = all[which.index(all.len())];
        let key = line.split(" = ").next().expect("a key");
        let mut files = Files::sound();
        files.change(name, line, &format!("{key} = {value}"));
        if let Err(problems) = files.read() {
            prop_assert!(problems.stop());
        }
    }
}
