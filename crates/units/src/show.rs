//! Quantities printed for a reader, in metric or US units, rounded to what is worth reading:
//! three significant digits unless a shop writes more (whole millimetres, hundredths of an inch).

mod money;
mod rounding;

pub use money::{show_about_money, show_money, show_money_range, show_price};
pub use rounding::{Rounding, number_text};

use crate::{
    Acceleration, Angle, ApparentPower, Area, Current, Flow, Force, Length, Mass, Power, Quantity,
    RemovalRate, Rpm, Speed, Stress, Time, Torque, Voltage, Volume,
};

/// Which units a reader wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum System {
    /// Millimetres, kilograms, kilowatts.
    #[default]
    Metric,
    /// Inches, pounds, horsepower.
    Us,
}

/// A unit to print in.
#[derive(Clone, Copy)]
pub struct Shown<Q> {
    /// Its symbol, with the space before it where one belongs.
    unit: &'static str,
    /// The number of these units.
    number: fn(Q) -> f64,
    rounding: Rounding,
}

const fn shown<Q>(unit: &'static str, number: fn(Q) -> f64, rounding: Rounding) -> Shown<Q> {
    Shown {
        unit,
        number,
        rounding,
    }
}

use Rounding::{Decimals, Significant};
use System::{Metric, Us};

/// A quantity that can be printed.
pub trait Show: Quantity {
    /// The unit and rounding this amount is printed in.
    fn shown(self, system: System) -> Shown<Self>;
}

/// Prints a quantity with its unit.
pub fn show<Q: Show>(quantity: Q, system: System) -> String {
    print(quantity, quantity.shown(system))
}

/// Prints a range, the unit once: "254 to 356 mm". Equal ends print as one value.
pub fn show_range<Q: Show>(low: Q, high: Q, system: System) -> String {
    let largest = if low.base().abs() > high.base().abs() {
        low
    } else {
        high
    };
    // Both ends in the unit of the larger, so that it is said once; each rounded in its own way
    // when it is that unit anyway.
    let common = largest.shown(system);
    let of = |q: Q| {
        let own = q.shown(system);
        let rounding = if own.unit == common.unit {
            own.rounding
        } else {
            Significant(3)
        };
        number_text((common.number)(q), rounding)
    };
    let (a, b) = (of(low), of(high));
    if a == b {
        format!("{b}{}", common.unit)
    } else {
        format!("{a} to {b}{}", common.unit)
    }
}

fn print<Q: Quantity>(quantity: Q, shown: Shown<Q>) -> String {
    format!(
        "{}{}",
        number_text((shown.number)(quantity), shown.rounding),
        shown.unit
    )
}

impl Show for Length {
    fn shown(self, system: System) -> Shown<Self> {
        let mm = self.abs().to_mm();
        let inch = self.abs().to_inch();
        match system {
            Metric if mm >= 2000.0 => shown(" m", Length::to_m, Decimals(2)),
            Metric if mm >= 99.95 => shown(" mm", Length::to_mm, Decimals(0)),
            Metric => shown(" mm", Length::to_mm, Significant(3)),
            Us if inch >= 240.0 => shown(" ft", Length::to_foot, Decimals(1)),
            Us if inch >= 1.0 => shown(" in", Length::to_inch, Decimals(2)),
            // Thousandths and tenths of them, as shops measure.
            Us if inch >= 0.01 => shown(" in", Length::to_inch, Decimals(3)),
            Us if inch >= 0.0005 => shown(" in", Length::to_inch, Decimals(4)),
            Us => shown(" in", Length::to_inch, Significant(2)),
        }
    }
}

impl Show for Area {
    fn shown(self, system: System) -> Shown<Self> {
        let mm2 = self.abs().to_mm2();
        match system {
            Metric if mm2 >= 1.0e6 => shown(" m²", Area::to_m2, Significant(3)),
            Metric if mm2 >= 100.0 => shown(" cm²", Area::to_cm2, Significant(3)),
            Metric => shown(" mm²", Area::to_mm2, Significant(3)),
            Us if self.abs().to_foot2() >= 1.0 => shown(" ft²", Area::to_foot2, Significant(3)),
            Us => shown(" in²", Area::to_inch2, Significant(3)),
        }
    }
}

impl Show for Volume {
    fn shown(self, system: System) -> Shown<Self> {
        let mm3 = self.abs().to_mm3();
        match system {
            Metric if mm3 >= 1.0e9 => shown(" m³", Volume::to_m3, Significant(3)),
            Metric if mm3 >= 1.0e6 => shown(" l", Volume::to_litre, Significant(3)),
            Metric if mm3 >= 100.0 => shown(" cm³", Volume::to_cm3, Significant(3)),
            Metric => shown(" mm³", Volume::to_mm3, Significant(3)),
            Us => shown(" in³", Volume::to_inch3, Significant(3)),
        }
    }
}

impl Show for Angle {
    fn shown(self, _: System) -> Shown<Self> {
        shown("°", Angle::to_deg, Significant(3))
    }
}

impl Show for Mass {
    fn shown(self, system: System) -> Shown<Self> {
        let kg = self.abs().to_kg();
        match system {
            Metric if kg >= 9995.0 => shown(" t", Mass::to_tonne, Significant(3)),
            Metric if kg >= 1.0 => shown(" kg", Mass::to_kg, Significant(3)),
            Metric => shown(" g", Mass::to_gram, Significant(3)),
            Us if self.abs().to_lb() >= 1.0 => shown(" lb", Mass::to_lb, Significant(3)),
            Us => shown(" oz", Mass::to_ounce, Significant(3)),
        }
    }
}

