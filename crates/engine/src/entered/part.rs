//! Parts as entered: a model with what was measured of it, or a described block; features; numbers.

use crate::demand::{Feature, Holding, Shape};
use crate::ids::{MaterialId, PartId};
use units::{Length, Money, Number, Place, Value};

/// A part as entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Name.
    pub id: PartId,
    /// What people call it.
    pub name: String,
    /// Where it is written.
    pub place: Place,
    /// Shape.
    pub shape: Shape,
    /// Material.
    pub material: MaterialId,
    /// Allowance on every side of the raw stock.
    pub allowance: Value<Length>,
    /// Features stated; none for a model or a block of which only the size is known.
    pub features: Vec<Feature>,
    /// How it is held; `None` lets the height decide.
    pub holding: Option<Holding>,
    /// Finest tolerance, full width.
    pub tolerance: Option<Value<Length>>,
    /// Pieces a year.
    pub per_year: Value<Number>,
    /// Pieces a batch.
    pub batch: Value<Number>,
    /// What an outside shop charges, or what it sells for, a piece.
    pub outside_price: Option<Value<Money>>,
    /// Cost of raw stock a piece, when stated.
    pub stock_price: Option<Value<Money>>,
    /// False for a part the shop could do without or farm out.
    pub must_make: bool,
    /// True for a part that stands for a wish.
    pub want: bool,
}
