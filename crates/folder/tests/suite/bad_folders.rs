//! Folders with something wrong: each message is a tested text, with its place and what to try.

use crate::shop_on_disk::Files;

/// One test a kind of wrong: bends the sound folder and keeps what the user is told.
macro_rules! bad {
    ($($(#[$meta:meta])* $name:ident: |$files:ident| $bend:block)+) => {
        $(
            $(#[$meta])*
            #[test]
            fn $name() {
                let mut $files = Files::sound();
                $bend
                insta::assert_snapshot!($files.told());
            }
        )+

        /// The cases differ in what they are told: none of them passes by accident.
        #[test]
        fn every_case_is_told_something_else() {
            let mut told = std::collections::BTreeMap::new();
            $(
                let mut $files = Files::sound();
                $bend
                if let Some(other) = told.insert($files.told(), stringify!($name)) {
                    panic!("{} and {other} are told the same", stringify!($name));
                }
            )+
            assert!(!told.contains_key("usable\n"));
        }
    };
}

bad! {
    wrong_unit: |files| { files.change("offers/mill.toml", "1200 lb", "1200 in"); }
    site_facts: |files| {
        files.add(
            "site.toml",
            "floor = \"wood\"\nslab_thickness = 5\nconcrete_strength = \"4000 lb\"\nsubgrade = \"100 psi\"\nslab_thicknes = \"5 in\"\n",
        );
    }
    unit_forgotten: |files| { files.change("offers/mill.toml", "\"1200 lb\"", "1200"); }
    unit_ambiguous: |files| { files.change("offers/mill.toml", "1200 lb", "2 tons"); }
    negative_size: |files| { files.change("parts.toml", "12 x 8 x 1 in", "12 x -8 x 1 in"); }
    negative_weight: |files| { files.change("offers/mill.toml", "1200 lb", "-1200 lb"); }
    zero_travel: |files| { files.change("offers/mill.toml", "18 x 10 x 16 in", "18 x 0 x 16 in"); }
    nan: |files| { files.add("offers/mill.toml", "changer_pockets = nan\n"); }
    infinite: |files| { files.add("offers/mill.toml", "spindle_rpm_max = inf\n"); }
    absurdly_huge: |files| { files.change("offers/mill.toml", "1200 lb", "12e12 lb"); }
    absurdly_huge_budget: |files| { files.change("shop.toml", "$30,000", "$30,000,000,000,000"); }
    duplicate_part: |files| {
        files.add("parts.toml", "\n[[part]]\nid = \"plate\"\nmaterial = \"6061\"\nsize = \"1 x 1 x 1 in\"\n");
    }
    duplicate_key: |files| { files.add("offers/mill.toml", "price = \"$13,000\"\n"); }
    unknown_key: |files| { files.add("offers/mill.toml", "spindel_power = \"2 hp\"\ncolour = \"grey\"\n"); }
    unknown_part_key: |files| { files.change("parts.toml", "quantity", "quanttiy"); }
    missing_required: |files| { files.put("shop.toml", "name = \"x\"\n"); }
    missing_offer_keys: |files| { files.put("offers/mill.toml", "name = \"Mill\"\n"); }
    empty_part: |files| { files.put("parts.toml", "[[part]]\n"); }
    no_part: |files| { files.put("parts.toml", "# nothing yet\n"); }
    missing_file: |files| { files.0.remove("parts.toml"); }
    missing_shop: |files| { files.0.remove("shop.toml"); }
    no_offers: |files| { files.0.remove("offers/mill.toml"); }
    no_site: |files| { files.0.remove("site.toml"); }
    not_utf8: |files| { files.put("site.toml", b"door = \"8 ft x 7 ft\"\nceiling = \"\xff\"\n"); }
    not_toml: |files| { files.put("offers/mill.toml", "A fine mill.\nPrice 12,000, call after six\n"); }
    unclosed_quote: |files| { files.change("shop.toml", "\"$30,000\"", "\"$30,000"); }
    budget_without_rate: |files| { files.change("shop.toml", "$30,000", "30 000 EUR"); }
    price_without_rate: |files| { files.change("offers/mill.toml", "$12,000", "£9,500"); }
    rate_without_day: |files| { files.add("shop.toml", "[rates]\nEUR = { rate = 1.08 }\nGBP = 1.3\nUSD = { rate = 1.0, on = \"2026-11-02\" }\n"); }
    day_of_rate_wrong: |files| { files.add("shop.toml", "[rates]\nEUR = { rate = 1.08, on = \"2.11.2026\" }\n"); }
    tables_without_dollar_rate: |files| {
        files.change("shop.toml", "USD", "EUR");
        files.change("shop.toml", "$30,000", "30.000 EUR");
        files.change("offers/mill.toml", "$12,000", "12.000 EUR");
        files.add("shop.toml", "hour_cost = 40\n");
    }
    risks: |files| {
        files.add(
            "offers/mill.toml",
            "[[risk]]\nname = \"crash\"\nchance = \"100 %\"\ncost = \"$400\"\nwithin = \"6 months\"\n\
             [[risk]]\nname = \"crash\"\nchance = \"120 %\"\ncost = \"-$5\"\n\
             [[risk]]\nname = \"rust\"\nchance = \"0 %\"\ncots = \"$3\"\n\
             [[risk]]\nname = \"bearings\"\nchance = \"10 %\"\ncost = \"$90\"\n\
             [[risk]]\nname = \"bearings\"\nchance = \"10 %\"\ncost = \"$90\"\n",
        );
    }
    hour_cost_without_dollar_rate: |files| {
        files.change("shop.toml", "USD", "EUR");
        files.change("shop.toml", "$30,000", "30.000 EUR");
        files.change("offers/mill.toml", "$12,000", "12.000 EUR");
    }
    currency_unreadable: |files| {
        files.change("shop.toml", "USD", "bananas");
        files.change("offers/mill.toml", "$12,000", "12.000 EUR");
    }
    budget_kept_for_sure: |files| { files.add("shop.toml", "keep_chance = \"100 %\"\n"); }
    unknown_material: |files| { files.change("parts.toml", "6061", "6016"); }
    strange_material: |files| { files.change("parts.toml", "6061", "moon rock"); }
    unknown_class: |files| { files.change("offers/mill.toml", "light column mill", "ligth colum mill"); }
    unknown_condition: |files| { files.change("offers/mill.toml", "\"new\"", "\"mint\""); }
    unknown_taper: |files| { files.add("offers/mill.toml", "taper = \"KAT40\"\n"); }
    unknown_thread: |files| { files.change("parts.toml", "M6", "1/4-19"); }
    model_missing: |files| { files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"parts/none.stl\""); files.change("parts.toml", "count = 4", "count = 4"); }
    model_empty: |files| {
        files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"parts/empty.stl\"");
        files.put("parts/empty.stl", "");
    }
    model_without_triangles: |files| {
        files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"parts/hollow.stl\"\nunit = \"mm\"");
        files.put("parts/hollow.stl", "solid hollow\nendsolid hollow\n");
    }
    model_without_unit: |files| {
        files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"parts/block.stl\"");
        files.put("parts/block.stl", block_stl());
    }
    model_of_unknown_unit: |files| {
        files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"parts/block.stl\"\nunit = \"furlong\"");
        files.put("parts/block.stl", block_stl());
    }
    model_open: |files| {
        files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"parts/open.stl\"\nunit = \"in\"");
        let text = block_stl();
        let first_facet_end = text.find("endfacet").expect("a facet") + "endfacet".len();
        files.put("parts/open.stl", format!("solid open{}", &text[first_facet_end..]));
    }
    model_is_no_model: |files| {
        files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"parts/photo.jpg\"");
        files.put("parts/photo.jpg", b"\xff\xd8\xff\xe0 a photo");
    }
    model_outside: |files| { files.change("parts.toml", "size = \"12 x 8 x 1 in\"", "model = \"../secret.stl\""); }
    two_shapes: |files| { files.change("parts.toml", "quantity", "about = \"2 x 2 x 2 in\"\nquantity"); }
    unit_of_a_block: |files| { files.change("parts.toml", "quantity", "unit = \"mm\"\nquantity"); }
    two_lengths_only: |files| { files.change("parts.toml", "12 x 8 x 1 in", "12 x 8 in"); }
    feature_too_deep: |files| { files.change("parts.toml", "0.5 in", "5 in"); }
    feature_of_unknown_kind: |files| { files.change("parts.toml", "\"holes\"", "\"hole\""); }
    half_a_hole: |files| { files.change("parts.toml", "count = 4", "count = 4.5"); }
    nose_range_half: |files| { files.change("offers/mill.toml", "2 in to 18 in", "18 in"); }
    nose_range_upside_down: |files| {
        files.change("offers/mill.toml", "nose_to_table = \"2 in to 18 in\"", "nose_to_table_min = \"18 in\"\nnose_to_table_max = \"2 in\"");
    }
    said_twice: |files| { files.add("offers/mill.toml", "travel_x = \"18 in\"\n"); }
    two_phases: |files| { files.change("site.toml", "1PH", "2PH"); }
    year_of_a_price: |files| { files.add("offers/mill.toml", "year = 12000\n"); }
    premium_as_a_number: |files| { files.add("offers/mill.toml", "premium = 18\n"); }
    peak_power_only: |files| { files.add("offers/mill.toml", "spindle_power = \"5 kW (S6-40%)\"\n"); }
    quantity_without_time: |files| { files.change("parts.toml", "10 per year", "ten or so"); }
    values_that_fall: |files| { files.add("shop.toml", "hour_cost = \"$50 | $40 | $30\"\n"); }
    keys_of_the_wrong_kind: |files| {
        files.change("shop.toml", "\"Test shop\"", "[1, 2]");
        files.add("shop.toml", "owned = \"vise\"\nseed = -1\n");
        files.add("offers/mill.toml", "delivered = \"yes\"\noption = \"changer\"\n");
    }
    many_at_once: |files| {
        files.change("shop.toml", "$30,000", "a lot");
        files.change("parts.toml", "12 x 8 x 1 in", "12 x 8 x 1");
        files.change("offers/mill.toml", "1200 lb", "heavy");
        files.change("site.toml", "8 ft 6 in", "8 ft 6 kg");
        files.put("offers/other.toml", "\n\n= 3\n");
    }
    own_material_incomplete: |files| {
        files.put("materials.toml", "[[material]]\nid = \"mystery\"\ngroup = \"Z\"\n");
    }
    own_class_twice: |files| {
        let class = "[[class]]\nid = \"gantry\"\nsource = \"our guess\"\nrapdi = \"5 m/min\"\n";
        files.put("classes.toml", format!("{class}{class}"));
    }
}

#[test]
fn no_folder() {
    let problems =
        folder::read("no/such/folder".as_ref(), units::Watch::NOBODY).expect_err("there is none");
    insta::assert_snapshot!(problems.to_string());
}

#[test]
fn cancelled_reading_says_so() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    Files::sound().write(dir.path());
    let flag = std::sync::atomic::AtomicBool::new(true);
    let problems =
        folder::read(dir.path(), units::Watch::new(Some(&flag), None)).expect_err("cancelled");
    assert!(problems.to_string().contains("cancelled"), "{problems}");
}

/// A block of 4 x 2 x 1 without unit, as text STL.
fn block_stl() -> String {
    let corner = |i: usize| [[0, 4][i & 1], [0, 2][i >> 1 & 1], [0, 1][i >> 2 & 1]];
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let mut text = String::from("solid block\n");
    for [a, b, c, d] in quads {
        for triangle in [[a, b, c], [a, c, d]] {
            text.push_str("facet normal 0 0 0\nouter loop\n");
            for i in triangle {
                let [x, y, z] = corner(i);
                text.push_str(&format!("vertex {x} {y} {z}\n"));
            }
            text.push_str("endloop\nendfacet\n");
        }
    }
    text + "endsolid block\n"
}
