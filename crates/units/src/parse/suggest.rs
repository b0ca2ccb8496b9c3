//! The known word nearest to a mistyped one.

/// The nearest of the names, when it is near enough to be meant: one slip in a short word, two in
/// one of five letters or more.
pub(crate) fn nearest(word: &str, names: &[&'static str]) -> Option<&'static str> {
    let word: Vec<char> = word.to_lowercase().chars().take(40).collect();
    let allowed = if word.len() >= 5 { 2 } else { 1 };
    names
        .iter()
        .map(|name| {
            let letters: Vec<char> = name.to_lowercase().chars().collect();
            (slips(&word, &letters), *name)
        })
        // A slip must leave something of the word standing.
        .filter(|(slips, _)| *slips <= allowed && *slips < word.len())
        .min_by_key(|(slips, _)| *slips)
        .map(|(_, name)| name)
}

/// Insertions, deletions, substitutions and swaps of neighbours between two words (optimal string
/// alignment: Damerau, CACM 7(3), 1964).
pub fn slips(a: &[char], b: &[char]) -> usize {
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
