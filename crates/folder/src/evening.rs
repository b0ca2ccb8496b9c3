//! The first evening: ten questions whose answers, as typed, become the files of a shop folder. No
//! model and no offer is needed; what is not answered is left out, so that the answer rests on
//! stated defaults there.

use crate::source::Source;
use crate::start::{NotWritten, write_files};
use std::collections::BTreeMap;
use std::path::Path;

/// One of the ten questions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asked {
    /// All-in budget.
    Budget,
    /// Size of the largest part.
    LargestPart,
    /// Material of most parts.
    Material,
    /// Pieces a month.
    PiecesAMonth,
    /// Size of the tallest part.
    TallestPart,
    /// How far the longest tool must reach, and how many tools a part takes.
    Tools,
    /// Door and supply.
    DoorAndSupply,
    /// Spot and ceiling.
    SpotAndCeiling,
    /// What is owned.
    Owned,
    /// What the purchase is for.
    Aim,
}

/// What a question says.
#[derive(Clone, Copy, Debug)]
pub struct Wording {
    /// The question.
    pub question: &'static str,
    /// How an answer may look.
    pub example: &'static str,
    /// What an answer changes.
    pub why: &'static str,
}

impl Asked {
    /// All ten, in the order they are asked.
    pub const ALL: [Asked; 10] = [
        Asked::Budget,
        Asked::LargestPart,
        Asked::Material,
        Asked::PiecesAMonth,
        Asked::TallestPart,
        Asked::Tools,
        Asked::DoorAndSupply,
        Asked::SpotAndCeiling,
        Asked::Owned,
        Asked::Aim,
    ];

    /// Name in documents.
    pub fn key(self) -> &'static str {
        match self {
            Asked::Budget => "budget",
            Asked::LargestPart => "largest_part",
            Asked::Material => "material",
            Asked::PiecesAMonth => "pieces_a_month",
            Asked::TallestPart => "tallest_part",
            Asked::Tools => "tools",
            Asked::DoorAndSupply => "door_and_supply",
            Asked::SpotAndCeiling => "spot_and_ceiling",
            Asked::Owned => "owned",
            Asked::Aim => "aim",
        }
    }

    /// Its words.
    pub fn wording(self) -> Wording {
        let (question, example, why) = match self {
            Asked::Budget => (
                "What may everything cost together, up to the first good part?",
                "$40,000",
                "the highest price you may look at",
            ),
            Asked::LargestPart => (
                "How large is your largest part, length x width x height?",
                "16 x 10 x 2 in",
                "travels, table and height above it",
            ),
            Asked::Material => (
                "What are most of your parts made of?",
                "6061, or 1018, 304, brass, acetal ... (6061 when not known)",
                "power, torque, speed and hours",
            ),
            Asked::PiecesAMonth => (
                "How many parts a month, of all kinds?",
                "30",
                "hours a year, and whether a tool changer pays",
            ),
            Asked::TallestPart => (
                "How large is your tallest part as it stands, length x width x height?",
                "4 x 4 x 6 in",
                "the range of the spindle nose above the table, what buyers miss most",
            ),
            Asked::Tools => (
                "How deep must the longest tool reach, and how many tools does a part take?",
                "3 in, 8",
                "the height above the table again, and the places of a changer",
            ),
            Asked::DoorAndSupply => (
                "How wide and high is the narrowest door, and what supply is there?",
                "8 ft x 7 ft, 240 V / 1PH / 100 A",
                "what gets in, and what the wiring takes",
            ),
            Asked::SpotAndCeiling => (
                "How large is the spot for the machine, and how high the ceiling over it?",
                "10 ft x 9 ft, 8 ft 6 in",
                "what can stand there",
            ),
            Asked::Owned => (
                "What do you own already?",
                "vise, toolholders, measuring, compressor",
                "what need not be bought",
            ),
            Asked::Aim => (
                "The most capable machine the budget allows, or the most valuable purchase?",
                "capability, or value",
                "what 'best' means",
            ),
        };
        Wording {
            question,
            example,
            why,
        }
    }
}

/// Answers as typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evening {
    answers: BTreeMap<Asked, String>,
    /// What a US dollar is worth in the budget's money, and the day.
    dollar: Option<(f64, String)>,
}

impl Evening {
    /// Takes an answer; an empty one forgets what was said.
    pub fn answer(&mut self, asked: Asked, text: &str) {
        let text = text.trim();
        if text.is_empty() {
            self.answers.remove(&asked);
        } else {
            self.answers.insert(asked, text.to_owned());
        }
    }

    /// The answer to a question, if there is one.
    pub fn given(&self, asked: Asked) -> Option<&str> {
        self.answers.get(&asked).map(String::as_str)
    }

