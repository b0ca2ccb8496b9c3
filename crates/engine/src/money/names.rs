//! When do two names of a cost or a thing mean the same?

/// True for names that differ only in case, spaces, punctuation or a plural s.
pub fn same_name(a: &str, b: &str) -> bool {
    fn plain(text: &str) -> impl Iterator<Item = char> {
        let said = text.chars().filter(|c| c.is_alphanumeric());
        said.flat_map(char::to_lowercase)
    }
    let (mut one, mut other) = (plain(a), plain(b));
    // The last letter both have.
    let mut last = None;
    loop {
        // One of them may have an s more, if the other is no plural.
        let (mut longer, more) = match (one.next(), other.next()) {
            (None, None) => return true,
            (Some(x), Some(y)) if x == y => {
                last = Some(x);
                continue;
            }
            (Some(_), Some(_)) => return false,
            (Some(x), None) => (one, x),
            (None, Some(y)) => (other, y),
        };
        return more == 's' && last != Some('s') && longer.next().is_none();
    }
}

#[cfg(test)]
mod tests {
    use super::same_name;

    #[test]
    fn names_are_the_same_but_for_case_spaces_and_a_plural_s() {
        let plain = |text: &str| {
            let said: String = text.chars().filter(|c| c.is_alphanumeric()).collect();
            let said = said.to_lowercase();
            said.strip_suffix('s').map(str::to_owned).unwrap_or(said)
        };
        let names = [
            "",
            "s",
            "S s",
            "vise",
            "Vises",
            "vi-se",
            "glass",
            "glas",
            "gla",
            "Work holding",
            "workholdings",
            "freight",
            "freights s",
            "ÄRGER",
            "ärger",
            "straße",
            "strasse",
        ];
        for a in names {
            for b in names {
                assert_eq!(same_name(a, b), plain(a) == plain(b), "{a} {b}");
            }
        }
    }
}
