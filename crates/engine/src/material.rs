//! Materials as the cutting formulas need them, each number with its source and band.

use crate::ids::MaterialId;
use std::collections::BTreeMap;
use units::{Money, Number, Speed, Stress, Value};

/// Main groups of ISO 513.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[allow(missing_docs, reason = "the letters are the standard's own")]
pub enum IsoGroup {
    P,
    M,
    K,
    N,
    S,
    H,
    /// Plastics and other materials outside ISO 513.
    O,
}

/// A material.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Name in files.
    pub id: MaterialId,
    /// What people call it.
    pub name: String,
    /// Other names it is known by.
    pub aliases: Vec<String>,
    /// Group.
    pub group: IsoGroup,
    /// Density, kg per cubic metre.
    pub density_kg_m3: f64,
    /// Specific cutting force at 1 mm chip thickness, with the band of the published methods.
    pub kc11: Value<Stress>,
    /// Exponent of kc = kc1.1 * h^-mc.
    pub mc: f64,
    /// Cutting speed with carbide end mills.
    pub speed_carbide: Value<Speed>,
    /// Cutting speed with high-speed steel.
    pub speed_hss: Value<Speed>,
    /// Feed per tooth as a share of the diameter, end mills of 3 to 20 mm.
    pub feed_per_diameter: Value<Number>,
    /// Raw stock, per kilogram.
    pub stock_price_kg: Option<Value<Money>>,
    /// Source of the numbers.
    pub source: String,
}

/// All known materials by name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Materials(pub BTreeMap<MaterialId, Material>);

impl Materials {
    /// By name or alias, whatever the case and punctuation.
    pub fn find(&self, text: &str) -> Option<&Material> {
        let wanted = plain(text);
        self.0.values().find(|m| {
            plain(&m.id.0) == wanted
                || plain(&m.name) == wanted
                || m.aliases.iter().any(|a| plain(a) == wanted)
        })
    }
}

fn plain(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}
