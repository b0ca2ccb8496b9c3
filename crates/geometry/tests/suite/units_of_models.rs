//! Units are stated or asked for, with the likely one named.

use crate::shapes::data;
use geometry::readers::read;
use geometry::unit::{LengthUnit, UnitNeeded, in_millimetres, settle};
use glam::dvec3;

#[test]
fn real_models_without_unit_suggest_the_right_one() {
    for (name, unit) in [
        ("featuretype_inch.stl", LengthUnit::Inch),
        ("plate_holes.stl", LengthUnit::Millimetre),
        ("octagonal_pocket.stl", LengthUnit::Metre),
    ] {
        let model = read(&data(name), name).unwrap();
        let needed = settle(&model.mesh, model.unit, None).unwrap_err();
        assert_eq!(needed.likely(), Some(unit), "{needed}");
        assert!(!needed.ambiguous, "{needed:?}");
        assert!(
            needed.to_string().contains(&format!("most likely {unit}")),
            "{needed}"
        );
        assert_eq!(
            settle(&model.mesh, model.unit, Some(LengthUnit::Foot)),
            Ok(LengthUnit::Foot)
        );
    }
    let model = read(&data("featuretype.3mf"), "").unwrap();
    let unit = settle(&model.mesh, model.unit, None).unwrap();
    let [low, high] = in_millimetres(&model.mesh, unit).unwrap().bounds().unwrap();
    assert!((high - low - dvec3(127.0, 63.5, 34.925)).length() < 1e-9);
}

#[test]
fn between_units_the_answer_is_ambiguous() {
    // 20 x 10.37 x 6.11: a small part in mm, a 20 in part in inches.
    let needed = UnitNeeded::from_extents(dvec3(20.0, 10.37, 6.11));
    assert!(needed.ambiguous, "{needed:?}");
    let text = needed.to_string();
    assert!(
        text.contains("in mm it is 20.0") && text.contains("in in it is 508.0"),
        "{text}"
    );
    let dust = UnitNeeded::from_extents(dvec3(1e-6, 1e-6, 0.0));
    assert_eq!(dust.likely(), None);
    assert!(dust.to_string().contains("state the unit"));
    let nothing = UnitNeeded::from_extents(dvec3(0.0, 0.0, 0.0));
    assert_eq!(nothing.likely(), None);
}
