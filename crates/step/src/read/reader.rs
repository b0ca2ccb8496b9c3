//! What all of reading shares: the file, the reservations so far, the budget.

use std::cell::{Cell, RefCell};
use std::sync::atomic::{AtomicBool, Ordering};

use super::fields::Trouble;
use crate::brep::{EntityId, Reservation};
use crate::part21::{Entity, Part21};

/// Every instance may be looked at this often, on average over the bytes of the file. Real files
/// need 1 to 4; only references that fan out without end (a composite curve of composite curves
/// of ...) come near it.
const LOOKS_PER_BYTE: u64 = 100;

/// References nested deeper than this are cyclic or meant to harm: an offset of a trimmed replica
/// of a composite is four.
pub(super) const MAX_DEPTH: usize = 24;

/// Each offset takes up to five points, with derivatives, of what it is an offset of, and so the
/// work grows with this as a power. Systems write one.
pub(super) const MAX_OFFSETS: usize = 2;

/// Reservations kept; a file with more is damaged as a whole and the count is said.
const MAX_RESERVATIONS: usize = 1000;

pub(super) struct Reader<'r, 'a> {
    pub file: &'r Part21<'a>,
    cancel: Option<&'r AtomicBool>,
    budget: Cell<u64>,
    reservations: RefCell<Vec<Reservation>>,
    dropped: Cell<usize>,
}

impl<'r, 'a> Reader<'r, 'a> {
    pub fn new(file: &'r Part21<'a>, cancel: Option<&'r AtomicBool>) -> Self {
        Reader {
            file,
            cancel,
            budget: Cell::new(LOOKS_PER_BYTE * file.size() as u64 + 100_000),
            reservations: RefCell::default(),
            dropped: Cell::new(0),
        }
    }

    pub fn is_cancelled(&self) -> bool {
        self.cancel.is_some_and(|flag| flag.load(Ordering::Relaxed))
    }

    /// The instance, or why it cannot be had.
    pub fn entity(&self, id: EntityId) -> Result<Entity<'a>, Trouble> {
        let Some(entity) = self.file.get(id) else {
            let why = if self.file.is_external(id) {
                "lives in another file, which is not read"
            } else {
                "is referred to but not in the file"
            };
            return Err(Trouble::new(id, "reference", why));
        };
        let cost = entity.size() as u64;
        match self.budget.get().checked_sub(cost) {
            Some(left) => {
                self.budget.set(left);
                Ok(entity)
            }
            None => Err(Trouble::new(
                id,
                "reference",
                "the file refers to the same entities too often; reading stopped here",
            )),
        }
    }

    /// An instance and the type it is to be read as, the first of `kinds` if it is a complex one;
    /// `what` is nested `depth` times.
    pub fn kind_of(
        &self,
        id: EntityId,
        depth: usize,
        what: &str,
        kinds: &[&'static str],
    ) -> Result<(Entity<'a>, &'a [u8]), Trouble> {
        let entity = self.entity(id)?;
        if depth > MAX_DEPTH {
            return Err(Trouble::of(
                &entity,
                format!("{what} are nested too deeply or refer to each other in a circle"),
            ));
        }
        let keyword = if entity.is_complex() {
            kinds
                .iter()
                .find(|kind| entity.is(kind))
                .map_or(&b""[..], |kind| kind.as_bytes())
        } else {
            entity.keyword()
        };
        Ok((entity, keyword))
    }

    /// A reservation about an entity.
    pub fn reserve(&self, entity: &Entity<'_>, text: String, loses_geometry: bool) {
        let line = self.file.line(entity.offset());
        self.remark(Reservation {
            entity: Some(entity.id),
            kind: entity.kind(),
            text: format!("{text} (line {line})"),
            loses_geometry,
        });
    }

    /// A reservation from a failure.
    pub fn trouble(&self, trouble: Trouble, what_was_lost: &str, loses_geometry: bool) {
        let at = trouble
            .offset
            .map(|o| format!(" (line {})", self.file.line(o)))
            .unwrap_or_default();
        self.remark(Reservation {
            entity: Some(trouble.entity),
            kind: trouble.kind,
            text: format!("{}{at}; {what_was_lost}", trouble.text),
            loses_geometry,
        });
    }

    /// A reservation about no entity in particular.
    pub fn note(&self, kind: &str, text: String, loses_geometry: bool) {
        self.remark(Reservation {
            entity: None,
            kind: kind.into(),
            text,
            loses_geometry,
        });
    }

    pub fn remark(&self, reservation: Reservation) {
        let mut all = self.reservations.borrow_mut();
        if all.len() < MAX_RESERVATIONS {
            all.push(reservation);
        } else {
            self.dropped.set(self.dropped.get() + 1);
        }
    }

    pub fn into_reservations(self) -> Vec<Reservation> {
        let dropped = self.dropped.get();
        if dropped > 0 {
            self.reservations.borrow_mut().push(Reservation {
                entity: None,
                kind: "file".into(),
                text: format!("{dropped} further reservations are not listed"),
                loses_geometry: true,
            });
        }
        self.reservations.into_inner()
    }
}
