//! Power and electricity.

use crate::{Rpm, Torque};

quantity! {
    /// A mechanical or electrical power, stored in kilowatts.
    Power "power" "kW" {
        kw to_kw 1.0, w to_w 0.001,
        // Mechanical horsepower, 550 ft lbf/s; metric horsepower, 75 kgf m/s (NIST SP 811 appendix B).
        hp to_hp 0.745_699_871_582_270_2, metric_hp to_metric_hp 0.735_498_75,
    }
}
quantity! {
    /// An apparent power, stored in kilovolt-amperes.
    ApparentPower "apparent power" "kVA" { kva to_kva 1.0, va to_va 0.001 }
}
quantity! {
    /// A voltage, stored in volts.
    Voltage "voltage" "V" { v to_v 1.0, kv to_kv 1000.0 }
}
quantity! {
    /// A current, stored in amperes.
    Current "current" "A" { a to_a 1.0 }
}

impl Torque {
    /// Power of this torque at a rotational speed.
    pub fn power_at(self, speed: Rpm) -> Power {
        Power::w(self.to_nm() * speed.to_rad_s())
    }
}

impl Power {
    /// Torque of this power at a rotational speed; infinite at standstill.
    pub fn torque_at(self, speed: Rpm) -> Torque {
        Torque::nm(self.to_w() / speed.to_rad_s())
    }
}