    /// Currency of the budget, when it is one the built-in prices are not in and nobody has said yet
    /// what a dollar is worth in it.
    pub fn foreign_currency(&self) -> Option<&'static str> {
        let code = currency_of(self.given(Asked::Budget)?)?;
        (code != "USD" && self.dollar.is_none()).then_some(code)
    }

    /// Takes what a US dollar is worth in the budget's money: "0.92", or "0.92 on 2026-11-02";
    /// without a day it is `today`'s.
    pub fn dollar(&mut self, text: &str, today: &str) -> Result<(), String> {
        let (rate, day) = match text.split_once(" on ") {
            Some((rate, day)) => (rate, day.trim()),
            None => (text, today),
        };
        let rate: f64 = rate.trim().replace(',', ".").parse().unwrap_or(0.0);
        if !(rate.is_finite() && rate > 0.0) {
            return Err(format!(
                "'{}' is no rate: type what one US dollar is worth, as in 0.92 or 0.92 on 2026-11-02",
                text.trim()
            ));
        }
        self.dollar = Some((rate, day.to_owned()));
        Ok(())
    }

    /// Number of tools a part takes, where it was said.
    pub fn tools(&self) -> Option<u32> {
        let (_, tools) = pair(self.given(Asked::Tools)?);
        let digits: String = tools?.chars().filter(char::is_ascii_digit).collect();
        digits.parse().ok()
    }

    /// The folder they make, to be read like any other.
    pub fn source(&self) -> Source {
        let files = self.files();
        Source::Memory(
            files
                .into_iter()
                .map(|(name, text)| (name.to_owned(), text.into_bytes()))
                .collect(),
        )
    }

    /// Writes the folder. Nothing that is there already is touched.
    pub fn write(&self, dir: &Path) -> Result<Vec<&'static str>, NotWritten> {
        let files: Vec<(&'static str, Vec<u8>)> = self
            .files()
            .into_iter()
            .map(|(name, text)| (name, text.into_bytes()))
            .collect();
        let borrowed: Vec<(&'static str, &[u8])> = files
            .iter()
            .map(|(name, bytes)| (*name, bytes.as_slice()))
            .collect();
        write_files(dir, &borrowed)
    }

    fn files(&self) -> [(&'static str, String); 3] {
        [
            ("shop.toml", self.shop()),
            ("parts.toml", self.parts()),
            ("site.toml", self.site()),
        ]
    }

    fn shop(&self) -> String {
        let mut text = String::from("# The shop, from the answers of the first evening.\n\n");
        let currency = self
            .given(Asked::Budget)
            .and_then(currency_of)
            .unwrap_or("USD");
        line(&mut text, "name", Some("My shop"));
        line(&mut text, "currency", Some(currency));
        line(&mut text, "budget", self.given(Asked::Budget));
        line(&mut text, "aim", self.given(Asked::Aim));
        if let Some(owned) = self.given(Asked::Owned) {
            let items: Vec<String> = owned
                .split([',', ';'])
                .map(str::trim)
                .filter(|item| !item.is_empty() && !item.eq_ignore_ascii_case("nothing"))
                .map(quoted)
                .collect();
            text.push_str(&format!("owned = [{}]\n", items.join(", ")));
        }
        if let Some((rate, day)) = self.dollar.as_ref().filter(|_| currency != "USD") {
            let day = quoted(day);
            text.push_str(&format!(
                "\n[rates]\nUSD = {{ rate = {rate}, on = {day} }}\n"
            ));
        }
        text
    }

    fn parts(&self) -> String {
        let mut text =
            String::from("# What is to be made, from the answers of the first evening.\n");
        let monthly = self.given(Asked::PiecesAMonth);
        let both =
            self.given(Asked::LargestPart).is_some() && self.given(Asked::TallestPart).is_some();
        for (asked, id, name) in [
            (Asked::LargestPart, "largest", "Largest part"),
            (Asked::TallestPart, "tallest", "Tallest part"),
        ] {
            let Some(size) = self.given(asked) else {
                continue;
            };
            text.push_str("\n[[part]]\n");
            line(&mut text, "id", Some(id));
            line(&mut text, "name", Some(name));
            line(&mut text, "size", Some(size));
            // Aluminium is what small shops cut most (common practice, no source); the question says
            // so.
            line(
                &mut text,
                "material",
                Some(self.given(Asked::Material).unwrap_or("6061")),
            );
            if let Some(monthly) = monthly {
                // Half of the pieces each where there are two kinds: the split is not asked for.
                let share = if both { 6.0 } else { 12.0 };
                match monthly.trim().parse::<f64>() {
                    Ok(pieces) => {
                        let yearly = format!("{} per year", pieces * share);
                        line(&mut text, "quantity", Some(&yearly));
                    }
                    Err(_) => line(&mut text, "quantity", Some(monthly)),
                }
            }
            if asked == Asked::TallestPart
                && let Some((depth, _)) = self.given(Asked::Tools).map(pair)
            {
                // The reach itself is what counts; a half-inch hole that deep stands for it.
                text.push_str(
                    "\n[[part.feature]]\nkind = \"holes\"\ndiameter = \"1/2 in\"\ncount = 1\n",
                );
                line(&mut text, "depth", Some(depth));
            }
        }
        text
    }

    fn site(&self) -> String {
        let mut text = String::from("# The room, from the answers of the first evening.\n\n");
        if let Some((door, supply)) = self.given(Asked::DoorAndSupply).map(pair) {
            line(&mut text, "door", Some(door));
            line(&mut text, "supply", supply);
        }
        if let Some((spot, ceiling)) = self.given(Asked::SpotAndCeiling).map(pair) {
            line(&mut text, "spot", Some(spot));
            line(&mut text, "ceiling", ceiling);
        }
        text
    }
}

/// Both halves of an answer of two, split at its first comma that does not stand in a number.
fn pair(text: &str) -> (&str, Option<&str>) {
    let split = text.char_indices().find(|(at, c)| {
        let next = text[at + c.len_utf8()..].chars().next();
        matches!(c, ',' | ';') && !next.is_some_and(|c| c.is_ascii_digit())
    });
    match split {
        Some((at, c)) => {
            let rest = text[at + c.len_utf8()..].trim();
            (text[..at].trim(), (!rest.is_empty()).then_some(rest))
        }
        None => (text.trim(), None),
    }
}

/// Currency of an amount by its code or sign; a bare dollar sign is the US dollar's.
fn currency_of(text: &str) -> Option<&'static str> {
    const CODES: [(&str, Option<char>); 12] = [
        ("EUR", Some('€')),
        ("GBP", Some('£')),
        ("CAD", None),
        ("AUD", None),
        ("NZD", None),
        ("CHF", None),
        ("SEK", None),
        ("NOK", None),
        ("DKK", None),
        ("PLN", None),
        ("JPY", Some('¥')),
        ("USD", Some('$')),
    ];
    let upper = text.to_uppercase();
    CODES
        .into_iter()
        .find(|(code, sign)| upper.contains(code) || sign.is_some_and(|sign| text.contains(sign)))
        .map(|(code, _)| code)
}

