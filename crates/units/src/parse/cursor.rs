//! A place in a text, moved forward character by character. The many ways of writing a dash, a
//! prime, a space or a times sign are folded into one each, so the grammars see only that one.

/// A copyable place in a text; copies serve to look ahead and to go back.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

/// One character for all its look-alikes.
fn fold(c: char) -> char {
    match c {
        '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{fe63}' | '\u{ff0d}' => '-',
        '\u{201c}' | '\u{201d}' | '\u{201f}' | '\u{2033}' | '\u{3003}' => '"',
        '\u{2018}' | '\u{2019}' | '\u{201b}' | '\u{2032}' | '\u{00b4}' | '`' => '\'',
        '\u{00d7}' | '\u{2715}' | '\u{2a2f}' => 'x',
        '\u{22c5}' | '\u{2022}' | '\u{2219}' => '\u{00b7}',
        '\u{2044}' | '\u{2215}' | '\u{ff0f}' => '/',
        '\u{00b5}' => '\u{03bc}',
        '\u{00ba}' | '\u{02da}' => '\u{00b0}',
        '\u{2248}' | '\u{223c}' => '~',
        '\u{2236}' => ':',
        c if c.is_whitespace() => ' ',
        '\u{200b}' | '\u{2060}' | '\u{feff}' => ' ',
        c => c,
    }
}

/// Longest excerpt quoted in a message, in characters: a value, not a paragraph.
const EXCERPT: usize = 32;

impl<'a> Cursor<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    /// Byte offset.
    pub(crate) fn at(&self) -> usize {
        self.at
    }

    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    /// The next character, folded.
    pub(crate) fn peek(&self) -> Option<char> {
        self.rest().chars().next().map(fold)
    }

    /// The character `n` places ahead, folded.
    pub(crate) fn peek_nth(&self, n: usize) -> Option<char> {
        self.rest().chars().nth(n).map(fold)
    }

    /// Takes the next character, folded.
    pub(crate) fn bump(&mut self) -> Option<char> {
        let c = self.rest().chars().next()?;
        self.at += c.len_utf8();
        Some(fold(c))
    }

    /// Takes the next character when it is this one.
    pub(crate) fn eat(&mut self, wanted: char) -> bool {
        let hit = self.peek() == Some(wanted);
        if hit {
            self.bump();
        }
        hit
    }

    /// Takes any of these characters once.
    pub(crate) fn eat_any(&mut self, wanted: &[char]) -> Option<char> {
        let c = self.peek().filter(|c| wanted.contains(c))?;
        self.bump();
        Some(c)
    }

    /// Takes these characters one after the other, case ignored, or none.
    pub(crate) fn eat_text(&mut self, wanted: &str) -> bool {
        let mut ahead = *self;
        for w in wanted.chars() {
            match ahead.bump() {
                Some(c) if same_letter(c, w) => {}
                _ => return false,
            }
        }
        *self = ahead;
        true
    }

    /// Takes a whole word, case ignored; a full stop after it (an abbreviation) goes with it.
    pub(crate) fn eat_word(&mut self, word: &str) -> bool {
        let mut ahead = *self;
        if !ahead.eat_text(word) || ahead.peek().is_some_and(char::is_alphabetic) {
            return false;
        }
        ahead.eat_abbreviation_stop();
        *self = ahead;
        true
    }

    /// Takes any one of these words.
    pub(crate) fn eat_words(&mut self, words: &[&str]) -> bool {
        words.iter().any(|w| self.eat_word(w))
    }

    /// True when this word stands here.
    pub(crate) fn has_word(mut self, word: &str) -> bool {
        self.eat_word(word)
    }

    /// Takes a full stop that is neither a decimal point nor part of '..'.
    pub(crate) fn eat_abbreviation_stop(&mut self) {
        if self.peek() == Some('.')
            && !self
                .peek_nth(1)
                .is_some_and(|c| c == '.' || c.is_ascii_digit())
        {
            self.bump();
        }
    }

    pub(crate) fn skip_space(&mut self) {
        while self.eat(' ') {}
    }

    /// A copy past the spaces.
    pub(crate) fn past_space(mut self) -> Self {
        self.skip_space();
        self
    }

    /// True when only spaces are left.
    pub(crate) fn is_done(&self) -> bool {
        self.past_space().peek().is_none()
    }

    /// Takes a run of ASCII digits.
    pub(crate) fn digits(&mut self) -> &'a str {
        let start = self.at;
        while self.peek().is_some_and(|c| c.is_ascii_digit()) {
            self.bump();
        }
        self.text.get(start..self.at).unwrap_or("")
    }

    /// The text between two places, quoted for a message.
    pub(crate) fn quote(&self, start: usize, end: usize) -> String {
        let piece = self.text.get(start..end).unwrap_or("").trim();
        let mut shown: String = piece
            .chars()
            .take(EXCERPT)
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        if piece.chars().count() > EXCERPT {
            shown.push_str("...");
        }
        format!("'{shown}'")
    }

    /// Everything from here on, quoted for a message.
    pub(crate) fn quote_rest(&self) -> String {
        self.quote(self.at, self.text.len())
    }

    /// End of the run of letters and unit signs that begins here: what was meant as a unit.
    pub(crate) fn word_end(&self) -> usize {
        let mut ahead = *self;
        while ahead
            .peek()
            .is_some_and(|c| c.is_alphanumeric() || "/^\u{b7}*$%\u{b0}".contains(c))
        {
            ahead.bump();
        }
        if ahead.at == self.at {
            ahead.bump();
        }
        ahead.at
    }

    /// The raw text between two places.
    pub(crate) fn slice(&self, start: usize, end: usize) -> &'a str {
        self.text.get(start..end).unwrap_or("")
    }
}

/// Equality of two characters, case ignored.
pub(crate) fn same_letter(a: char, b: char) -> bool {
    a == b || a.to_lowercase().eq(b.to_lowercase())
}
