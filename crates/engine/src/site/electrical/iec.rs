//! Copper conductors by metric section: current-carrying capacity and impedance.

use super::conductor::Size;
use super::rules::Phases;

/// Section in mm2, capacity in amperes with two and with three loaded cores.
type Row = (f64, [f64; 2]);

/// IEC 60364-5-52 reference method B2 (multicore cable in conduit on a wall), PVC 70 C, 30 C
/// around. Three cores at 6 to 35 mm2 as read (an equipment manual's table, easymanua.ls); the rest
/// from memory.
const ROWS: [Row; 15] = [
    (1.5, [16.5, 15.0]),
    (2.5, [23.0, 20.0]),
    (4.0, [30.0, 27.0]),
    (6.0, [38.0, 34.0]),
    (10.0, [52.0, 46.0]),
    (16.0, [69.0, 62.0]),
    (25.0, [90.0, 80.0]),
    (35.0, [111.0, 99.0]),
    (50.0, [133.0, 118.0]),
    (70.0, [168.0, 149.0]),
    (95.0, [201.0, 179.0]),
    (120.0, [232.0, 206.0]),
    (150.0, [258.0, 225.0]),
    (185.0, [294.0, 255.0]),
    (240.0, [344.0, 297.0]),
];

/// Ambient factors for PVC (IEC 60364-5-52 table B.52.14): 0.87 at 40 C as read, the rest from memory.
const AMBIENT: [(f64, f64); 6] = [
    (25.0, 1.06),
    (30.0, 1.00),
    (35.0, 0.94),
    (40.0, 0.87),
    (45.0, 0.79),
    (50.0, 0.71),
];

/// Resistivity of copper at working temperature, ohm mm2/m, and reactance of a cable, ohm/m: IEC
/// 60364-5-52 annex G, from memory. 35 mm2 on three phases then drops 1.11 mV/A/m, the published
/// value 1.1 (cse-distributors.co.uk).
const RHO: f64 = 0.0225;
const REACTANCE: f64 = 0.000_08;

/// Every section, small to large, with its capacity; `None` above 50 C around.
pub(super) fn sizes(phases: Phases, ambient_c: f64) -> Option<Vec<Size>> {
    let column = match phases {
        Phases::One => 0,
        Phases::Three => 1,
    };
    let correction = AMBIENT.iter().find(|(up_to, _)| ambient_c <= *up_to)?.1;
    Some(
        ROWS.iter()
            .map(|(section, amps)| Size {
                name: name(*section),
                ampacity_a: amps[column] * correction,
                ohm_per_m: RHO / section,
                x_ohm_per_m: REACTANCE,
                section_mm2: *section,
            })
            .collect(),
    )
}

/// Protective conductor: the line's own section to 16 mm2, 16 mm2 to 35, half of it above (IEC
/// 60364-5-54 table 54.2, from memory); the next section sold.
pub(super) fn protective(section: f64) -> String {
    let wanted = match section {
        s if s <= 16.0 => s,
        s if s <= 35.0 => 16.0,
        s => 0.5 * s,
    };
    let sold = ROWS
        .iter()
        .map(|(s, _)| *s)
        .find(|s| *s + 1e-9 >= wanted)
        .unwrap_or(wanted);
    name(sold)
}

/// Capacity as the table prints it, two and three loaded cores.
pub fn capacity_b2(section_mm2: f64) -> Option<[f64; 2]> {
    ROWS.iter()
        .find(|(s, _)| (s - section_mm2).abs() < 1e-9)
        .map(|(_, amps)| *amps)
}

fn name(section: f64) -> String {
    format!("{section} mm2")
}
