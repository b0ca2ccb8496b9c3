//! The known word nearest to a mistyped one.

use units::slips;

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
