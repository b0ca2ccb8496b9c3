//! Tolerance grades of ISO 286-1: how wide a stated fit such as H7 is.

use units::Length;

/// Largest diameter of each range, mm, and the widths of IT5 to IT11, um (ISO 286-1:2010 table 1,
/// from memory; checked against the formula of the grades, i = 0.45 D^(1/3) + 0.001 D).
const WIDTHS_UM: &[(f64, [f64; 7])] = &[
    (3.0, [4.0, 6.0, 10.0, 14.0, 25.0, 40.0, 60.0]),
    (6.0, [5.0, 8.0, 12.0, 18.0, 30.0, 48.0, 75.0]),
    (10.0, [6.0, 9.0, 15.0, 22.0, 36.0, 58.0, 90.0]),
    (18.0, [8.0, 11.0, 18.0, 27.0, 43.0, 70.0, 110.0]),
    (30.0, [9.0, 13.0, 21.0, 33.0, 52.0, 84.0, 130.0]),
    (50.0, [11.0, 16.0, 25.0, 39.0, 62.0, 100.0, 160.0]),
    (80.0, [13.0, 19.0, 30.0, 46.0, 74.0, 120.0, 190.0]),
    (120.0, [15.0, 22.0, 35.0, 54.0, 87.0, 140.0, 220.0]),
    (180.0, [18.0, 25.0, 40.0, 63.0, 100.0, 160.0, 250.0]),
    (250.0, [20.0, 29.0, 46.0, 72.0, 115.0, 185.0, 290.0]),
    (315.0, [23.0, 32.0, 52.0, 81.0, 130.0, 210.0, 320.0]),
    (400.0, [25.0, 36.0, 57.0, 89.0, 140.0, 230.0, 360.0]),
    (500.0, [27.0, 40.0, 63.0, 97.0, 155.0, 250.0, 400.0]),
];

/// Full width of a grade at a diameter; `None` outside IT5 to IT11 and 500 mm.
pub fn grade_width(diameter: Length, grade: u32) -> Option<Length> {
    let column = usize::try_from(grade.checked_sub(5)?).ok()?;
    let (_, widths) = WIDTHS_UM
        .iter()
        .find(|(most, _)| diameter.to_mm() <= *most)?;
    Some(Length::um(*widths.get(column)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grades_follow_the_formula_of_the_standard() {
        // ISO 286-1: i = 0.45 D^(1/3) + 0.001 D in um, D the geometric mean of the range in mm;
        // IT6 is 10 i, then 16, 25, 40, 64, 100. The table is rounded, most in the first range: within a
        // seventh or 1 um.
        let mut from: f64 = 1.0;
        for (to, widths) in WIDTHS_UM {
            let d = (from * to).sqrt();
            let i = 0.45 * d.cbrt() + 0.001 * d;
            for (width, times) in widths[1..]
                .iter()
                .zip([10.0, 16.0, 25.0, 40.0, 64.0, 100.0])
            {
                let off = (width - times * i).abs();
                assert!(off <= (width / 7.0).max(1.0), "{to}: {width} {}", times * i);
            }
            from = *to;
        }
        assert_eq!(grade_width(Length::mm(10.0), 7), Some(Length::um(15.0)));
        assert_eq!(grade_width(Length::mm(10.01), 7), Some(Length::um(18.0)));
        assert_eq!(grade_width(Length::mm(10.0), 4), None);
        assert_eq!(grade_width(Length::mm(501.0), 7), None);
    }
}
