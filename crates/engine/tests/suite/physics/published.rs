//! Published worked examples and tables, recomputed. Each names its source; the number in its name is
//! that of the list they were gathered in. "From memory" marks those whose print was not seen again,
//! "ours" those without a printed answer.

mod covered;
mod drilling;
mod dynamics;
mod holders;
mod milling;
mod power;
mod threads;

/// Equal to a printed number of so many decimals: within half a unit of its last digit.
#[track_caller]
fn printed(value: f64, shown: f64, decimals: i32) {
    let half = 0.5 * 10.0f64.powi(-decimals) * (1.0 + 1e-9);
    assert!((value - shown).abs() <= half, "{value} is not {shown}");
}

/// A printed number cut off instead of rounded.
#[track_caller]
fn truncated(value: f64, shown: f64, decimals: i32) {
    let unit = 10.0f64.powi(-decimals);
    assert!(
        value >= shown && value < shown + unit,
        "{value} is not {shown}"
    );
}

/// Some pages take pi as 3.14: speeds by them are this much higher.
const PI_OF_THE_PAGE: f64 = std::f64::consts::PI / (314.0 / 100.0);
