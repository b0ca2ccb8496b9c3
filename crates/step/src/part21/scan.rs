//! One pass over the bytes: sections, statements, and where each instance begins and ends.

use super::header::{self, Header};
use super::lex::{binary_end, comment_end, name_before, skip_blank, string_end};
use super::{Entry, MAX_PROBLEMS, Part21Error, SyntaxProblem};
use crate::brep::EntityId;

/// Bytes that need a look while searching for the end of a statement.
const SPECIAL: [bool; 256] = {
    let mut table = [false; 256];
    table[b';' as usize] = true;
    table[b'\'' as usize] = true;
    table[b'"' as usize] = true;
    table[b'/' as usize] = true;
    table[b'=' as usize] = true;
    table
};

/// Edition 1 let instances nest in scopes; deeper than this nobody went.
const MAX_SCOPES: usize = 64;

#[derive(Debug, Default)]
pub(super) struct Problems {
    pub kept: Vec<SyntaxProblem>,
    pub count: usize,
}

impl Problems {
    fn push(&mut self, offset: usize, text: impl FnOnce() -> String) {
        self.count += 1;
        if self.kept.len() < MAX_PROBLEMS {
            self.kept.push(SyntaxProblem {
                offset,
                text: text(),
            });
        }
    }
}

pub(super) struct Found {
    pub header: Header,
    pub entries: Vec<Entry>,
    pub external: Vec<EntityId>,
    pub problems: Problems,
}

/// What stands at the end of a statement.
enum End {
    /// `;` at this offset.
    Semicolon(usize),
    /// The statement broke off before this offset, where another one begins.
    Broken(usize),
    /// The file ended.
    File,
}

struct Scanner<'a> {
    bytes: &'a [u8],
    at: usize,
}

pub(super) fn scan_file(bytes: &[u8]) -> Result<Found, Part21Error> {
    let mut scanner = Scanner {
        bytes,
        at: start_of_file(bytes)?,
    };
    let mut found = Found {
        header: Header::default(),
        // Instances are 60 to 90 bytes long in real files.
        entries: Vec::with_capacity(bytes.len() / 64),
        external: Vec::new(),
        problems: Problems::default(),
    };
    scanner.sections(&mut found);
    Ok(found)
}

/// Offset behind `ISO-10303-21;`. A byte order mark, blank lines or comments may stand before it.
fn start_of_file(bytes: &[u8]) -> Result<usize, Part21Error> {
    const MAGIC: &[u8] = b"ISO-10303-21";
    // Mail and download wrappers put a few lines in front; beyond 4 kB it is another kind of file.
    let head = &bytes[..bytes.len().min(4096)];
    head.windows(MAGIC.len())
        .position(|w| w.eq_ignore_ascii_case(MAGIC))
        .map(|at| at + MAGIC.len())
        .ok_or(Part21Error::NotPart21)
}

