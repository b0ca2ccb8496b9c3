//! Attributes of an entity in the order of its schema, simple and complex instances alike.

use super::reader::Reader;
use crate::brep::EntityId;
use crate::part21::{Args, Entity, Fault, Value};

/// Why an entity could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Trouble {
    pub entity: EntityId,
    pub kind: String,
    pub text: String,
    pub offset: Option<usize>,
}

impl Trouble {
    pub fn new(entity: EntityId, kind: &str, text: &str) -> Self {
        Trouble {
            entity,
            kind: kind.into(),
            text: text.into(),
            offset: None,
        }
    }

    pub fn of(entity: &Entity<'_>, text: impl Into<String>) -> Self {
        Trouble {
            entity: entity.id,
            kind: entity.kind(),
            text: text.into(),
            offset: Some(entity.offset()),
        }
    }
}

pub(super) type Outcome<T> = Result<T, Trouble>;

/// Attributes one after the other. A complex instance keeps those of each supertype in a leaf of
/// its own; `chain` names the leaves in schema order and they are read as one list.
pub(super) struct Fields<'a> {
    pub entity: Entity<'a>,
    parts: Vec<Args<'a>>,
    current: usize,
}

impl<'a> Reader<'_, 'a> {
    /// Attributes of an instance. `chain` lists, in schema order, its types that have attributes.
    pub fn fields(&self, entity: Entity<'a>, chain: &[&str]) -> Outcome<Fields<'a>> {
        let parts = if entity.is_complex() {
            let leaf = |name: &&str| {
                entity
                    .leaf(name)
                    .ok_or_else(|| Trouble::of(&entity, format!("its leaf {name} is missing")))
            };
            chain.iter().map(leaf).collect::<Result<Vec<_>, _>>()?
        } else {
            vec![entity.args().map_err(|fault| at_fault(&entity, fault))?]
        };
        Ok(Fields {
            entity,
            parts,
            current: 0,
        })
    }
}

fn at_fault(entity: &Entity<'_>, fault: Fault) -> Trouble {
    Trouble {
        entity: entity.id,
        kind: entity.kind(),
        text: fault.text,
        offset: Some(fault.offset),
    }
}

impl<'a> Fields<'a> {
    fn get<T>(&mut self, read: impl FnOnce(&mut Args<'a>) -> Result<T, Fault>) -> Outcome<T> {
        while self.current + 1 < self.parts.len() && self.parts[self.current].is_done() {
            self.current += 1;
        }
        match self.parts.get_mut(self.current) {
            Some(args) => read(args).map_err(|fault| at_fault(&self.entity, fault)),
            None => Err(Trouble::of(&self.entity, "it has no attributes")),
        }
    }

    pub fn fail(&self, text: impl Into<String>) -> Trouble {
        Trouble::of(&self.entity, text)
    }

    pub fn is_done(&mut self) -> bool {
        self.parts[self.current.min(self.parts.len())..]
            .iter()
            .all(Args::is_done)
    }

    pub fn skip(&mut self, count: usize) -> Outcome<&mut Self> {
        for _ in 0..count {
            self.get(|args| args.value().map(drop))?;
        }
        Ok(self)
    }

    pub fn value(&mut self) -> Outcome<Value<'a>> {
        self.get(Args::value)
    }

    pub fn real(&mut self) -> Outcome<f64> {
        self.get(Args::real)
    }

    pub fn count(&mut self) -> Outcome<usize> {
        self.get(Args::count)
    }

    pub fn logical(&mut self, unknown: bool) -> Outcome<bool> {
        self.get(|args| args.logical(unknown))
    }

    pub fn reference(&mut self) -> Outcome<EntityId> {
        self.get(Args::reference)
    }

    pub fn optional_reference(&mut self) -> Outcome<Option<EntityId>> {
        self.get(Args::optional_reference)
    }

    pub fn text(&mut self) -> Outcome<String> {
        self.get(Args::text)
    }

    pub fn list(&mut self) -> Outcome<Args<'a>> {
        self.get(Args::list)
    }

    pub fn references(&mut self) -> Outcome<Vec<EntityId>> {
        self.get(|args| args.list()?.references())
    }

    pub fn reals(&mut self) -> Outcome<Vec<f64>> {
        self.get(|args| args.list()?.reals())
    }

    pub fn counts(&mut self) -> Outcome<Vec<usize>> {
        self.get(|args| args.list()?.counts())
    }

    /// Rows of a list of lists.
    pub fn rows<T>(&mut self, row: impl Fn(Args<'a>) -> Result<T, Fault>) -> Outcome<Vec<T>> {
        self.get(|args| {
            let mut list = args.list()?;
            let mut all = Vec::new();
            while !list.is_done() {
                all.push(row(list.list()?)?);
            }
            Ok(all)
        })
    }
}