impl Show for Force {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric if self.abs().to_n() >= 999.5 => shown(" kN", Force::to_kn, Significant(3)),
            Metric => shown(" N", Force::to_n, Significant(3)),
            Us => shown(" lbf", Force::to_lbf, Significant(3)),
        }
    }
}

impl Show for Torque {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric => shown(" N m", Torque::to_nm, Significant(3)),
            Us if self.abs().to_ft_lb() >= 1.0 => shown(" ft-lb", Torque::to_ft_lb, Significant(3)),
            Us => shown(" in-lb", Torque::to_in_lb, Significant(3)),
        }
    }
}

impl Show for Stress {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric if self.abs().to_mpa() >= 0.01 => shown(" MPa", Stress::to_mpa, Significant(3)),
            Metric => shown(" kPa", Stress::to_kpa, Significant(3)),
            Us => shown(" psi", Stress::to_psi, Significant(3)),
        }
    }
}

impl Show for Time {
    fn shown(self, _: System) -> Shown<Self> {
        let s = self.abs().to_s();
        // Two of a unit before the next larger one takes over.
        match s {
            s if s < 10.0 => shown(" s", Time::to_s, Significant(2)),
            s if s < 120.0 => shown(" s", Time::to_s, Decimals(0)),
            s if s < 600.0 => shown(" min", Time::to_minutes, Decimals(1)),
            s if s < 7_200.0 => shown(" min", Time::to_minutes, Decimals(0)),
            s if s < 172_800.0 => shown(" h", Time::to_h, Decimals(1)),
            s if s < 1_209_600.0 => shown(" days", Time::to_days, Decimals(1)),
            _ => shown(" weeks", |t: Time| t.to_days() / 7.0, Decimals(1)),
        }
    }
}

impl Show for Rpm {
    fn shown(self, _: System) -> Shown<Self> {
        shown(" rpm", Rpm::to_rpm, Significant(3))
    }
}

impl Show for Speed {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric if self.abs().to_m_min() >= 0.9995 => {
                shown(" m/min", Speed::to_m_min, Significant(3))
            }
            Metric => shown(" mm/min", Speed::to_mm_min, Significant(3)),
            Us => shown(" in/min", Speed::to_inch_min, Significant(3)),
        }
    }
}

impl Show for Acceleration {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric => shown(" m/s²", Acceleration::to_m_s2, Significant(3)),
            Us => shown(" g", Acceleration::to_g, Significant(3)),
        }
    }
}

impl Show for RemovalRate {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric => shown(" cm³/min", RemovalRate::to_cm3_min, Significant(3)),
            Us => shown(" in³/min", RemovalRate::to_inch3_min, Significant(3)),
        }
    }
}

impl Show for Flow {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric => shown(" l/min", Flow::to_l_min, Significant(3)),
            Us => shown(" cfm", Flow::to_cfm, Significant(3)),
        }
    }
}

impl Show for Power {
    fn shown(self, system: System) -> Shown<Self> {
        match system {
            Metric if self.abs().to_w() >= 999.5 => shown(" kW", Power::to_kw, Significant(3)),
            Metric => shown(" W", Power::to_w, Significant(3)),
            Us => shown(" hp", Power::to_hp, Significant(3)),
        }
    }
}

impl Show for ApparentPower {
    fn shown(self, _: System) -> Shown<Self> {
        shown(" kVA", ApparentPower::to_kva, Significant(3))
    }
}

impl Show for Voltage {
    fn shown(self, _: System) -> Shown<Self> {
        shown(" V", Voltage::to_v, Significant(3))
    }
}

impl Show for Current {
    fn shown(self, _: System) -> Shown<Self> {
        shown(" A", Current::to_a, Significant(3))
    }
}

/// A length as rooms and doors are measured: feet and whole inches, or metres to the centimetre.
pub fn show_room(length: Length, system: System) -> String {
    match system {
        Metric => print(length, shown(" m", Length::to_m, Decimals(2))),
        Us if !length.is_finite() => show(length, Us),
        Us => {
            let inches = length.abs().to_inch().round();
            let (feet, rest) = ((inches / 12.0).floor(), inches % 12.0);
            let sign = if length < Length::ZERO && inches > 0.0 {
                "-"
            } else {
                ""
            };
            match (feet > 0.0, rest > 0.0) {
                (true, true) => format!("{sign}{feet:.0} ft {rest:.0} in"),
                (true, false) => format!("{sign}{feet:.0} ft"),
                _ => format!("{sign}{rest:.0} in"),
            }
        }
    }
}

/// A cutting speed: metres a minute, or surface feet a minute.
pub fn show_cutting_speed(speed: Speed, system: System) -> String {
    match system {
        Metric => show(speed, Metric),
        Us => print(speed, shown(" ft/min", Speed::to_foot_min, Significant(3))),
    }
}

/// A pressure of air or coolant: bar, or psi.
pub fn show_fluid_pressure(pressure: Stress, system: System) -> String {
    match system {
        Metric => print(pressure, shown(" bar", Stress::to_bar, Significant(3))),
        Us => show(pressure, Us),
    }
}

/// A volume of liquid: litres, or US gallons.
pub fn show_liquid(volume: Volume, system: System) -> String {
    match system {
        Metric => print(volume, shown(" l", Volume::to_litre, Significant(3))),
        Us => print(volume, shown(" gal", Volume::to_us_gallon, Significant(3))),
    }
}

/// A flow of coolant: litres a minute, or US gallons a minute.
pub fn show_coolant_flow(flow: Flow, system: System) -> String {
    match system {
        Metric => show(flow, Metric),
        Us => print(flow, shown(" gpm", Flow::to_us_gpm, Significant(3))),
    }
}
