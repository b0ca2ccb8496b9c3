//! The shop folder: one folder of plain files that says everything about one purchase. Read whole,
//! with every problem located; started new; never written over.
//!
//! ```
//! let study = folder::demo(units::Watch::NOBODY).expect("the demo reads");
//! assert!(study.parts.len() >= 6 && study.offers.len() >= 7);
//! ```

mod demo;
mod document;
mod dxf;
mod evening;
mod facts;
mod features;
mod finance;
mod hole_work;
mod ledger;
mod model;
mod moving;
mod offers;
mod own_tools;
mod parts;
mod plan;
mod properties;
mod quantity;
mod rates;
mod risks;
mod section;
mod shop;
mod site;
mod source;
mod start;
mod study;
mod suggest;
mod tables;
mod texts;
mod thread;

pub use demo::{demo, demo_source};
pub use evening::{Asked, Evening, Wording};
pub use model::{PlanOf, Plans};
pub use source::{Source, Unread};
pub use start::{NotWritten, new_folder};
pub use study::{Study, read, read_planned, read_site, read_source, read_tools};
pub use tables::materials;
