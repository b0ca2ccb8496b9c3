//! Drawings: scenes in millimetres of paper, written as SVG that follows the reader's light or dark
//! theme and prints in black on white. Meaning never rests on colour alone.

mod labels;
mod layout;
mod nose_range;
mod scene;
mod setup_view;
mod stack_up;
mod surface_picture;
mod svg;
mod texts;

pub use scene::{Anchor, Fill, Item, Scene, Stroke, TextBox};
pub use setup_view::{SetupDrawing, setup_strip, setup_view};
pub use stack_up::{StackUpDrawing, stack_up};
pub use svg::{Theme, svg};

#[cfg(test)]
mod tests;
