//! Lengths and what is made of them.

quantity! {
    /// A length, stored in millimetres.
    Length "length" "mm" {
        mm to_mm 1.0, cm to_cm 10.0, m to_m 1000.0, um to_um 0.001,
        // International inch, exactly 25.4 mm (ISO 31-1; NIST SP 811 appendix B).
        inch to_inch 25.4, foot to_foot 304.8, yard to_yard 914.4,
    }
}
quantity! {
    /// An area, stored in square millimetres.
    Area "area" "mm2" { mm2 to_mm2 1.0, cm2 to_cm2 100.0, m2 to_m2 1.0e6, inch2 to_inch2 645.16, foot2 to_foot2 92_903.04 }
}
quantity! {
    /// A volume, stored in cubic millimetres.
    Volume "volume" "mm3" {
        mm3 to_mm3 1.0, cm3 to_cm3 1000.0, litre to_litre 1.0e6, m3 to_m3 1.0e9,
        inch3 to_inch3 16_387.064, us_gallon to_us_gallon 3_785_411.784,
    }
}
quantity! {
    /// A plane angle, stored in radians.
    Angle "angle" "rad" { rad to_rad 1.0, deg to_deg (std::f64::consts::PI / 180.0) }
}

impl std::ops::Mul for Length {
    type Output = Area;
    fn mul(self, other: Length) -> Area {
        Area::mm2(self.to_mm() * other.to_mm())
    }
}

impl std::ops::Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, other: Length) -> Volume {
        Volume::mm3(self.to_mm2() * other.to_mm())
    }
}

/// Two lengths closer than this are the same length to a shop: a tenth of a micrometre, far below
/// any machine's resolution and far above rounding in f64 at ten metres (1e-12 m).
pub const LENGTH_SLACK: Length = Length::mm(1.0e-4);

impl Length {
    /// True when this length is at most `room`, with [`LENGTH_SLACK`] for rounding.
    pub fn fits(self, room: Length) -> bool {
        self.to_mm() <= room.to_mm() + LENGTH_SLACK.to_mm()
    }
}

quantity! {
    /// A plain number: pieces, teeth, people, a share.
    Number "number" "" { of to_number 1.0, percent to_percent 0.01 }
}
