//! The built-in tables keep what they promise.

use crate::shop_on_disk::Files;
use units::{Quantity, Stress, Watch};

#[test]
fn every_number_is_a_band_with_a_source() {
    let study = folder::demo(Watch::NOBODY).expect("reads");
    assert!(study.materials.0.len() >= 12);
    for material in study.materials.0.values() {
        assert!(!material.source.is_empty());
        let (low, high) = material.kc11.ends();
        assert!(
            low < material.kc11.likely && material.kc11.likely < high,
            "{}",
            material.id
        );
        assert!(material.kc11.origin.is_assumed());
        assert!(material.stock_price_kg.is_some());
    }
    assert_eq!(study.classes.len(), 6);
    for class in &study.classes {
        let p = &class.properties;
        assert!(
            p.nose_to_table_min.is_none() && p.nose_to_table_max.is_none(),
            "{}",
            class.id
        );
        assert!(p.weight.is_some() && p.spindle_power.is_some() && p.rapid.is_some());
        assert!(class.price_new.is_some() && class.price_used.is_some());
    }
}

/// The band of a material spans the published tables (kc1.1 as printed; milling tables at 0.1 mm a
/// tooth brought to 1 mm with the material's own exponent and the mean chip of a half-immersed end
/// mill, 0.1 mm x 2/pi).
#[test]
fn kc_bands_span_the_published_tables() {
    let study = folder::demo(Watch::NOBODY).expect("reads");
    let mean_chip_mm: f64 = 0.1 * std::f64::consts::FRAC_2_PI;
    let printed = [
        ("6061", vec![700.0, 800.0, 780.0], vec![580.0, 660.0]), // ISCAR, BIG Daishowa; Mitsubishi, Tungaloy
        ("1018", vec![1350.0], vec![2150.0]),                    // ISCAR; Tungaloy SS400
        ("1045", vec![1500.0], vec![1970.0]),                    // ISCAR; Tungaloy S55C
        ("4140", vec![], vec![2450.0]),                          // Tungaloy SCM435
        ("4140-prehard", vec![1675.0, 1725.0], vec![]),          // ISCAR groups 7 and 8
        ("304", vec![2150.0, 2350.0], vec![2030.0]),             // ISCAR, BIG Daishowa; Mitsubishi
        ("316", vec![2150.0, 2600.0], vec![2030.0]),
        (
            "grey-iron",
            vec![1150.0, 1350.0, 1020.0],
            vec![1750.0, 1660.0],
        ),
        ("brass", vec![700.0], vec![1150.0, 1090.0]),
        ("ti-6al-4v", vec![2110.0, 1245.0, 1370.0], vec![]),
    ];
    for (id, kc11, milling) in printed {
        let material = study.materials.find(id).expect(id);
        let brought = milling
            .into_iter()
            .map(|kc| kc * mean_chip_mm.powf(material.mc.likely.to_number()));
        let (low, high) = material.kc11.ends();
        for value in kc11.into_iter().chain(brought) {
            let value = Stress::mpa(value);
            // Bands are printed to 10 MPa.
            let slack = Stress::mpa(10.0);
            assert!(
                low - slack <= value && value <= high + slack,
                "{id}: {value:?}"
            );
        }
    }
}

#[test]
fn aliases_find_their_material_whatever_the_case() {
    let study = folder::demo(Watch::NOBODY).expect("reads");
    for (text, id) in [
        ("Aluminium", "6061"),
        ("6061 T6", "6061"),
        ("mild STEEL", "1018"),
        ("4140 prehard", "4140-prehard"),
        ("1.4301", "304"),
        ("17-4PH", "17-4"),
        ("titanium", "ti-6al-4v"),
        ("POM", "acetal"),
    ] {
        assert_eq!(
            study.materials.find(text).map(|m| m.id.0.as_str()),
            Some(id),
            "{text}"
        );
    }
    let mut names = std::collections::BTreeMap::new();
    for material in study.materials.0.values() {
        for alias in material
            .aliases
            .iter()
            .chain([&material.id.0, &material.name])
        {
            if let Some(other) = names.insert(alias.to_lowercase(), &material.id) {
                assert_eq!(other, &material.id, "{alias} names two materials");
            }
        }
    }
}

#[test]
fn a_folder_may_replace_a_material_and_add_a_class() {
    let mut files = Files::sound();
    files.put(
        "materials.toml",
        "[[material]]\nid = \"6061\"\ngroup = \"N\"\ndensity = 2700\nkc11 = \"650 MPa\"\nmc = 0.25\nspeed_carbide = \"300 m/min\"\nspeed_hss = \"100 m/min\"\nfeed_per_diameter = 0.008\nsource = \"our own cuts\"\n",
    );
    files.put(
        "classes.toml",
        "[[class]]\nid = \"gantry\"\nsource = \"our guess\"\nweight = \"1 | 2 | 3 t\"\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let own = study.materials.find("6061").expect("there");
    assert_eq!(own.kc11.likely, Stress::mpa(650.0));
    assert!(!own.kc11.origin.is_assumed() && own.stock_price_kg.is_none());
    let class = study.classes.last().expect("there");
    assert_eq!(class.id.0, "gantry");
    assert_eq!(
        class.properties.weight.as_ref().map(|w| w.likely.base()),
        Some(2000.0)
    );
}
