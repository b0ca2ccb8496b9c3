//! Drawings: scenes in millimetres of paper, written as SVG that follows the reader's light or dark
//! theme and prints in black on white. Meaning never rests on colour alone.

mod axis;
mod capability_money;
mod cash;
mod chart;
mod electric_symbols;
mod floor_plan;
mod hours;
mod labels;
mod layout;
mod matrix;
mod money;
mod nose_range;
mod plan;
mod rows;
mod scene;
mod setup_view;
mod single_line;
mod stack_up;
mod surface_picture;
mod svg;
mod texts;
mod torque_power;
mod words;
mod years_texts;

pub use capability_money::{CapabilityPoint, capability_money};
pub use cash::cash_over_time;
pub use floor_plan::{
    FloorPlanDrawing, FloorTogetherDrawing, TogetherOnPlan, floor_plan, floor_together,
};
pub use hours::{HoursBar, HoursDrawing, hours};
pub use matrix::{Cell, MatrixDrawing, matrix};
pub use money::{Names, build_up, ceilings, confidence, questions, tornado};
pub use plan::{PlanDrawing, plan};
pub use scene::{Anchor, Fill, Item, Scene, Stroke, TextBox};
pub use setup_view::{SetupDrawing, setup_strip, setup_view};
pub use single_line::{SingleLine, single_line};
pub use stack_up::{StackUpDrawing, stack_up};
pub use svg::{Theme, svg};
pub use torque_power::{TaskPoint, TorquePowerDrawing, torque_power};

#[cfg(test)]
mod plan_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod torque_power_tests;
#[cfg(test)]
mod years_tests;
