//! Typed quantities, numbers with an origin and a spread, addressed random draws, and the one kind
//! of message the whole workspace speaks.
//!
//! ```
//! use units::{Length, Power, Rpm};
//! let travel = Length::inch(16.0);
//! assert!(Length::mm(400.0).fits(travel));
//! let torque = Power::kw(11.0).torque_at(Rpm::rpm(1500.0));
//! assert!((torque.to_nm() - 70.03).abs() < 0.01);
//! ```

#[macro_use]
mod quantity;
mod draw;
mod force;
mod length;
mod money;
mod motion;
mod normal;
mod origin;
pub mod parse;
mod power;
mod problem;
mod show;
mod spread;
mod watch;

pub use draw::{Common, DRAW_BLOCK, Draw, Stream};
pub use force::{Force, GRAVITY_M_S2, Mass, Stress, SubgradeModulus, Torque};
pub use length::{Angle, Area, LENGTH_SLACK, Length, Number, Volume};
pub use money::{Currency, ExchangeRate, Money, Price};
pub use motion::{Acceleration, Flow, RemovalRate, Rpm, Speed, Time};
pub use normal::{normal_score, normal_share};
pub use origin::{Group, InputId, Origin, Place, Value};
pub use parse::{
    ABOUT_SHARE, Duty, Entered, EnteredPrice, Parse, ParseError, Rated, Rating, Remark, Supply,
    parse_dimensions, parse_entered, parse_entered_not_negative, parse_entered_positive,
    parse_entered_price, parse_entered_with_default, parse_price, parse_rated, parse_supply,
    parse_torque_at, slips,
};
pub use power::{ApparentPower, Current, Power, Voltage};
pub use problem::{Problem, Problems, Severity};
pub use quantity::Quantity;
pub use show::{
    Rounding, Show, Shown, System, number_text, show, show_about_money, show_coolant_flow,
    show_cutting_speed, show_fluid_pressure, show_liquid, show_money, show_money_range, show_price,
    show_range, show_room,
};
pub use spread::Spread;
pub use watch::{Cancelled, Progress, Watch};
