//! The units of every quantity, by their names. Sizes come from the quantities' own constructors;
//! only SI prefixes and counts (a week of seven days) are multiplied here.

use super::cursor::Cursor;
use super::unit::{FEET_AND_INCHES, Fractions, Point, Unit, reach};
use super::{Entered, Parse};
use crate::{
    Acceleration, Angle, ApparentPower, Area, Current, Flow, Force, Length, Mass, Power,
    RemovalRate, Rpm, Speed, Stress, SubgradeModulus, Time, Torque, Voltage, Volume,
};

/// A quantity as seen by the others: to say what a foreign unit measures.
pub(crate) struct Kind {
    pub(crate) name: &'static str,
    pub(crate) reach: fn(Cursor<'_>) -> Option<usize>,
}

const fn kind<Q: Parse>() -> Kind {
    Kind {
        name: Q::NAME,
        reach: reach::<Q>,
    }
}

/// All quantities with units; of two that share a name the one met more often stands first.
pub(crate) static KINDS: [Kind; 19] = [
    kind::<Length>(),
    kind::<Mass>(),
    kind::<Time>(),
    kind::<Power>(),
    kind::<Force>(),
    kind::<Torque>(),
    kind::<Stress>(),
    kind::<Rpm>(),
    kind::<Speed>(),
    kind::<Voltage>(),
    kind::<Current>(),
    kind::<ApparentPower>(),
    kind::<Area>(),
    kind::<Volume>(),
    kind::<Angle>(),
    kind::<Acceleration>(),
    kind::<RemovalRate>(),
    kind::<Flow>(),
    kind::<SubgradeModulus>(),
];

/// Implements [`Parse`] for a quantity from its units.
macro_rules! units {
    ($quantity:ty, $example:literal, ambiguous [$($word:literal => $hint:literal),*], [$($unit:expr),+ $(,)?] $(, otherwise $otherwise:path)?) => {
        impl Parse for $quantity {
            const EXAMPLE: &'static str = $example;
            const AMBIGUOUS: &'static [(&'static str, &'static str)] = &[$(($word, $hint)),*];
            fn units() -> &'static [Unit<Self>] {
                static UNITS: &[Unit<$quantity>] = &[$($unit),+];
                UNITS
            }
            $(fn entered_otherwise(text: &str) -> Option<Entered<Self>> {
                $otherwise(text)
            })?
        }
    };
}

/// Compounds other than feet and inches: metres and centimetres, pounds and ounces, hours and
/// minutes, degrees and minutes.
const OTHER: u8 = 2;

