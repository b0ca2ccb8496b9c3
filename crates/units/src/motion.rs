//! Time and things that happen in it: speeds, feeds, accelerations, removal rates, air flow.

quantity! {
    /// A span of time, stored in seconds.
    Time "time" "s" { s to_s 1.0, minutes to_minutes 60.0, h to_h 3600.0, days to_days 86_400.0 }
}
quantity! {
    /// A rotational speed, stored in revolutions per minute.
    Rpm "rotational speed" "1/min" { rpm to_rpm 1.0, rps to_rps 60.0 }
}
quantity! {
    /// A linear speed (feed, rapid or cutting speed), stored in metres per minute.
    Speed "speed" "m/min" {
        m_min to_m_min 1.0, mm_min to_mm_min 0.001, m_s to_m_s 60.0, inch_min to_inch_min 0.0254,
        foot_min to_foot_min 0.3048, mm_s to_mm_s 0.06,
    }
}
quantity! {
    /// An acceleration, stored in metres per second squared.
    Acceleration "acceleration" "m/s2" { m_s2 to_m_s2 1.0, g to_g 9.806_65, mm_s2 to_mm_s2 0.001 }
}
quantity! {
    /// A material removal rate, stored in cubic millimetres per minute.
    RemovalRate "removal rate" "mm3/min" {
        mm3_min to_mm3_min 1.0, cm3_min to_cm3_min 1000.0, inch3_min to_inch3_min 16_387.064,
    }
}
quantity! {
    /// A flow of air or coolant, stored in litres per minute.
    Flow "flow" "l/min" {
        l_min to_l_min 1.0, m3_h to_m3_h (1000.0 / 60.0), cfm to_cfm 28.316_846_592, us_gpm to_us_gpm 3.785_411_784,
    }
}

impl Rpm {
    /// Angular speed in radians per second.
    pub fn to_rad_s(self) -> f64 {
        self.to_rpm() * std::f64::consts::TAU / 60.0
    }
}
