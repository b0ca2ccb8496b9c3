//! Parameters, read on demand.

use super::lex::{binary_end, list_end, skip_blank, string_end};
use super::text::decode_string;
use crate::brep::EntityId;

/// One parameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value<'a> {
    /// `$`: not given.
    Omitted,
    /// `*`: derived from others.
    Derived,
    /// Whole number.
    Integer(i64),
    /// Number with a decimal point.
    Real(f64),
    /// `#12`.
    Reference(EntityId),
    /// `.NAME.`, without the points.
    Enumeration(&'a [u8]),
    /// Inside of a string, still encoded.
    Text(&'a [u8]),
    /// Digits of a binary literal.
    Binary(&'a [u8]),
    /// `( ... )`.
    List(Args<'a>),
    /// `KEYWORD( ... )`.
    Typed(&'a [u8], Args<'a>),
}

/// What was expected and not found, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{text}")]
pub struct Fault {
    /// Offset in the file.
    pub offset: usize,
    /// What was expected.
    pub text: String,
}

/// The parameters within one pair of brackets. Copying is cheap; nothing is parsed before it is
/// asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Args<'a> {
    bytes: &'a [u8],
    at: usize,
    end: usize,
}

impl<'a> Args<'a> {
    /// Parameters from `open`, the offset of `(`; up to the end of `bytes` when nothing closes it.
    pub(super) fn open(bytes: &'a [u8], open: usize) -> Self {
        let end = list_end(bytes, open).map_or(bytes.len(), |end| end - 1);
        Args {
            bytes,
            at: open + 1,
            end: end.max(open + 1).min(bytes.len()),
        }
    }

    /// Offset in the file of what comes next.
    pub fn offset(&self) -> usize {
        self.at
    }

    /// Offset behind the last parameter.
    pub(super) fn end(&self) -> usize {
        self.end
    }

    fn fault(&self, text: impl Into<String>) -> Fault {
        Fault {
            offset: self.at.min(self.end),
            text: text.into(),
        }
    }

    /// True when no parameter is left.
    pub fn is_done(&self) -> bool {
        skip_blank(&self.bytes[..self.end], self.at) >= self.end
    }

    /// The next parameter; `None` at the end of the list.
    ///
    /// # Errors
    /// When what stands there is no parameter.
    pub fn next_value(&mut self) -> Result<Option<Value<'a>>, Fault> {
        let bytes = &self.bytes[..self.end];
        self.at = skip_blank(bytes, self.at);
        let Some(&first) = bytes.get(self.at) else {
            return Ok(None);
        };
        let value = match first {
            b'$' => self.single(Value::Omitted),
            b'*' => self.single(Value::Derived),
            b'#' => self.name()?,
            b'.' if !bytes.get(self.at + 1).is_some_and(u8::is_ascii_digit) => {
                self.enumeration()?
            }
            b'\'' => {
                let start = self.at + 1;
                let end =
                    string_end(bytes, self.at).map_err(|_| self.fault("a string never ends"))?;
                self.at = end;
                Value::Text(&bytes[start..end - 1])
            }
            b'"' => {
                let start = self.at + 1;
                self.at = binary_end(bytes, self.at);
                Value::Binary(
                    bytes[start..self.at]
                        .strip_suffix(b"\"")
                        .unwrap_or(&bytes[start..self.at]),
                )
            }
            b'(' => {
                let list = Args::open(bytes, self.at);
                self.at = list.end + 1;
                Value::List(list)
            }
            b'0'..=b'9' | b'+' | b'-' | b'.' => self.number()?,
            b'A'..=b'Z' | b'a'..=b'z' | b'_' | b'!' => {
                let start = self.at;
                let length = bytes[start..]
                    .iter()
                    .take_while(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'!'))
                    .count();
                let open = skip_blank(bytes, start + length);
                if bytes.get(open) != Some(&b'(') {
                    return Err(self.fault("a typed parameter lacks its bracket"));
                }
                let list = Args::open(bytes, open);
                self.at = list.end + 1;
                Value::Typed(&bytes[start..start + length], list)
            }
            _ => return Err(self.fault("expected a parameter")),
        };
        self.at = skip_blank(bytes, self.at.min(self.end));
        match bytes.get(self.at) {
            Some(b',') => self.at += 1,
            None => {}
            Some(_) => return Err(self.fault("expected `,` or `)`")),
        }
        Ok(Some(value))
    }

    fn single(&mut self, value: Value<'a>) -> Value<'a> {
        self.at += 1;
        value
    }

    fn name(&mut self) -> Result<Value<'a>, Fault> {
        let digits = digits_at(&self.bytes[..self.end], self.at + 1);
        let id = parse_unsigned(&self.bytes[self.at + 1..self.at + 1 + digits])
            .ok_or_else(|| self.fault("expected a number behind `#`"))?;
        self.at += 1 + digits;
        Ok(Value::Reference(id))
    }

    fn enumeration(&mut self) -> Result<Value<'a>, Fault> {
        let rest = &self.bytes[self.at + 1..self.end];
        let length = rest
            .iter()
            .take_while(|b| b.is_ascii_alphanumeric() || **b == b'_')
            .count();
        if rest.get(length) != Some(&b'.') {
            return Err(self.fault("an enumeration lacks its closing point"));
        }
        self.at += length + 2;
        Ok(Value::Enumeration(&rest[..length]))
    }

    fn number(&mut self) -> Result<Value<'a>, Fault> {
        let rest = &self.bytes[self.at..self.end];
        let length = rest
            .iter()
            .take_while(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.' | b'e' | b'E'))
            .count();
        // Digits, signs, points and E are ASCII: this cannot fail.
        let text = std::str::from_utf8(&rest[..length]).unwrap_or_default();
        let value = if text
            .bytes()
            .all(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-'))
        {
            text.parse()
                .map(Value::Integer)
                .or_else(|_| text.parse().map(Value::Real))
                .ok()
        } else {
            text.parse().ok().map(Value::Real)
        };
        match value {
            Some(Value::Real(x)) if !x.is_finite() => Err(self.fault("a number is too large")),
            Some(value) => {
                self.at += length;
                Ok(value)
            }
            None => Err(self.fault("expected a number")),
        }
    }

    /// The next parameter, which must be there.
    ///
    /// # Errors
    /// When the list is at its end or damaged.
    pub fn value(&mut self) -> Result<Value<'a>, Fault> {
        self.next_value()?
            .ok_or_else(|| self.fault("a parameter is missing"))
    }

    /// Passes over parameters.
    ///
    /// # Errors
    /// When there are not so many.
    pub fn skip(&mut self, count: usize) -> Result<&mut Self, Fault> {
        for _ in 0..count {
            self.value()?;
        }
        Ok(self)
    }

    /// A number, whole or not; also one wrapped in its type as in `LENGTH_MEASURE(2.)`.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn real(&mut self) -> Result<f64, Fault> {
        let here = *self;
        match self.value()? {
            Value::Real(x) => Ok(x),
            Value::Integer(n) => Ok(n as f64),
            Value::Typed(_, mut inner) => match inner.value()? {
                Value::Real(x) => Ok(x),
                Value::Integer(n) => Ok(n as f64),
                _ => Err(here.fault("expected a number")),
            },
            _ => Err(here.fault("expected a number")),
        }
    }

    /// A whole number; `4.` is taken for 4.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn integer(&mut self) -> Result<i64, Fault> {
        let here = *self;
        match self.value()? {
            Value::Integer(n) => Ok(n),
            Value::Real(x) if x.fract() == 0.0 && x.abs() < 9e15 => Ok(x as i64),
            _ => Err(here.fault("expected a whole number")),
        }
    }

    /// A count or index: a whole number not below zero.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn count(&mut self) -> Result<usize, Fault> {
        let here = *self;
        usize::try_from(self.integer()?).map_err(|_| here.fault("expected a whole number from 0"))
    }

    /// `.T.` or `.F.`; `.U.` and `$` count as `unknown`.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn logical(&mut self, unknown: bool) -> Result<bool, Fault> {
        let here = *self;
        match self.value()? {
            Value::Enumeration(b"T" | b"TRUE" | b"t") => Ok(true),
            Value::Enumeration(b"F" | b"FALSE" | b"f") => Ok(false),
            Value::Enumeration(b"U" | b"UNKNOWN") | Value::Omitted | Value::Derived => Ok(unknown),
            _ => Err(here.fault("expected .T. or .F.")),
        }
    }

    /// A reference.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn reference(&mut self) -> Result<EntityId, Fault> {
        let here = *self;
        self.optional_reference()?
            .ok_or_else(|| here.fault("expected a reference such as #12"))
    }

    /// A reference, or `None` for `$` and `*`.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn optional_reference(&mut self) -> Result<Option<EntityId>, Fault> {
        let here = *self;
        match self.value()? {
            Value::Reference(id) => Ok(Some(id)),
            Value::Omitted | Value::Derived => Ok(None),
            _ => Err(here.fault("expected a reference such as #12")),
        }
    }

    /// A list; `$` counts as an empty one.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn list(&mut self) -> Result<Args<'a>, Fault> {
        let here = *self;
        match self.value()? {
            Value::List(list) | Value::Typed(_, list) => Ok(list),
            Value::Omitted => Ok(Args {
                at: self.end,
                ..*self
            }),
            _ => Err(here.fault("expected a list")),
        }
    }

    /// A string, decoded; `$` and `*` give an empty one.
    ///
    /// # Errors
    /// When something else stands there.
    pub fn text(&mut self) -> Result<String, Fault> {
        let here = *self;
        match self.value()? {
            Value::Text(raw) => Ok(decode_string(raw)),
            Value::Typed(_, mut inner) => match inner.value()? {
                Value::Text(raw) => Ok(decode_string(raw)),
                _ => Err(here.fault("expected a string")),
            },
            Value::Omitted | Value::Derived => Ok(String::new()),
            _ => Err(here.fault("expected a string")),
        }
    }

    /// All parameters as references.
    ///
    /// # Errors
    /// At the first that is none.
    pub fn references(mut self) -> Result<Vec<EntityId>, Fault> {
        let mut all = Vec::new();
        while !self.is_done() {
            all.push(self.reference()?);
        }
        Ok(all)
    }

    /// All parameters as numbers.
    ///
    /// # Errors
    /// At the first that is none.
    pub fn reals(mut self) -> Result<Vec<f64>, Fault> {
        let mut all = Vec::new();
        while !self.is_done() {
            all.push(self.real()?);
        }
        Ok(all)
    }

    /// All parameters as counts.
    ///
    /// # Errors
    /// At the first that is none.
    pub fn counts(mut self) -> Result<Vec<usize>, Fault> {
        let mut all = Vec::new();
        while !self.is_done() {
            all.push(self.count()?);
        }
        Ok(all)
    }
}

fn digits_at(bytes: &[u8], at: usize) -> usize {
    bytes.get(at..).map_or(0, |rest| {
        rest.iter().take_while(|b| b.is_ascii_digit()).count()
    })
}

fn parse_unsigned(digits: &[u8]) -> Option<u64> {
    if digits.is_empty() {
        return None;
    }
    digits.iter().try_fold(0u64, |n, d| {
        n.checked_mul(10)?.checked_add(u64::from(d - b'0'))
    })
}