units!(Length, "16 in or 406 mm", ambiguous [
    "mil" => "write thou for thousandths of an inch, or mm",
    "mils" => "write thou for thousandths of an inch, or mm"
], [
    Unit::new(&["mm", "millimetre", "millimetres", "millimeter", "millimeters"], Length::mm).chained(OTHER, 1).point(Point::Doubtful),
    Unit::new(&["cm", "centimetre", "centimetres", "centimeter", "centimeters"], Length::cm).chained(OTHER, 2),
    Unit::new(&["m", "metre", "metres", "meter", "meters", "mtr"], Length::m).chained(OTHER, 3),
    Unit::new(&["in", "\"", "''", "inch", "inches", "ins"], Length::inch).chained(FEET_AND_INCHES, 1),
    Unit::new(&["ft", "'", "foot", "feet"], Length::foot).chained(FEET_AND_INCHES, 2),
    Unit::new(&["yd", "yds", "yard", "yards"], Length::yard).chained(FEET_AND_INCHES, 3),
    Unit::new(&["um", "\u{3bc}m", "micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"], Length::um),
    Unit::new(&["thou", "thousandth", "thousandths"], |n| Length::inch(n / 1000.0)),
]);
units!(Area, "2 m2 or 20 sq ft", ambiguous [], [
    Unit::new(&["mm2", "sq mm", "square millimetres", "square millimeters"], Area::mm2),
    Unit::new(&["cm2", "sq cm", "square centimetres", "square centimeters"], Area::cm2),
    Unit::new(&["m2", "sq m", "sqm", "square metres", "square meters"], Area::m2),
    Unit::new(&["in2", "sq in", "sq inch", "sq inches", "square inch", "square inches"], Area::inch2),
    Unit::new(&["ft2", "sq ft", "sq feet", "square foot", "square feet"], Area::foot2),
]);
units!(Volume, "2 l or 120 in3", ambiguous [], [
    Unit::new(&["mm3", "cu mm", "cubic millimetres", "cubic millimeters"], Volume::mm3),
    Unit::new(&["cm3", "cc", "ccm", "cu cm", "cubic centimetres", "cubic centimeters"], Volume::cm3),
    Unit::new(&["ml", "millilitre", "millilitres", "milliliter", "milliliters"], Volume::cm3),
    Unit::new(&["l", "ltr", "litre", "litres", "liter", "liters"], Volume::litre),
    Unit::new(&["m3", "cu m", "cubic metre", "cubic metres", "cubic meter", "cubic meters"], Volume::m3),
    Unit::new(&["in3", "cu in", "cubic inch", "cubic inches"], Volume::inch3),
    Unit::new(&["ft3", "cu ft", "cubic foot", "cubic feet"], |n| {
        Length::foot(1.0) * Length::foot(1.0) * Length::foot(n)
    }),
    Unit::new(&["US gal", "US gallon", "US gallons"], Volume::us_gallon),
    Unit::new(&["gal", "gals", "gallon", "gallons"], Volume::us_gallon).noted("gallons are read as US gallons"),
]);
units!(Angle, "30 deg or 30\u{b0} 15'", ambiguous [], [
    Unit::new(&["deg", "\u{b0}", "degs", "degree", "degrees"], Angle::deg).chained(OTHER, 3),
    Unit::new(&["arcmin", "'", "minutes of arc"], |n| Angle::deg(n / 60.0)).chained(OTHER, 2),
    Unit::new(&["arcsec", "\"", "''", "seconds of arc"], |n| Angle::deg(n / 3600.0)).chained(OTHER, 1),
    Unit::new(&["rad", "radian", "radians"], Angle::rad),
    Unit::new(&["mrad", "milliradian", "milliradians"], |n| Angle::rad(n / 1000.0)),
]);
units!(Mass, "3500 kg or 7500 lb", ambiguous [
    "ton" => "write t (1000 kg), short tons (2000 lb), long tons (2240 lb), kg or lb",
    "tons" => "write t (1000 kg), short tons (2000 lb), long tons (2240 lb), kg or lb"
], [
    Unit::new(&["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"], Mass::kg).point(Point::Doubtful),
    Unit::new(&["g", "gram", "grams", "gramme", "grammes"], Mass::gram),
    Unit::new(&["t", "tonne", "tonnes", "metric ton", "metric tons", "metric tonne", "metric tonnes"], Mass::tonne),
    Unit::new(&["lb", "lbs", "pound", "pounds", "#"], Mass::lb).chained(OTHER, 2).point(Point::Doubtful),
    Unit::new(&["oz", "ounce", "ounces"], Mass::ounce).chained(OTHER, 1),
    Unit::new(&["short ton", "short tons", "US ton", "US tons"], Mass::short_ton),
    Unit::new(&["long ton", "long tons", "UK ton", "UK tons", "imperial ton", "imperial tons"], Mass::long_ton),
]);
units!(Force, "10 kN or 2200 lbf", ambiguous [], [
    Unit::new(&["N", "newton", "newtons"], Force::n).point(Point::Doubtful),
    Unit::new(&["kN", "kilonewton", "kilonewtons"], Force::kn),
    Unit::new(&["daN", "decanewton", "decanewtons"], |n| Force::n(n * 10.0)),
    Unit::new(&["lbf", "lbsf", "lb", "lbs", "pound", "pounds", "pounds force", "lbs force", "lb force"], Force::lbf),
    Unit::new(&["kip", "kips"], |n| Force::lbf(n * 1000.0)),
    Unit::new(&["kgf", "kp"], Force::kgf),
]);
units!(Torque, "102 N m or 75 ft-lb", ambiguous [], [
    Unit::new(&["N m", "newton metre", "newton metres", "newton meter", "newton meters"], Torque::nm),
    Unit::new(&["kN m"], |n| Torque::nm(n * 1000.0)),
    Unit::new(&["N cm"], Torque::ncm),
    Unit::new(&["ft-lb", "ft lb", "ft lbs", "ft lbf", "lb ft", "lbs ft", "lbf ft", "foot pound", "foot pounds",
        "pound foot", "pound feet", "foot lb", "foot lbs"], Torque::ft_lb),
    Unit::new(&["ft/lb", "ft/lbs", "lb/ft", "lbs/ft"], Torque::ft_lb)
        .noted("a slash between feet and pounds is read as their product"),
    Unit::new(&["in-lb", "in lb", "in lbs", "in lbf", "lb in", "lbs in", "lbf in", "inch pound", "inch pounds",
        "inch lb", "inch lbs", "pound inch", "pound inches"], Torque::in_lb),
    Unit::new(&["kgf m", "kp m", "kg m", "kgm"], Torque::kgf_m),
], otherwise super::torque_at::entered);
units!(Stress, "6 bar or 90 psi", ambiguous [], [
    Unit::new(&["MPa", "megapascal", "megapascals"], Stress::mpa),
    Unit::new(&["mPa"], |n| Stress::pa(n / 1000.0)).exact(),
    Unit::new(&["kPa", "kilopascal", "kilopascals"], Stress::kpa),
    Unit::new(&["GPa", "gigapascal", "gigapascals"], |n| Stress::mpa(n * 1000.0)),
    Unit::new(&["Pa", "pascal", "pascals", "N/m2"], Stress::pa),
    Unit::new(&["bar", "bars", "barg", "bar g"], Stress::bar),
    Unit::new(&["mbar", "millibar", "millibars"], |n| Stress::bar(n / 1000.0)),
    Unit::new(&["psi", "psig", "lb/in2", "lbs/in2", "lbf/in2", "lb/sq in", "lbs/sq in", "lbf/sq in",
        "pounds/square inch"], Stress::psi),
    Unit::new(&["ksi"], |n| Stress::psi(n * 1000.0)),
    Unit::new(&["kgf/cm2", "kg/cm2", "kp/cm2"], |n| {
        Stress::n_per_mm2(Force::kgf(n).to_n() / Area::cm2(1.0).to_mm2())
    }),
    Unit::new(&["N/mm2", "N/sq mm"], Stress::n_per_mm2),
]);
units!(SubgradeModulus, "100 pci or 27 MPa/m", ambiguous [], [
    Unit::new(&["MPa/m", "MN/m3", "N/cm3"], SubgradeModulus::mpa_m),
    Unit::new(&["kN/m3", "kPa/m"], |n| SubgradeModulus::mpa_m(n / 1000.0)),
    Unit::new(&["pci", "psi/in", "lb/in3", "lbf/in3", "lbs/in3"], SubgradeModulus::pci),
]);
units!(Time, "45 min or 2.5 h", ambiguous [
    "month" => "months differ in length: write weeks or days",
    "months" => "months differ in length: write weeks or days",
    "m" => "write min for minutes"
], [
    Unit::new(&["s", "sec", "secs", "second", "seconds"], Time::s).chained(OTHER, 1),
    Unit::new(&["min", "mins", "minute", "minutes"], Time::minutes).chained(OTHER, 2),
    Unit::new(&["m"], Time::minutes).chained(OTHER, 2).later_part(),
    Unit::new(&["h", "hr", "hrs", "hour", "hours"], Time::h).chained(OTHER, 3),
    Unit::new(&["days", "day", "d"], Time::days).chained(OTHER, 4),
    Unit::new(&["weeks", "week", "wk", "wks"], |n| Time::days(n * 7.0)).chained(OTHER, 5),
    Unit::new(&["ms", "millisecond", "milliseconds"], |n| Time::s(n / 1000.0)),
]);
units!(Rpm, "8100 rpm", ambiguous [], [
    Unit::new(&["rpm", "rpms", "r/min", "rev/min", "revs/min", "1/min", "/min", "min-1", "U/min",
        "revolutions/minute"], Rpm::rpm).point(Point::Thousands),
    Unit::new(&["krpm", "k rpm"], |n| Rpm::rpm(n * 1000.0)),
    Unit::new(&["rps", "r/s", "rev/s", "1/s", "s-1"], Rpm::rps),
]);
units!(Speed, "30 m/min or 1200 in/min", ambiguous [], [
    Unit::new(&["m/min", "mpm", "metres/minute", "meters/minute", "metres/min", "meters/min"], Speed::m_min),
    Unit::new(&["mm/min", "mmpm", "mm/minute"], Speed::mm_min).point(Point::Doubtful),
    Unit::new(&["m/s", "m/sec", "metres/second", "meters/second"], Speed::m_s),
    Unit::new(&["in/min", "ipm", "inch/min", "inches/min", "inches/minute", "\"/min", "i p m"], Speed::inch_min),
    Unit::new(&["in/s", "ips", "in/sec", "inches/second"], |n| Speed::inch_min(n * 60.0)),
    Unit::new(&["ft/min", "fpm", "sfm", "sfpm", "feet/min", "feet/minute", "surface feet/minute"], Speed::foot_min),
    Unit::new(&["mm/s", "mm/sec"], Speed::mm_s),
]);
units!(Acceleration, "5 m/s2 or 0.5 g", ambiguous [], [
    Unit::new(&["m/s2", "m/sec2", "m/s/s"], Acceleration::m_s2),
    Unit::new(&["mm/s2", "mm/sec2", "mm/s/s"], Acceleration::mm_s2),
    Unit::new(&["g", "gee", "gees"], Acceleration::g),
]);
units!(RemovalRate, "120 cm3/min or 7 in3/min", ambiguous [], [
    Unit::new(&["mm3/min", "cu mm/min"], RemovalRate::mm3_min),
    Unit::new(&["cm3/min", "cc/min", "ccm/min", "cu cm/min", "ml/min"], RemovalRate::cm3_min),
    Unit::new(&["in3/min", "cu in/min", "cubic inches/minute", "cubic inches/min", "cubic inch/min"], RemovalRate::inch3_min),
]);
units!(Flow, "200 l/min or 7 cfm", ambiguous [], [
    Unit::new(&["l/min", "lpm", "ltr/min", "litre/min", "litres/min", "liter/min", "liters/min",
        "litres/minute", "liters/minute", "Nl/min"], Flow::l_min).point(Point::Doubtful),
    Unit::new(&["l/s", "l/sec", "litres/second", "liters/second"], |n| Flow::l_min(n * 60.0)),
    Unit::new(&["m3/h", "m3/hr", "cubic metres/hour", "cubic meters/hour", "cu m/h"], Flow::m3_h),
    Unit::new(&["m3/min", "cu m/min"], |n| Flow::m3_h(n * 60.0)),
    Unit::new(&["cfm", "scfm", "ft3/min", "cu ft/min", "cubic feet/minute", "cubic feet/min"], Flow::cfm),
    Unit::new(&["US gpm", "US gal/min", "US gallons/minute"], Flow::us_gpm),
    Unit::new(&["gpm", "gal/min", "gals/min", "gallons/min", "gallons/minute"], Flow::us_gpm)
        .noted("gallons are read as US gallons"),
]);
units!(Power, "7.5 kW or 10 hp", ambiguous [], [
    Unit::new(&["kW", "kilowatt", "kilowatts"], Power::kw).fractions(Fractions::Never),
    Unit::new(&["W", "watt", "watts"], Power::w).fractions(Fractions::Never).point(Point::Doubtful),
    Unit::new(&["MW", "megawatt", "megawatts"], |n| Power::kw(n * 1000.0)).fractions(Fractions::Never),
    Unit::new(&["mW", "milliwatt", "milliwatts"], |n| Power::w(n / 1000.0)).fractions(Fractions::Never),
    Unit::new(&["hp", "h.p", "bhp", "horsepower", "horse power"], Power::hp).fractions(Fractions::Reduced),
    Unit::new(&["PS", "CV", "ch", "metric hp", "metric horsepower", "hp metric"], Power::metric_hp)
        .fractions(Fractions::Reduced),
], otherwise super::rated::entered);
units!(ApparentPower, "30 kVA", ambiguous [], [
    Unit::new(&["kVA"], ApparentPower::kva).fractions(Fractions::Never),
    Unit::new(&["VA"], ApparentPower::va).fractions(Fractions::Never),
    Unit::new(&["MVA"], |n| ApparentPower::kva(n * 1000.0)).fractions(Fractions::Never),
]);
units!(Voltage, "230 V", ambiguous [], [
    Unit::new(&["V", "VAC", "V AC", "VDC", "V DC", "volt", "volts", "volts AC", "volts DC"], Voltage::v)
        .fractions(Fractions::Never),
    Unit::new(&["kV", "kilovolt", "kilovolts"], Voltage::kv).fractions(Fractions::Never),
    Unit::new(&["mV", "millivolt", "millivolts"], |n| Voltage::v(n / 1000.0)).fractions(Fractions::Never),
]);
units!(Current, "40 A", ambiguous [], [
    Unit::new(&["A", "amp", "amps", "ampere", "amperes"], Current::a).fractions(Fractions::Never),
    Unit::new(&["mA", "milliamp", "milliamps"], |n| Current::a(n / 1000.0)).fractions(Fractions::Never),
]);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_listed_once() {
        let mut names: Vec<&str> = KINDS.iter().map(|k| k.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), KINDS.len());
    }
}
