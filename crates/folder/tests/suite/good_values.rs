//! Values as people write them arrive as what they mean.

use crate::shop_on_disk::Files;
use engine::demand::Holding;
use engine::entered::{Cracks, FeatureKind, FloorKind, ForEachFact, Shape, WiringRules};
use engine::machine::Field;
use units::{
    Currency, Length, Mass, Money, Origin, Power, Quantity, Rpm, Spread, Time, Torque, Value,
};

fn base<Q: Quantity>(value: &Option<Value<Q>>) -> f64 {
    value.as_ref().map(|v| v.likely.base()).expect("there")
}

#[test]
fn shortcuts_and_plain_keys_mean_the_same() {
    let mut files = Files::sound();
    files.put(
        "offers/short.toml",
        "class = \"Light column mill\"\ncondition = \"used\"\ntravel = \"16 x 12 x 18 in\"\nnose_to_table = \"4 in to 22 in\"\ntable = \"36 x 14 in\"\nfootprint = \"60 x 50 x 80 in\"\nsupply = \"208-240 V / 3PH / 40 A\"\nspindle_torque = \"75 ft-lb @ 1400 rpm\"\nspindle_power = \"7.5/11 kW (S1/S6)\"\n",
    );
    files.put(
        "offers/plain.toml",
        "class = \"light column mill\"\ncondition = \"used\"\ntravel_x = \"406.4 mm\"\ntravel_y = \"1 ft\"\ntravel_z = \"18 in\"\nnose_to_table_min = \"4 in\"\nnose_to_table_max = \"22 in\"\ntable_x = \"36 in\"\ntable_y = \"14 in\"\nlength = \"60 in\"\nwidth = \"50 in\"\nheight = \"80 in\"\nsupply_volts = \"208-240 V\"\nsupply_phases = 3\nsupply_amps = \"40 A\"\nspindle_torque = \"75 ft-lb\"\nspindle_torque_rpm = \"1400 rpm\"\nspindle_power = \"7.5 kW\"\nspindle_power_peak = \"11 kW\"\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let find = |id: &str| study.offers.iter().find(|o| o.id.0 == id).expect("there");
    let (short, plain) = (find("short"), find("plain"));
    for field in Field::ALL {
        assert_eq!(
            short.properties.has(*field),
            plain.properties.has(*field),
            "{field:?}"
        );
    }
    let (s, p) = (&short.properties, &plain.properties);
    assert!((base(&s.travel_x) - base(&p.travel_x)).abs() < 1e-9);
    assert_eq!(base(&s.travel_y), Length::inch(12.0).to_mm());
    assert_eq!(base(&s.nose_to_table_max), base(&p.nose_to_table_max));
    assert_eq!(base(&s.height), base(&p.height));
    assert_eq!(base(&s.spindle_power), Power::kw(7.5).base());
    assert_eq!(base(&s.spindle_power_peak), Power::kw(11.0).base());
    assert_eq!(base(&s.spindle_torque), Torque::ft_lb(75.0).base());
    assert_eq!(base(&s.spindle_torque_rpm), Rpm::rpm(1400.0).base());
    assert_eq!(
        s.supply_volts.as_ref().map(|v| v.spread),
        p.supply_volts.as_ref().map(|v| v.spread)
    );
    assert_eq!(
        s.travel_x.as_ref().map(|v| v.id.0.as_str()),
        Some("offers/short/travel_x")
    );
    let Some(Origin::Stated { place }) = s.travel_x.as_ref().map(|v| v.origin.clone()) else {
        panic!("not stated")
    };
    assert_eq!((place.file.as_str(), place.line), ("offers/short.toml", 3));
}

#[test]
fn every_property_is_read_under_its_own_key() {
    let mut offer = String::from("class = \"bench mill\"\ncondition = \"new\"\n");
    for field in Field::ALL {
        // The unit stands at the end of the JSON name; the rest have a plain number or none.
        let name = field.json_name();
        let unit = [
            ("coolant", "1"),
            ("probe", "1"),
            ("drip_feed", "1"),
            ("_axes", "1"),
            ("_kb", "64"),
            ("_per_s", "100"),
            ("_rpm_min", "2000 rpm"),
            ("_tapping_rpm", "900 rpm"),
            ("_thrust_n", "3 kN"),
            ("box_ways", "1"),
            ("_rpm_max", "3000 rpm"),
            ("_torque_rpm", "1400 rpm"),
            ("_m_min", "3 m/min"),
            ("_l_min", "3 l/min"),
            ("_m_s2", "3 m/s2"),
            ("_mm", "3 mm"),
            ("_kg", "3 kg"),
            ("_kw", "3 kW"),
            ("_nm", "3 N m"),
            ("_volts", "230 V"),
            ("_amps", "3 A"),
            ("_kva", "3 kVA"),
            ("_bar", "3 bar"),
            ("_s", "3 s"),
            ("hours_power_on", "3 h"),
            ("hours_cutting", "3 h"),
            ("year", "2003"),
            ("price", "$3"),
            ("pockets", "3"),
            ("phases", "3"),
            ("_count", "4"),
            ("_dba", "80"),
        ];
        let text = unit
            .iter()
            .find(|(end, _)| name.ends_with(end))
            .map(|(_, text)| *text)
            .unwrap_or_else(|| panic!("{name}"));
        offer.push_str(&format!("{} = \"{text}\"\n", field.key()));
    }
    let mut files = Files::sound();
    files.put("offers/mill.toml", offer);
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    for field in Field::ALL {
        assert!(study.offers[0].properties.has(*field), "{field:?}");
    }
}

#[test]
fn options_costs_and_premium() {
    let mut files = Files::sound();
    files.add(
        "offers/mill.toml",
        "premium = \"18%\"\ndelivered = true\nincludes = [\"vise\"]\n[[option]]\nname = \"changer\"\nprice = \"$4,200\"\ntaken = true\ngives = { changer_pockets = 10, tool_change = \"14 s\" }\n[costs]\nfreight = \"$800 | $1,000 | $1,500\"\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let offer = &study.offers[0];
    assert_eq!(offer.premium_share, 0.18);
    assert!(offer.delivered);
    assert_eq!(offer.includes, ["vise"]);
    let option = &offer.options[0];
    assert_eq!(option.price.likely, Money::amount(4200.0));
    assert_eq!(
        option.gives,
        [(Field::changer_pockets, 10.0), (Field::tool_change, 14.0)]
    );
    let (name, freight) = &offer.costs[0];
    assert_eq!(name, "freight");
    assert_eq!(
        freight.ends(),
        (Money::amount(800.0), Money::amount(1500.0))
    );
    assert_eq!(freight.id.0, "offers/mill/costs/freight");
}

#[test]
fn prices_are_converted_at_the_folders_rate() {
    let mut files = Files::sound();
    files.add(
        "shop.toml",
        "[rates]\nEUR = { rate = 1.08, on = 2026-11-02 }\n",
    );
    files.change("offers/mill.toml", "$12,000", "8.900 to 10.000 EUR");
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let price = study.offers[0].properties.price.as_ref().expect("there");
    let (low, high) = price.ends();
    assert!((low.to_amount() - 8900.0 * 1.08).abs() < 1e-9);
    assert!((high.to_amount() - 10_000.0 * 1.08).abs() < 1e-9);
    assert_eq!(study.shop.rates[0].on, jiff::civil::date(2026, 11, 2));
}

#[test]
fn a_bare_dollar_is_the_folders_own() {
    let mut files = Files::sound();
    files.change("shop.toml", "USD", "CAD");
    files.add("shop.toml", "hour_cost = \"$50\"\n");
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(study.shop.budget.likely, Money::amount(30_000.0));
}

#[test]
fn parts_in_every_manner() {
    let mut files = Files::sound();
    files.put(
        "parts.toml",
        "[[part]]\nid = \"b\"\nabout = \"12 x 8 x 3 in, aluminium\"\n\n[[part]]\nid = \"a\"\nmaterial = \"mild steel\"\nsize = \"4 x 3 x 1 in\"\nquantity = \"2-3 per month\"\nhold = \"plate\"\nallowance = \"0.1 in\"\n[[part.feature]]\nkind = \"profile\"\n[[part.feature]]\nside = \"left\"\nkind = \"holes\"\nthread = \"1/4-20 UNC\"\nthrough = true\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let [a, b] = study.parts.as_slice() else {
        panic!("two parts")
    };
    assert_eq!((a.id.0.as_str(), b.id.0.as_str()), ("a", "b"));
    assert_eq!(b.material.0, "6061");
    assert_eq!(b.shape, Shape::Block([12.0, 8.0, 3.0].map(Length::inch)));
    assert!(
        b.per_year.origin.is_assumed()
            && b.batch.origin.is_assumed()
            && b.allowance.origin.is_assumed()
    );
    assert_eq!(a.holding, Some(Holding::Plate));
    assert_eq!(a.per_year.id.0, "parts/a/per_year");
    let Spread::Range { low, high } = a.per_year.spread else {
        panic!("a range")
    };
    assert_eq!((low.to_number(), high.to_number()), (24.0, 36.0));
    // Nothing said of depth: the profile goes through the height, the hole through the length.
    assert_eq!(
        a.features[0].kind,
        FeatureKind::Profile {
            depth: Length::inch(1.0),
            corner_radius: None
        }
    );
    let FeatureKind::Holes {
        diameter,
        depth,
        pitch,
        ..
    } = a.features[1].kind
    else {
        panic!("holes")
    };
    assert_eq!((diameter, depth), (Length::inch(0.25), Length::inch(4.0)));
    assert_eq!(pitch, Some(Length::inch(1.0 / 20.0)));
}

#[test]
fn shop_numbers_with_and_without_words() {
    let mut files = Files::sound();
    files.add("shop.toml", "keep_chance = \"90 %\"\nhours_per_year = \"400-600\"\nhorizon = \"5 years\"\ntax = 0.07\nunits = \"metric\"\n");
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let shop = &study.shop;
    assert_eq!(shop.keep_chance, 0.9);
    assert_eq!(shop.hours_per_year.ends(), (Time::h(400.0), Time::h(600.0)));
    assert_eq!(shop.horizon_years.likely.to_number(), 5.0);
    assert_eq!(shop.tax_share.likely.to_number(), 0.07);
    assert!(!shop.us_units && shop.discount.origin.is_assumed());
    assert_eq!(
        study.offers[0].properties.weight.as_ref().map(|w| w.likely),
        Some(Mass::lb(1200.0))
    );
}

#[test]
fn every_fact_of_the_site_template_reads() {
    let mut known = FactKeys::default();
    engine::entered::EnteredFacts::default().for_each(&mut known);
    let words = ["floor", "cracks", "rules"];
    let text: String = include_str!("../../template/site.toml")
        .lines()
        .filter_map(|line| line.strip_prefix("# "))
        .take_while(|line| !line.starts_with('['))
        .filter(|line| {
            line.split_once(" = ")
                .is_some_and(|(key, _)| known.all.contains(&key) || words.contains(&key))
        })
        .map(|line| format!("{line}\n"))
        .collect();
    let mut files = Files::sound();
    files.put("site.toml", text);
    let mut study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let mut read = FactKeys::default();
    study.site.facts.for_each(&mut read);
    assert_eq!(read.there, read.all);
    let words = study.site.facts.words;
    assert_eq!(words.floor, Some(FloorKind::Slab));
    assert_eq!(words.cracks, Some(Cracks::Hairline));
    assert_eq!(words.rules, Some(WiringRules::Nec));
    let slab = study.site.facts.slab_thickness.as_ref().expect("there");
    assert_eq!(slab.likely, Length::inch(5.0));
    assert_eq!(slab.id.0, "site/slab_thickness");
}

/// Keys of all facts and of those that are there.
#[derive(Default)]
struct FactKeys {
    there: Vec<&'static str>,
    all: Vec<&'static str>,
}

impl ForEachFact for FactKeys {
    fn visit<Q: Quantity>(&mut self, key: &'static str, slot: &mut Option<Value<Q>>) {
        self.all.push(key);
        if slot.is_some() {
            self.there.push(key);
        }
    }
}

#[test]
fn wiring_rules_follow_the_currency_unless_stated() {
    let mut files = Files::sound();
    let rules = |files: &Files| {
        let read = files.read().unwrap_or_else(|problems| panic!("{problems}"));
        (read.shop.currency, read.site.facts.words.rules)
    };
    assert_eq!(rules(&files), (Currency::USD, Some(WiringRules::Nec)));
    files.change(
        "shop.toml",
        "currency = \"USD\"",
        "currency = \"EUR\"\nhour_cost = 40",
    );
    files.add(
        "shop.toml",
        "\n[rates]\nUSD = { rate = 0.9, on = \"2026-01-31\" }\n",
    );
    assert_eq!(rules(&files), (Currency::EUR, Some(WiringRules::Iec)));
    files.add("site.toml", "\nrules = \"nec\"\n");
    assert_eq!(rules(&files), (Currency::EUR, Some(WiringRules::Nec)));
}
