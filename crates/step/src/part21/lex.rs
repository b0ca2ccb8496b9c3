//! Where strings, literals, comments and lists end.

/// Start of a `#123` that ends just before `at`, not before `from`.
pub(super) fn name_before(bytes: &[u8], from: usize, at: usize) -> Option<usize> {
    let text = bytes.get(from..at)?.trim_ascii_end();
    let digits = text.iter().rev().take_while(|b| b.is_ascii_digit()).count();
    let hash = text.len().checked_sub(digits + 1)?;
    (digits > 0 && text[hash] == b'#').then_some(from + hash)
}

/// Offset behind the string that begins at `at`; `Err` when it never ends or runs into the next
/// instance (a lost quote would otherwise turn all text of the file inside out).
pub(super) fn string_end(bytes: &[u8], at: usize) -> Result<usize, usize> {
    let mut end = at + 1;
    loop {
        match bytes[end..].iter().position(|b| matches!(b, b'\'' | b'\n')) {
            None => return Err(bytes.len()),
            Some(n) => end += n,
        }
        if bytes[end] == b'\n' {
            if bytes[at..end].trim_ascii_end().ends_with(b";") && instance_starts(bytes, end + 1) {
                return Err(end + 1);
            }
            end += 1;
        } else if bytes.get(end + 1) == Some(&b'\'') {
            end += 2;
        } else {
            return Ok(end + 1);
        }
    }
}

/// True when `#digits =` stands at `at`.
fn instance_starts(bytes: &[u8], at: usize) -> bool {
    let rest = &bytes[at.min(bytes.len())..];
    let Some(rest) = rest.strip_prefix(b"#") else {
        return false;
    };
    let digits = rest.iter().take_while(|b| b.is_ascii_digit()).count();
    let after = rest[digits..].iter().find(|b| !matches!(b, b' ' | b'\t'));
    digits > 0 && digits < 20 && after == Some(&b'=')
}

/// Offset behind a binary literal; it holds hexadecimal digits only, so a lost quote ends there.
pub(super) fn binary_end(bytes: &[u8], at: usize) -> usize {
    let digits = bytes[at + 1..]
        .iter()
        .take_while(|b| b.is_ascii_hexdigit())
        .count();
    let end = at + 1 + digits;
    if bytes.get(end) == Some(&b'"') {
        end + 1
    } else {
        end
    }
}

/// Offset behind the comment that begins at `at`.
pub(super) fn comment_end(bytes: &[u8], at: usize) -> usize {
    let inner = at + 2;
    let mut end = inner;
    while let Some(n) = bytes[end.min(bytes.len())..]
        .iter()
        .position(|b| *b == b'*')
    {
        end += n + 1;
        if bytes.get(end) == Some(&b'/') {
            return end + 1;
        }
    }
    bytes.len()
}

/// Offset of the next byte that is neither white space nor in a comment.
pub(super) fn skip_blank(bytes: &[u8], mut at: usize) -> usize {
    loop {
        match bytes.get(at) {
            Some(b) if b.is_ascii_whitespace() || *b == 0 => at += 1,
            Some(b'/') if bytes.get(at + 1) == Some(&b'*') => at = comment_end(bytes, at),
            // Print control directives between tokens (edition 1) mean nothing.
            Some(b'\\')
                if matches!(bytes.get(at + 1), Some(b'N' | b'F'))
                    && bytes.get(at + 2) == Some(&b'\\') =>
            {
                at += 3
            }
            _ => return at,
        }
    }
}

/// Offset just past the bracket that closes the one at `at`, or `None` when nothing does.
pub(super) fn list_end(bytes: &[u8], at: usize) -> Option<usize> {
    let mut depth = 0usize;
    let mut here = at;
    loop {
        let n = bytes
            .get(here..)?
            .iter()
            .position(|b| matches!(b, b'(' | b')' | b'\'' | b'"' | b'/'))?;
        here += n;
        match bytes[here] {
            b'(' => {
                depth += 1;
                here += 1;
            }
            b')' => {
                depth -= 1;
                here += 1;
                if depth == 0 {
                    return Some(here);
                }
            }
            b'\'' => here = string_end(bytes, here).ok()?,
            b'"' => here = binary_end(bytes, here),
            _ if bytes.get(here + 1) == Some(&b'*') => here = comment_end(bytes, here),
            _ => here += 1,
        }
    }
}
