//! Drawings: scenes in millimetres of paper, written as SVG that follows the reader's light or dark
//! theme and prints in black on white. Meaning never rests on colour alone.

mod axis;
mod labels;
mod layout;
mod money;
mod nose_range;
mod rows;
mod scene;
mod stack_up;
mod svg;
mod texts;

pub use money::{Names, build_up, ceilings, confidence, questions, tornado};
pub use scene::{Anchor, Fill, Item, Scene, Stroke, TextBox};
pub use stack_up::{StackUpDrawing, stack_up};
pub use svg::{Theme, svg};

#[cfg(test)]
mod tests;
