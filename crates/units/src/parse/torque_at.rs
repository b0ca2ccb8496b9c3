//! Torque and the speed it is available at: "75 ft-lb @ 1400 rpm".

use super::amount::{Amount, amount, share_units};
use super::cursor::Cursor;
use super::entered::{Entered, SAME_SHARE};
use super::error::{ParseError, Remark};
use super::shape::left_over;
use crate::{Rpm, Torque};

/// Reads a torque, with the rotational speed when one is stated.
pub fn parse_torque_at(text: &str) -> Result<(Torque, Option<Rpm>), ParseError> {
    let mut cursor = Cursor::new(text);
    let mut torque: Amount<Torque> = amount(&mut cursor)?;
    share_units(&mut [&mut torque], None, &cursor)?;
    let torque = torque.settled(&cursor)?;
    cursor.skip_space();
    if cursor.peek().is_none() {
        return Ok((torque, None));
    }
    same_again(&mut cursor, torque)?;
    if cursor.is_done() {
        return Ok((torque, None));
    }
    cursor.skip_space();
    let bracket = cursor.eat('(');
    cursor.skip_space();
    let joined = cursor.eat('@') || cursor.eat_word("at") || cursor.eat('/') || cursor.eat(',');
    if !joined && !bracket {
        return Err(left_over::<Amount<Torque>>(cursor));
    }
    let mut speed: Amount<Rpm> = amount(&mut cursor)?;
    share_units(&mut [&mut speed], None, &cursor)?;
    let speed = speed.settled(&cursor)?;
    cursor.skip_space();
    if bracket && !cursor.eat(')') {
        return Err(ParseError::new("')'", cursor.quote_rest(), cursor.at()));
    }
    cursor.skip_space();
    if cursor.peek().is_some() {
        return Err(left_over::<Amount<Rpm>>(cursor));
    }
    Ok((torque, Some(speed)))
}

/// Takes the same torque in another unit: "75 ft-lb (102 N m)".
fn same_again(cursor: &mut Cursor<'_>, torque: Torque) -> Result<(), ParseError> {
    let mut at = *cursor;
    let closing = if at.eat('(') {
        ')'
    } else if at.eat('/') {
        ' '
    } else {
        return Ok(());
    };
    let start = at.past_space();
    let Ok(again) = amount::<Torque>(&mut at) else {
        return Ok(());
    };
    let other = again.settled(&at)?;
    if (other - torque).abs() > SAME_SHARE * torque.abs() {
        return Err(ParseError::new(
            "one torque in two units",
            format!("another, {}", start.quote(again.start, again.end)),
            again.start,
        ));
    }
    at.skip_space();
    if closing == ')' && !at.eat(')') {
        return Err(ParseError::new("')'", at.quote_rest(), at.at()));
    }
    *cursor = at;
    Ok(())
}

/// The torque alone, the speed in a remark.
pub(crate) fn entered(text: &str) -> Option<Entered<Torque>> {
    let (torque, speed) = parse_torque_at(text).ok()?;
    let mut read = Entered::exact(torque);
    if let Some(speed) = speed {
        read.remarks.push(Remark {
            position: 0,
            text: format!("stated at {} rpm", speed.to_rpm()),
        });
    }
    Some(read)
}
