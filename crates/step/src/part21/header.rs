//! The three header entities a reader may want to show.

use super::entity::Entity;
use super::lex::skip_blank;

/// What a file says about itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Header {
    /// Descriptions of `FILE_DESCRIPTION`.
    pub description: Vec<String>,
    /// Name in `FILE_NAME`.
    pub name: String,
    /// Time stamp in `FILE_NAME`, as written.
    pub time_stamp: String,
    /// System that wrote the file, as far as stated.
    pub originating_system: String,
    /// Schema names of `FILE_SCHEMA`.
    pub schemas: Vec<String>,
}

/// Parses header statements; damaged ones are passed over.
pub(super) fn parse(bytes: &[u8]) -> Header {
    let mut header = Header::default();
    let mut at = 0;
    while at < bytes.len() {
        at = skip_blank(bytes, at);
        let statement = Entity::new(0, bytes, at);
        let Some(leaf) = statement.leaves().next() else {
            // Not `KEYWORD(...)`: on to the next statement.
            at += bytes[at.min(bytes.len())..]
                .iter()
                .position(|b| *b == b';')
                .map_or(bytes.len(), |n| n + 1);
            continue;
        };
        let mut args = leaf.args;
        at = args.end() + 1;
        match leaf.keyword {
            b"FILE_DESCRIPTION" => header.description = texts(&mut args),
            b"FILE_SCHEMA" => header.schemas = texts(&mut args),
            b"FILE_NAME" => {
                header.name = args.text().unwrap_or_default();
                header.time_stamp = args.text().unwrap_or_default();
                let rest = args.skip(3).and_then(|args| args.text());
                header.originating_system = rest.unwrap_or_default();
            }
            _ => {}
        }
        at = skip_blank(bytes, at);
        if bytes.get(at) == Some(&b';') {
            at += 1;
        }
    }
    header
}

fn texts(args: &mut super::Args<'_>) -> Vec<String> {
    let Ok(mut list) = args.list() else {
        return Vec::new();
    };
    let mut all = Vec::new();
    while !list.is_done() {
        match list.text() {
            Ok(text) => all.push(text),
            Err(_) => break,
        }
    }
    all
}