fn line(text: &mut String, key: &str, value: Option<&str>) {
    if let Some(value) = value {
        text.push_str(&format!("{key} = {}\n", quoted(value)));
    }
}

/// A TOML text; what cannot stand in one is escaped.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string().trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read_source;
    use units::{Length, Quantity, Severity, Watch};

    fn answered(answers: &[(Asked, &str)]) -> Evening {
        let mut evening = Evening::default();
        for (asked, text) in answers {
            evening.answer(*asked, text);
        }
        evening
    }

    #[test]
    fn every_example_is_an_answer() {
        let mut evening = Evening::default();
        for asked in Asked::ALL {
            let example = asked.wording().example;
            let first = match asked {
                // These two name several answers to choose from.
                Asked::Material | Asked::Aim => example.split(',').next().unwrap(),
                _ => example,
            };
            evening.answer(asked, first);
        }
        let study = read_source(&evening.source(), Watch::NOBODY).unwrap();
        assert_eq!(study.parts.len(), 2);
        assert_eq!(study.shop.budget.likely.to_amount(), 40_000.0);
        assert_eq!(study.shop.owned.len(), 4);
        let door = study.site.door_width.unwrap().likely;
        assert!((door - Length::inch(96.0)).abs() < Length::mm(1e-9));
        assert_eq!(study.site.supply_phases.unwrap().likely.base(), 1.0);
        assert!(study.site.ceiling.is_some() && study.site.spot_length.is_some());
        assert_eq!(evening.tools(), Some(8));
        // 30 a month, shared by two kinds.
        for part in &study.parts {
            assert_eq!(part.per_year.likely.base(), 180.0);
        }
    }

    #[test]
    fn a_budget_and_a_size_are_enough() {
        let answers = [
            (Asked::Budget, "30,000 USD"),
            (Asked::LargestPart, "400 x 250 x 50 mm"),
        ];
        let evening = answered(&answers);
        let study = read_source(&evening.source(), Watch::NOBODY).unwrap();
        assert_eq!(study.parts.len(), 1);
        assert_eq!(evening.foreign_currency(), None);
        let mut abroad = answered(&[answers[1], (Asked::Budget, "30 000 EUR")]);
        assert_eq!(abroad.foreign_currency(), Some("EUR"));
        assert!(abroad.dollar("much", "2026-11-02").is_err());
        assert!(abroad.dollar("0,92", "2026-11-02").is_ok());
        assert_eq!(abroad.foreign_currency(), None);
        let study = read_source(&abroad.source(), Watch::NOBODY).unwrap();
        assert_eq!(study.shop.currency, units::Currency::EUR);
        assert!(!study.shop.us_units && study.shop.rates[0].rate == 0.92);
    }

    #[test]
    fn nonsense_is_located_and_nothing_breaks_out_of_its_text() {
        for nonsense in ["\"\nbudget = 1", "twelve", "]]", "\u{0}", "3 x", "'''"] {
            let evening = answered(&[(Asked::Budget, "$20,000"), (Asked::LargestPart, nonsense)]);
            let problems = read_source(&evening.source(), Watch::NOBODY).unwrap_err();
            let mut wrong = problems
                .0
                .iter()
                .filter(|p| p.severity == Severity::Problem);
            assert!(
                wrong.all(|p| p.place.file == "parts.toml"),
                "{nonsense:?}: {problems}"
            );
        }
    }
}
