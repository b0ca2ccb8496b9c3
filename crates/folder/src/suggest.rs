//! The known word nearest to a mistyped one.

/// The nearest of the known words when it is near enough to be meant: a third of the letters may
/// be wrong, at most three, at least one; a word that holds the other whole is near as well.
pub(crate) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| -> Vec<char> {
        text.chars()
            .filter(|c| c.is_alphanumeric())
            .flat_map(char::to_lowercase)
            .take(60)
            .collect()
    };
    let wanted = plain(word);
    let most = (wanted.len() / 3).clamp(1, 3);
    known
        .into_iter()
        .map(|name| (slips(&wanted, &plain(name)), name))
        .filter(|(slips, _)| *slips <= most && *slips < wanted.len())
        .min_by_key(|(slips, _)| *slips)
        .map(|(_, name)| name)
}

/// Insertions, deletions, substitutions and swaps of neighbours between two words (optimal string
/// alignment: Damerau, CACM 7(3), 1964).
fn slips(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 0..a.len() {
        let mut row = vec![i + 1];
        for j in 0..b.len() {
            let mut least = (last[j] + usize::from(a[i] != b[j]))
                .min(last[j + 1] + 1)
                .min(row[j] + 1);
            if i > 0 && j > 0 && a[i] == b[j - 1] && a[i - 1] == b[j] {
                least = least.min(before[j - 1] + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn slips_are_forgiven_and_strangers_are_not() {
        let known = ["travel_x", "travel_y", "spindle_power", "price"];
        assert_eq!(nearest("travle_x", known), Some("travel_x"));
        assert_eq!(nearest("spindel_power", known), Some("spindle_power"));
        assert_eq!(nearest("Price", known), Some("price"));
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("", known), None);
    }
}
