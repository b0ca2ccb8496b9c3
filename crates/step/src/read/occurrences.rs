//! From the roots of the product structure down: where does every solid stand?

use std::collections::{BTreeMap, BTreeSet};

use glam::DMat4;

use super::classify::Roles;
use super::contents::{Contents, Shelf};
use super::fields::{Outcome, Trouble};
use super::placement::inverse;
use super::products::{Link, Products, product_name};
use super::reader::Reader;
use super::units::Contexts;
use crate::brep::EntityId;

/// Assemblies deeper than this are circular; real ones reach about ten levels.
const MAX_LEVELS: usize = 100;

/// Occurrences followed at most: diamonds of assemblies multiply without bound. The largest real
/// assemblies exchanged as one file hold some tens of thousands.
const MAX_STEPS: usize = 200_000;

/// One solid (or tessellated item) and everywhere it stands.
#[derive(Debug)]
pub(super) struct Occurrence {
    pub name: String,
    pub product: Option<EntityId>,
    pub context: Option<EntityId>,
    pub placements: Vec<DMat4>,
}

/// All of them, in the order of their names (`#1`, `#2`, ...).
#[derive(Debug, Default)]
pub(super) struct Occurrences {
    pub exact: BTreeMap<EntityId, Occurrence>,
    pub tessellated: BTreeMap<EntityId, Occurrence>,
}

pub(super) struct Walk<'w, 'r, 'a> {
    pub reader: &'w Reader<'r, 'a>,
    pub shelf: Shelf<'w, 'r, 'a>,
    pub products: &'w Products,
    pub contents: BTreeMap<EntityId, Contents>,
    pub names: BTreeMap<EntityId, String>,
    pub found: Occurrences,
    pub visited_representations: BTreeSet<EntityId>,
    pub visited_products: BTreeSet<EntityId>,
    pub product_path: Vec<EntityId>,
    pub representation_path: Vec<EntityId>,
    pub steps: usize,
    pub gave_up: bool,
    /// Transformations of links read so far; a part may be used by an assembly that is used often.
    pub transformations: BTreeMap<(EntityId, EntityId, EntityId), Outcome<DMat4>>,
    /// Solids found once stay where they are: set while looking through representations that no
    /// product shows, which often repeat what a product has.
    pub only_new: Option<BTreeSet<EntityId>>,
}

impl Occurrences {
    pub fn find(
        reader: &Reader<'_, '_>,
        roles: &Roles,
        contexts: &Contexts,
        products: &Products,
    ) -> Self {
        let mut walk = Walk {
            reader,
            shelf: Shelf::new(reader, contexts),
            products,
            contents: BTreeMap::new(),
            names: BTreeMap::new(),
            found: Occurrences::default(),
            visited_representations: BTreeSet::new(),
            visited_products: BTreeSet::new(),
            product_path: Vec::new(),
            representation_path: Vec::new(),
            steps: 0,
            gave_up: false,
            transformations: BTreeMap::new(),
            only_new: None,
        };
        walk.read_contents(roles);
        walk.visit_products();
        walk.visit_representations(roles);
        walk.visit_the_rest(roles);
        walk.found
    }
}

