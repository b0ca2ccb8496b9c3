//! Supply, floor, lifting, air and noise against published tables and worked examples. Each test
//! cites its source; wrong prints are corrected with the reason beside them.

mod air_and_noise;
mod currents;
mod diagram;
mod floor;
mod laws;
mod lifting;
mod sizing;
pub mod study;
mod together;
