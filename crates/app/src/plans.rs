//! Plans of models, from the cache or worked out and kept.

use crate::cache::{self, Key};
use engine::demand::Plan;
use geometry::features::Features;
use geometry::model::Model;
use geometry::plan::{Options, Shape, plan};
use std::sync::Arc;
use units::{Cancelled, Watch};

/// The plan of one body, with its surface only when worked out anew; `anew` asks for that.
pub fn of_body(
    bytes: &[u8],
    body: usize,
    model: &Model,
    features: &Features<'_>,
    options: &Options,
    anew: bool,
    watch: Watch<'_>,
) -> Result<Plan, Cancelled> {
    let key = Key::new(bytes, &model.unit, body, options);
    if let Some(known) = cache::load(key).filter(|_| !anew) {
        return Ok(known);
    }
    let found = plan(&Shape::of(model, features), options, watch)?;
    cache::keep(key, &found);
    Ok(found)
}

/// The plan of a model of one body; `None` for several, and when cancelled.
pub fn of_single(
    bytes: &[u8],
    model: &Model,
    options: &Options,
    watch: Watch<'_>,
) -> Option<Arc<Plan>> {
    if !model.bodies.is_empty() {
        return None;
    }
    let key = Key::new(bytes, &model.unit, 0, options);
    if let Some(known) = cache::load(key) {
        return Some(Arc::new(known));
    }
    let features = geometry::features::of(model);
    let found = plan(&Shape::of(model, &features), options, watch).ok()?;
    cache::keep(key, &found);
    Some(Arc::new(found))
}