impl Walk<'_, '_, '_> {
    fn read_contents(&mut self, roles: &Roles) {
        for id in &roles.shape_representations {
            match self.shelf.contents(*id) {
                Ok(contents) => {
                    self.contents.insert(*id, contents);
                }
                Err(trouble) => self
                    .reader
                    .trouble(trouble, "what it shows is missing", true),
            }
        }
    }

    /// Transformation of a link from its first representation to its second.
    fn second_from_first(&mut self, link: &Link) -> Outcome<DMat4> {
        let Some(id) = link.transformation else {
            return Ok(DMat4::IDENTITY);
        };
        let key = (link.rep_1, link.rep_2, id);
        if let Some(known) = self.transformations.get(&key) {
            return known.clone();
        }
        let contents = [link.rep_1, link.rep_2].map(|rep| self.contents.get(&rep));
        let read = self.shelf.transformation(link, id, contents);
        self.transformations.insert(key, read.clone());
        read
    }

    /// One more step of the walk, or the end of it.
    fn step(&mut self) -> bool {
        self.steps += 1;
        if self.steps <= MAX_STEPS && !self.reader.is_cancelled() {
            return true;
        }
        if !self.gave_up {
            self.gave_up = true;
            let text =
                format!("the assembly has more than {MAX_STEPS} occurrences; the rest is missing");
            self.reader.note("file", text, true);
        }
        false
    }

    fn visit_products(&mut self) {
        let products = self.products;
        let mapped = self.mapped_products();
        let all: BTreeSet<EntityId> = products
            .representations
            .keys()
            .chain(products.usages.keys())
            .copied()
            .collect();
        let roots: Vec<_> = all
            .iter()
            .filter(|p| !products.used.contains(p) && !mapped.contains(p))
            .copied()
            .collect();
        for product in roots {
            self.product(product, DMat4::IDENTITY);
        }
        // In a circle of products nobody is a root.
        for product in all {
            if !self.visited_products.contains(&product)
                && !products
                    .representations
                    .get(&product)
                    .is_none_or(Vec::is_empty)
            {
                let trouble = Trouble::new(
                    product,
                    "PRODUCT_DEFINITION",
                    "belongs to a circle of assemblies",
                );
                self.reader
                    .trouble(trouble, "it is taken as a part of its own", false);
                self.product(product, DMat4::IDENTITY);
            }
        }
    }

    /// Products shown inside another product by a mapped item.
    fn mapped_products(&self) -> BTreeSet<EntityId> {
        let mut inside = BTreeSet::new();
        for (id, contents) in &self.contents {
            for mapped in &contents.mapped {
                if let Some(product) = self.products.product_of.get(&mapped.representation)
                    && self.products.product_of.get(id) != Some(product)
                {
                    inside.insert(*product);
                }
            }
        }
        inside
    }

    fn product(&mut self, product: EntityId, root_from_product: DMat4) {
        if self.product_path.contains(&product) || self.product_path.len() >= MAX_LEVELS {
            let trouble =
                Trouble::new(product, "PRODUCT_DEFINITION", "an assembly contains itself");
            self.reader
                .trouble(trouble, "the circle is not followed", true);
            return;
        }
        if !self.step() {
            return;
        }
        self.product_path.push(product);
        self.visited_products.insert(product);
        let products = self.products;
        let usages = products.usages.get(&product).map_or(&[][..], Vec::as_slice);
        let placed: BTreeSet<EntityId> = usages
            .iter()
            .filter(|u| products.placement_of_usage.contains_key(&u.id))
            .map(|u| u.child)
            .collect();
        let mut shown = BTreeSet::new();
        let mut group = Group {
            product: Some(product),
            seen: BTreeSet::new(),
            placed: &placed,
            shown: &mut shown,
        };
        for representation in products
            .representations
            .get(&product)
            .map_or(&[][..], Vec::as_slice)
        {
            self.representation(*representation, root_from_product, &mut group);
        }
        for usage in usages {
            match products.placement_of_usage.get(&usage.id) {
                Some(link) => match self.placement(link, usage.child) {
                    Ok(here_from_child) => {
                        self.product(usage.child, root_from_product * here_from_child)
                    }
                    Err(trouble) => {
                        self.reader
                            .trouble(trouble, "the part stands unmoved", true);
                        self.product(usage.child, root_from_product);
                    }
                },
                None if shown.contains(&usage.child) => {}
                None => {
                    let trouble = Trouble::new(
                        usage.id,
                        "NEXT_ASSEMBLY_USAGE_OCCURRENCE",
                        "no placement is given",
                    );
                    self.reader
                        .trouble(trouble, "the part stands unmoved", false);
                    self.product(usage.child, root_from_product);
                }
            }
        }
        self.product_path.pop();
    }

    /// Where a usage puts its child. The first representation should be the child's; some systems
    /// swap the two.
    fn placement(&mut self, link: &Link, child: EntityId) -> Outcome<DMat4> {
        let here_from_first = self.second_from_first(link)?;
        let of_child = |rep: EntityId| self.shows(rep, child);
        if !of_child(link.rep_1) && of_child(link.rep_2) {
            let id = link.transformation.unwrap_or(link.rep_1);
            return inverse(&here_from_first).ok_or_else(|| {
                Trouble::new(id, "ITEM_DEFINED_TRANSFORMATION", "cannot be undone")
            });
        }
        Ok(here_from_first)
    }

    /// True when the representation, or one in the same coordinates, shows the product.
    fn shows(&self, representation: EntityId, product: EntityId) -> bool {
        let is = |rep: &EntityId| self.products.product_of.get(rep) == Some(&product);
        is(&representation)
            || self
                .products
                .same
                .get(&representation)
                .is_some_and(|others| others.iter().any(is))
    }

    /// Contents of a representation and of all that share its coordinates.
    pub fn representation(
        &mut self,
        start: EntityId,
        root_from_here: DMat4,
        group: &mut Group<'_>,
    ) {
        let mut waiting = vec![start];
        while let Some(id) = waiting.pop() {
            if !group.seen.insert(id) || self.representation_path.contains(&id) {
                continue;
            }
            if !self.step() {
                return;
            }
            self.visited_representations.insert(id);
            if let Some(contents) = self.contents.get(&id).cloned() {
                self.contents_of(id, &contents, root_from_here, group);
            }
            for link in self
                .products
                .placed_in
                .get(&id)
                .cloned()
                .unwrap_or_default()
            {
                let here_from_first = self.second_from_first(&link);
                self.follow(id, link.rep_1, here_from_first, root_from_here, group);
            }
            for other in self.products.same.get(&id).map_or(&[][..], Vec::as_slice) {
                // A neighbour that shows another product is reached by its own way.
                let theirs = self.products.product_of.get(other);
                if theirs.is_none() || theirs == group.product.as_ref() {
                    waiting.push(*other);
                }
            }
        }
    }

    fn contents_of(
        &mut self,
        id: EntityId,
        contents: &Contents,
        root_from_here: DMat4,
        group: &mut Group<'_>,
    ) {
        for item in &contents.exact {
            if group.seen.insert(*item) {
                self.record(true, *item, contents.context, group.product, root_from_here);
            }
        }
        for item in &contents.tessellated {
            if group.seen.insert(*item) {
                self.record(
                    false,
                    *item,
                    contents.context,
                    group.product,
                    root_from_here,
                );
            }
        }
        for mapped in &contents.mapped {
            if !group.seen.insert(mapped.id) {
                continue;
            }
            self.follow(
                id,
                mapped.representation,
                Ok(mapped.here_from_there),
                root_from_here,
                group,
            );
        }
    }

    /// Into a representation that stands elsewhere.
    fn follow(
        &mut self,
        from: EntityId,
        to: EntityId,
        here_from_there: Outcome<DMat4>,
        root_from_here: DMat4,
        group: &mut Group<'_>,
    ) {
        let here_from_there = match here_from_there {
            Ok(transformation) => transformation,
            Err(trouble) => {
                self.reader
                    .trouble(trouble, "the part stands unmoved", true);
                DMat4::IDENTITY
            }
        };
        let root_from_there = root_from_here * here_from_there;
        if self.representation_path.contains(&to) || self.representation_path.len() >= MAX_LEVELS {
            let trouble = Trouble::new(to, "REPRESENTATION", "a representation contains itself");
            self.reader
                .trouble(trouble, "the circle is not followed", true);
            return;
        }
        self.representation_path.push(from);
        match self.products.product_of.get(&to) {
            Some(product) if Some(*product) != group.product => {
                // A usage with a placement of its own already shows this product here.
                if !group.placed.contains(product) {
                    group.shown.insert(*product);
                    self.product(*product, root_from_there);
                }
            }
            _ => {
                let mut inner = Group {
                    product: group.product,
                    seen: BTreeSet::new(),
                    placed: group.placed,
                    shown: group.shown,
                };
                self.representation(to, root_from_there, &mut inner);
            }
        }
        self.representation_path.pop();
    }

    pub fn record(
        &mut self,
        exact: bool,
        item: EntityId,
        context: Option<EntityId>,
        product: Option<EntityId>,
        root_from_item: DMat4,
    ) {
        if self
            .only_new
            .as_ref()
            .is_some_and(|known| known.contains(&item))
        {
            return;
        }
        let name = match product {
            Some(product) => self
                .names
                .entry(product)
                .or_insert_with(|| product_name(self.reader, product))
                .clone(),
            None => String::new(),
        };
        let found = if exact {
            &mut self.found.exact
        } else {
            &mut self.found.tessellated
        };
        found
            .entry(item)
            .or_insert_with(|| Occurrence {
                name,
                product,
                context,
                placements: Vec::new(),
            })
            .placements
            .push(root_from_item);
    }
}

/// Representations in the same coordinates, visited together for one occurrence of one product.
pub(super) struct Group<'p> {
    pub product: Option<EntityId>,
    pub seen: BTreeSet<EntityId>,
    /// Products that usages place under this one.
    pub placed: &'p BTreeSet<EntityId>,
    /// Products that mapped items have shown.
    pub shown: &'p mut BTreeSet<EntityId>,
}
