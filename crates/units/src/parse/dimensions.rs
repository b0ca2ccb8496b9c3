//! Sizes in several directions: "12 x 8 x 3 in", "300×200×75 mm", "12 in x 200 mm".

use super::amount::{Amount, amount, share_units};
use super::cursor::Cursor;
use super::error::ParseError;
use super::shape::left_over;
use crate::Length;

/// Reads lengths parted by x, × , * or "by". When only the last carries a unit the others share it;
/// otherwise each must carry its own.
pub fn parse_dimensions(text: &str) -> Result<Vec<Length>, ParseError> {
    let mut cursor = Cursor::new(text);
    let mut read: Vec<Amount<Length>> = vec![amount(&mut cursor)?];
    loop {
        cursor.skip_space();
        if cursor.peek().is_none() {
            break;
        }
        if cursor.eat_any(&['x', 'X', '*']).is_none() && !cursor.eat_word("by") {
            return Err(left_over::<Amount<Length>>(cursor));
        }
        read.push(amount(&mut cursor)?);
    }
    let with_unit = read.iter().filter(|a| a.total.is_some()).count();
    if with_unit > 1
        && let Some(bare) = read.iter().find(|a| a.total.is_none())
    {
        return Err(ParseError::new(
            "a unit with every length, or one unit after the last",
            format!("{} without one", cursor.quote(bare.start, bare.end)),
            bare.start,
        ));
    }
    let mut amounts: Vec<&mut Amount<Length>> = read.iter_mut().collect();
    share_units(&mut amounts, None, &cursor)?;
    read.iter().map(|a| a.settled(&cursor)).collect()
}