impl Scanner<'_> {
    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    /// Skips white space and comments.
    fn blank(&mut self) {
        self.at = skip_blank(self.bytes, self.at);
    }

    fn word(&mut self) -> &[u8] {
        let start = self.at;
        while self
            .peek()
            .is_some_and(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-' | b'!' | b'&'))
        {
            self.at += 1;
        }
        &self.bytes[start..self.at]
    }

    fn number(&mut self) -> Option<EntityId> {
        let start = self.at;
        let mut value: EntityId = 0;
        while let Some(digit) = self.peek().filter(u8::is_ascii_digit) {
            value = value
                .checked_mul(10)?
                .checked_add(u64::from(digit - b'0'))?;
            self.at += 1;
        }
        (self.at > start).then_some(value)
    }

    fn sections(&mut self, found: &mut Found) {
        loop {
            self.blank();
            let start = self.at;
            if self.peek() == Some(b'#') {
                // A lost `DATA;` or an `ENDSEC;` too many: instances all the same.
                self.data(found);
                continue;
            }
            let section = self.word().to_ascii_uppercase();
            match section.as_slice() {
                b"" if self.at >= self.bytes.len() => return,
                // Left over from `ISO-10303-21;`.
                b"" if self.peek() == Some(b';') => self.at += 1,
                b"SIGNATURE" => self.skip_to_endsec(),
                b"HEADER" => {
                    self.statement_end();
                    let begin = self.at;
                    self.header_section();
                    found.header = header::parse(&self.bytes[begin..self.at]);
                }
                b"ANCHOR" => {
                    self.statement_end();
                    self.uri_section(None);
                }
                b"REFERENCE" => {
                    self.statement_end();
                    self.uri_section(Some(&mut found.external));
                }
                b"DATA" => {
                    self.statement_end();
                    self.data(found);
                }
                // `END-ISO-10303-21;`, `ENDSEC;` and whatever is not known: next statement.
                _ => {
                    self.at = self.at.max(start + 1);
                    self.statement_end();
                }
            }
        }
    }

    /// Header statements up to `ENDSEC;`.
    fn header_section(&mut self) {
        loop {
            self.blank();
            let start = self.at;
            let word = self.word();
            let is_end = word.eq_ignore_ascii_case(b"ENDSEC");
            let is_data = word.eq_ignore_ascii_case(b"DATA");
            if is_data || self.peek() == Some(b'#') {
                self.at = start;
                return;
            }
            match self.statement_end() {
                End::File => return,
                _ if is_end => return,
                _ => {}
            }
        }
    }

    /// Anchor and reference sections: statements that hold `<uri>`, in which quotes mean nothing.
    fn uri_section(&mut self, mut external: Option<&mut Vec<EntityId>>) {
        loop {
            self.blank();
            if self.peek() == Some(b'#') {
                self.at += 1;
                if let (Some(id), Some(external)) = (self.number(), external.as_deref_mut()) {
                    external.push(id);
                }
            } else if self.word().eq_ignore_ascii_case(b"ENDSEC") {
                self.statement_end();
                return;
            }
            loop {
                match self.peek() {
                    None => return,
                    Some(b';') => break,
                    Some(b'<') => self.skip_past(b'>'),
                    Some(b'\'') => {
                        self.at += 1;
                        self.skip_past(b'\'');
                    }
                    Some(_) => self.at += 1,
                }
            }
            self.at += 1;
        }
    }

    fn skip_past(&mut self, stop: u8) {
        let rest = &self.bytes[self.at..];
        self.at += rest
            .iter()
            .position(|b| *b == stop)
            .map_or(rest.len(), |n| n + 1);
    }

    /// A signature is base 64 without statements.
    fn skip_to_endsec(&mut self) {
        const END: &[u8] = b"ENDSEC;";
        let rest = &self.bytes[self.at..];
        self.at += rest
            .windows(END.len())
            .position(|w| w == END)
            .map_or(rest.len(), |n| n + END.len());
    }

    /// Instances up to `ENDSEC;`.
    fn data(&mut self, found: &mut Found) {
        let mut scopes: Vec<EntityId> = Vec::new();
        loop {
            self.blank();
            let start = self.at;
            match self.peek() {
                None => return,
                Some(b'#') => {
                    self.at += 1;
                    let id = self.number();
                    self.blank();
                    let equals = self.peek() == Some(b'=');
                    let (Some(id), true) = (id, equals) else {
                        found.problems.push(start, || {
                            "expected an instance such as `#12=...;`; the statement was skipped"
                                .into()
                        });
                        self.statement_end();
                        continue;
                    };
                    self.at += 1;
                    self.blank();
                    if self.bytes[self.at..].starts_with(b"&SCOPE") && scopes.len() < MAX_SCOPES {
                        self.at += b"&SCOPE".len();
                        scopes.push(id);
                        continue;
                    }
                    self.body(id, found);
                }
                Some(_) => {
                    let word = self.word();
                    if word.eq_ignore_ascii_case(b"ENDSEC") || word.starts_with(b"END-ISO") {
                        self.statement_end();
                        return;
                    }
                    if word == b"ENDSCOPE"
                        && let Some(id) = scopes.pop()
                    {
                        self.blank();
                        if self.peek() == Some(b'/') {
                            self.at += 1;
                            self.skip_past(b'/');
                            self.blank();
                        }
                        self.body(id, found);
                        continue;
                    }
                    found.problems.push(start, || {
                        "expected an instance such as `#12=...;`; the statement was skipped".into()
                    });
                    self.at = self.at.max(start + 1);
                    self.statement_end();
                }
            }
        }
    }

    /// Keyword and parameters of one instance.
    fn body(&mut self, id: EntityId, found: &mut Found) {
        let body = self.at;
        let end = match self.statement_end() {
            End::Semicolon(end) => end,
            End::Broken(end) => {
                found
                    .problems
                    .push(body, || format!("#{id} does not end in `;`"));
                end
            }
            End::File => {
                found
                    .problems
                    .push(body, || format!("the file breaks off within #{id}"));
                self.bytes.len()
            }
        };
        found.entries.push(Entry { id, body, end });
    }

    /// Moves behind the `;` of the statement, over strings and comments.
    fn statement_end(&mut self) -> End {
        let bytes = self.bytes;
        let mut at = self.at;
        loop {
            match bytes[at..].iter().position(|b| SPECIAL[*b as usize]) {
                None => {
                    self.at = bytes.len();
                    return End::File;
                }
                Some(n) => at += n,
            }
            match bytes[at] {
                b';' => {
                    self.at = at + 1;
                    return End::Semicolon(at);
                }
                b'\'' => match string_end(bytes, at) {
                    Ok(end) => at = end,
                    Err(end) => {
                        self.at = end;
                        return if end == bytes.len() {
                            End::File
                        } else {
                            End::Broken(end)
                        };
                    }
                },
                b'"' => at = binary_end(bytes, at),
                b'/' => {
                    at = if bytes.get(at + 1) == Some(&b'*') {
                        comment_end(bytes, at)
                    } else {
                        at + 1
                    }
                }
                // A second `=`: the `;` before it is missing, unless no name stands before it.
                _ => match name_before(bytes, self.at, at) {
                    Some(start) => {
                        self.at = start;
                        return End::Broken(start);
                    }
                    None => at += 1,
                },
            }
        }
    }
}
