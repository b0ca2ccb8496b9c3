//! Mass, force, torque, stress.

/// Standard gravity, m/s^2 (CGPM 1901; ISO 80000-3).
pub const GRAVITY_M_S2: f64 = 9.806_65;

quantity! {
    /// A mass, stored in kilograms.
    Mass "mass" "kg" {
        kg to_kg 1.0, gram to_gram 0.001, tonne to_tonne 1000.0,
        // Avoirdupois pound, exactly 0.45359237 kg; short ton 2000 lb (NIST SP 811 appendix B).
        lb to_lb 0.453_592_37, ounce to_ounce 0.028_349_523_125, short_ton to_short_ton 907.184_74,
        long_ton to_long_ton 1_016.046_908_8,
    }
}
quantity! {
    /// A force, stored in newtons.
    Force "force" "N" { n to_n 1.0, kn to_kn 1000.0, lbf to_lbf 4.448_221_615_260_5, kgf to_kgf 9.806_65 }
}
quantity! {
    /// A torque, stored in newton metres.
    Torque "torque" "N m" {
        nm to_nm 1.0, ncm to_ncm 0.01,
        // 1 lbf x 1 ft (NIST SP 811 appendix B).
        ft_lb to_ft_lb 1.355_817_948_331_4, in_lb to_in_lb 0.112_984_829_027_616_7, kgf_m to_kgf_m 9.806_65,
    }
}
quantity! {
    /// A modulus of subgrade reaction: pressure for each unit of settlement, stored in MPa/m.
    SubgradeModulus "subgrade modulus" "MPa/m" {
        mpa_m to_mpa_m 1.0,
        // 1 lbf/in3: 1 psi for each inch (NIST SP 811 appendix B).
        pci to_pci (0.006_894_757_293_168 / 0.0254),
    }
}
quantity! {
    /// A pressure or stress, stored in megapascals.
    Stress "pressure" "MPa" {
        mpa to_mpa 1.0, kpa to_kpa 0.001, pa to_pa 1.0e-6, bar to_bar 0.1,
        psi to_psi 0.006_894_757_293_168, n_per_mm2 to_n_per_mm2 1.0,
    }
}
