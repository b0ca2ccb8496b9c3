//! Materials as the cutting formulas need them, each number with its source and band.

use crate::ids::MaterialId;
use std::collections::BTreeMap;
use units::{Length, Money, Number, Speed, Stress, Value};

/// Chip at which the published tables are compared, 0.1 mm a tooth half-immersed: there the band of
/// kc1.1 holds, and the band of the exponent turns about it.
pub const PIVOT_CHIP: Length = Length::mm(0.1 * std::f64::consts::FRAC_2_PI);

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

impl IsoGroup {
    /// All groups with their letters and what they hold.
    pub const ALL: [(IsoGroup, &'static str, &'static str); 7] = [
        (IsoGroup::P, "P", "steel"),
        (IsoGroup::M, "M", "stainless steel"),
        (IsoGroup::K, "K", "cast iron"),
        (IsoGroup::N, "N", "aluminium, brass, copper"),
        (IsoGroup::S, "S", "titanium, heat-resistant alloys"),
        (IsoGroup::H, "H", "hardened steel"),
        (IsoGroup::O, "O", "plastics, outside ISO 513"),
    ];
}

/// Specific cutting force of the aluminium alloys that necks of eight diameters are sold for, MPa
/// (the table's likely value for 6061).
const NECKS_SOLD_FOR_MPA: f64 = 700.0;

/// Share of the necks sold for aluminium that serves in a material of this specific force. The
/// force of a chip of given size goes with kc, the bending of a neck with force times length cubed
/// (cantilever beam); so the length for one bending goes with the cube root of 1 / kc. Never above
/// one: no longer ones are sold.
pub fn neck_share(kc11: Stress) -> f64 {
    let ratio = NECKS_SOLD_FOR_MPA / kc11.to_mpa().max(1.0);
    ratio.cbrt().min(1.0)
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
    /// Main group of ISO 513.
    pub group: IsoGroup,
    /// Narrower group, as tool makers number it ("P2, VDI 3323 group 2").
    pub subgroup: Option<String>,
    /// Density, kg per cubic metre.
    pub density_kg_m3: f64,
    /// Specific cutting force at 1 mm chip thickness, with the band of the published methods.
    pub kc11: Value<Stress>,
    /// Exponent of kc = kc1.1 * h^-mc, with the band of the published methods.
    pub mc: Value<Number>,
    /// Cutting speed with carbide end mills.
    pub speed_carbide: Value<Speed>,
    /// Cutting speed with high-speed steel.
    pub speed_hss: Value<Speed>,
    /// Feed per tooth as a share of the diameter, carbide end mills of 3 to 20 mm.
    pub feed_per_diameter: Value<Number>,
    /// The same of high-speed steel.
    pub feed_per_diameter_hss: Option<Value<Number>>,
    /// Drilling force against grey iron of 210 MPa, K of the second drilling method.
    pub drill_factor: Option<Value<Number>>,
    /// Specific force of tapping by pitch and diameter.
    pub tap_force: Option<Value<Stress>>,
    /// Specific force of tapping by the section of the chips.
    pub tap_force_section: Option<Value<Stress>>,
    /// What to mind when cutting it.
    pub caution: Option<String>,
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

impl Materials {
    /// Those of a group.
    pub fn of_group(&self, group: IsoGroup) -> impl Iterator<Item = &Material> {
        self.0.values().filter(move |m| m.group == group)
    }
}

fn plain(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}
