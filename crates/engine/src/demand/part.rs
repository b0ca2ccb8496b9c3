//! A part in one draw, and the demand it makes.

use super::planned::{self, Wanted};
use super::{
    Basis, Demand, Feature, FeatureKind, Holding, Setup, Shape, Side, TaskKind, bulk, features,
    setup,
};
use crate::ids::{MaterialId, PartId};
use crate::material::Materials;
use std::collections::BTreeSet;
use units::{Length, Mass, Number, Volume};

/// A part in one draw: plain values only.
#[derive(Clone, Debug, PartialEq)]
pub struct PlainPart {
    /// Name.
    pub id: PartId,
    /// What people call it.
    pub name: String,
    /// Shape.
    pub shape: Shape,
    /// Material.
    pub material: MaterialId,
    /// Allowance on every side of the raw stock.
    pub allowance: Length,
    /// Features stated.
    pub features: Vec<Feature>,
    /// How it is held; `None` lets the size decide.
    pub holding: Option<Holding>,
    /// Finest tolerance, full width.
    pub tolerance: Option<Length>,
    /// Pieces a year.
    pub per_year: Number,
    /// Pieces a batch.
    pub batch: Number,
    /// False for a part the shop could do without or farm out.
    pub must_make: bool,
    /// True for a part that stands for a wish.
    pub want: bool,
}

impl PlainPart {
    /// Finished size as it lies for its first setup: a model lies flat, its longest side along X.
    pub fn size(&self) -> [Length; 3] {
        match &self.shape {
            Shape::Model(facts) => facts.box_sides,
            Shape::Block(size) => *size,
        }
    }
}

/// Opening of the usual 6 in machine vise with its jaws in the standard place (common practice, no
/// source). Wider work is clamped to the table or a sub-plate.
const VISE_OPENING: Length = Length::mm(200.0);

/// What a part asks of any mill. A material that is not in the table is taken as water-heavy
/// (1000 kg per cubic metre); the folder has already told the user that it is unknown.
pub fn of(part: &PlainPart, materials: &Materials) -> Demand {
    let size = part.size();
    let allowance = part.allowance.max(Length::ZERO);
    let stock = size.map(|s| s + 2.0 * allowance);
    let stock_volume = stock[0] * stock[1] * stock[2];
    let density_kg_m3 = materials
        .0
        .get(&part.material)
        .map_or(1000.0, |m| m.density_kg_m3);
    let holding = part.holding.unwrap_or(if stock[1].fits(VISE_OPENING) {
        Holding::Vise
    } else {
        Holding::Plate
    });

    let plan = match &part.shape {
        Shape::Model(facts) if part.features.iter().all(is_chamfer) => facts.plan.as_deref(),
        _ => None,
    };
    if let Some((plan, facts)) = plan.zip(part.shape.facts()) {
        let removed = (stock_volume - facts.volume).max(Volume::ZERO);
        let wanted = Wanted {
            allowance,
            holding: part.holding,
            tolerance: part.tolerance,
            removed,
        };
        let mut setups = planned::setups(plan, &wanted);
        add_chamfers(&mut setups, &part.features, allowance);
        return Demand {
            setups,
            basis: Basis::Shape,
            removed,
            ..blank(part, stock, stock_volume, density_kg_m3)
        };
    }
    let basis = if part.features.is_empty() {
        Basis::Bulk
    } else {
        Basis::Features
    };
    // Top first, then the flip for the side that was clamped, then the others.
    let sides: BTreeSet<Side> = [Side::Top, Side::Bottom]
        .into_iter()
        .chain(part.features.iter().map(|f| f.side))
        .collect();
    let mut setups: Vec<_> = sides
        .iter()
        .map(|&side| (side, setup::setup(side, stock, holding)))
        .collect();
    for (side, setup) in &mut setups {
        let block = features::Block {
            extent: setup.extent,
            allowance,
        };
        setup.tasks = features::tasks(&block, *side, &part.features);
    }
    let known: Volume = setups
        .iter()
        .flat_map(|(_, s)| &s.tasks)
        .map(|t| t.volume)
        .sum();
    let removed = match &part.shape {
        Shape::Model(facts) => (stock_volume - facts.volume).max(Volume::ZERO),
        Shape::Block(_) if basis == Basis::Bulk => bulk::guess(size, stock_volume),
        Shape::Block(_) => known,
    };
    // What the stated tasks do not explain is bulk, shared between the two main sides.
    let rest = (removed - known).max(Volume::ZERO);
    if basis == Basis::Bulk || rest > Volume::ZERO {
        let area = match &part.shape {
            Shape::Model(facts) => facts.area,
            Shape::Block(_) => bulk::walls(size),
        };
        for (side, setup) in &mut setups {
            if matches!(side, Side::Top | Side::Bottom) {
                setup
                    .tasks
                    .extend(bulk::tasks(setup.extent, rest * 0.5, area * 0.5));
            }
        }
    }
    let total: f64 = setups
        .iter()
        .flat_map(|(_, s)| &s.tasks)
        .map(|t| t.area.to_mm2())
        .sum();
    for (_, setup) in &mut setups {
        setup.tasks.sort_by_key(features::rank);
        let own: f64 = setup.tasks.iter().map(|t| t.area.to_mm2()).sum();
        setup.area_share = if total > 0.0 { own / total } else { 0.0 };
    }
    Demand {
        setups: setups.into_iter().map(|(_, s)| s).collect(),
        removed,
        basis,
        ..blank(part, stock, stock_volume, density_kg_m3)
    }
}

fn is_chamfer(feature: &Feature) -> bool {
    matches!(feature.kind, FeatureKind::Chamfer { .. })
}

/// Chamfers stated beside a model, where its plan does not show them: in the setup of their side;
/// in the first one where none has that side up, since an edge is reached from either of its faces.
fn add_chamfers(setups: &mut [Setup], stated: &[Feature], allowance: Length) {
    let Some(first) = setups.first().map(|s| s.toward) else {
        return;
    };
    for feature in stated {
        let below = |s: &Setup| s.toward.dot(first) < -0.99;
        let own = match feature.side {
            Side::Bottom => setups.iter().position(below),
            _ => None,
        };
        let setup = &mut setups[own.unwrap_or(0)];
        let block = features::Block {
            extent: setup.extent,
            allowance,
        };
        let tasks = features::tasks(&block, feature.side, std::slice::from_ref(feature));
        let chamfers = tasks.into_iter().filter(|t| t.kind == TaskKind::Chamfer);
        setup.tasks.extend(chamfers);
    }
}

/// Everything that does not depend on how the part is cut.
fn blank(part: &PlainPart, stock: [Length; 3], stock_volume: Volume, density_kg_m3: f64) -> Demand {
    Demand {
        part: part.id.clone(),
        name: part.name.clone(),
        material: part.material.clone(),
        setups: Vec::new(),
        stock,
        stock_mass: Mass::kg(stock_volume.to_m3() * density_kg_m3),
        removed: Volume::ZERO,
        tolerance: part.tolerance,
        per_year: part.per_year,
        batch: part.batch,
        basis: Basis::Bulk,
        must_make: part.must_make,
        want: part.want,
    }
}
