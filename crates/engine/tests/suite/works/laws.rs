//! Laws no answer may break.

use super::study::{machine, room, usd};
use engine::machine::Known;
use engine::site::electrical::{
    Load, Phases, Question, Rules, Run, Supply, Terminals, size, sizes,
};
use engine::site::floor::{Carries, Concrete, Foot};
use engine::site::{SiteVerdict, check};
use proptest::prelude::*;
use units::{Area, Current, Length, Mass, Stress, SubgradeModulus, Voltage};

fn rules() -> impl Strategy<Value = Rules> {
    prop_oneof![Just(Rules::Nec), Just(Rules::Iec)]
}

fn phases() -> impl Strategy<Value = Phases> {
    prop_oneof![Just(Phases::One), Just(Phases::Three)]
}

fn question(rules: Rules, phases: Phases, amps: f64, metres: f64) -> Question {
    Question {
        rules,
        length: Some(Length::m(metres)),
        ..Question::new(Voltage::v(230.0), phases, Load::Amps(Current::a(amps)))
    }
}

fn section(supply: &Supply) -> f64 {
    supply.machine.section_mm2
}

proptest! {
    #[test]
    fn a_larger_conductor_never_drops_more(rules in rules(), phases in phases(), amps in 1.0..300.0, metres in 1.0..200.0, ambient in -10.0..50.0) {
        let run = Run {
            rules, phases,
            volts: Voltage::v(230.0),
            load: Current::a(amps),
            ampacity: Current::a(amps),
            motor: false,
            terminals: Some(Terminals::C60),
            ambient_c: ambient,
            length: Some(Length::m(metres)),
            drop_limit: 0.03,
        };
        let (_, all) = sizes(&run).unwrap();
        for pair in all.windows(2) {
            prop_assert!(pair[1].section_mm2 > pair[0].section_mm2);
            prop_assert!(pair[1].ampacity_a >= pair[0].ampacity_a);
            let drop = |s: &engine::site::electrical::Size| s.drop_share(phases, run.load, Length::m(metres), run.volts);
            prop_assert!(drop(&pair[1]) <= drop(&pair[0]));
        }
    }

    #[test]
    fn a_longer_run_never_takes_a_smaller_conductor(rules in rules(), phases in phases(), amps in 1.0..150.0, metres in 1.0..150.0, more in 0.0..100.0) {
        let (short, long) = (size(&question(rules, phases, amps, metres)), size(&question(rules, phases, amps, metres + more)));
        match (short, long) {
            (Ok(short), Ok(long)) => {
                prop_assert!(section(&long) >= section(&short));
                prop_assert_eq!(long.machine.breaker_a, short.machine.breaker_a);
            }
            (Err(_), Ok(_)) => prop_assert!(false, "a longer run has an answer and a shorter none"),
            _ => {}
        }
    }

    #[test]
    fn every_circuit_carries_its_current_and_keeps_its_drop(rules in rules(), phases in phases(), amps in 1.0..150.0, metres in 1.0..100.0) {
        if let Ok(supply) = size(&question(rules, phases, amps, metres)) {
            let m = &supply.machine;
            prop_assert!(m.ampacity_a >= supply.design_amps - 1e-3);
            prop_assert!(m.breaker_a >= supply.design_amps - 1e-3);
            prop_assert!(m.drop_pct.unwrap() <= 100.0 * rules.usual_drop() + 1e-6);
            prop_assert!(supply.disconnect_a.is_none_or(|d| d >= amps - 1e-3));
        }
    }

    #[test]
    fn more_load_never_takes_less(rules in rules(), amps in 1.0..100.0, more in 0.0..60.0) {
        let of = |amps| size(&Question {
            source_phases: Phases::One,
            // One marking throughout: unmarked terminals change from 60 to 75 C at 100 A.
            terminals: Some(Terminals::C75),
            ..question(rules, Phases::Three, amps, 20.0)
        });
        if let (Ok(a), Ok(b)) = (of(amps), of(amps + more)) {
            prop_assert!(section(&b) >= section(&a));
            prop_assert!(b.source_amps >= a.source_amps);
            prop_assert!(b.machine.breaker_a >= a.machine.breaker_a);
            for (x, y) in a.choices.iter().zip(&b.choices) {
                prop_assert!(y.price_usd.iter().zip(&x.price_usd).all(|(y, x)| y >= x));
            }
        }
    }

    #[test]
    fn a_thicker_slab_never_carries_less(load in 50.0..8000.0, side in 10.0..500.0, mm in 60.0..400.0, more in 0.0..200.0, fc in 10.0..50.0, k in 5.0..150.0) {
        let check = |thickness| Concrete {
            thickness: Length::mm(thickness),
            strength: Stress::mpa(fc),
            subgrade: SubgradeModulus::mpa_m(k),
            safety: 2.0,
        }.check(Foot { load: Mass::kg(load), area: Area::mm2(side * side) });
        let (thin, thick) = (check(mm), check(mm + more));
        prop_assert!(thick.inside() || !thin.inside());
        prop_assert!(thick.anywhere() || !thin.anywhere());
        // Nor does a heavier foot bend it less.
        let heavier = Concrete {
            thickness: Length::mm(mm), strength: Stress::mpa(fc), subgrade: SubgradeModulus::mpa_m(k), safety: 2.0,
        }.check(Foot { load: Mass::kg(load * 1.5), area: Area::mm2(side * side) });
        prop_assert!(heavier.stress.worst() >= thin.stress.worst());
    }

    #[test]
    fn the_floor_of_a_study_follows(kg in 200.0..12_000.0, mm in 60.0..300.0, more in 0.0..200.0, foot in prop::option::of(40.0..300.0), load in prop::option::of(0.25..0.6)) {
        let mut machine = machine();
        machine.properties.weight = Known::Yes(Mass::kg(kg));
        if let Some(foot) = foot {
            machine.properties.foot_size = Known::Yes(Length::mm(foot));
        }
        if let Some(share) = load {
            machine.properties.foot_load = Known::Yes(Mass::kg(kg * share));
        }
        let of = |thickness| {
            let mut room = room();
            room.facts.slab_thickness = thickness;
            check(&machine, &room, usd())
        };
        let (thin, thick) = (of(Some(Length::mm(mm))), of(Some(Length::mm(mm + more))));
        let rank = |c| match c { Carries::Yes => 2, Carries::CannotSay => 1, _ => 0 };
        prop_assert!(rank(thick.floor.carries) >= rank(thin.floor.carries));
        prop_assert!(thick.goes_in != SiteVerdict::No || thin.goes_in == SiteVerdict::No);
        // Without the thickness nothing is a yes, and the flip told is one.
        let unknown = of(None);
        prop_assert_eq!(unknown.floor.carries, Carries::CannotSay);
        if let Some(flip) = unknown.ask.iter().find(|a| a.input == "site/slab_thickness").and_then(|a| a.flips_at) {
            prop_assert_eq!(of(Some(Length::mm(flip))).floor.carries, Carries::Yes);
        }
    }

    #[test]
    fn forgetting_the_feet_never_makes_a_yes(kg in 200.0..12_000.0, mm in 60.0..300.0, foot in 40.0..300.0, share in 0.25..1.0) {
        let mut told = machine();
        told.properties.weight = Known::Yes(Mass::kg(kg));
        told.properties.foot_size = Known::Yes(Length::mm(foot));
        told.properties.foot_load = Known::Yes(Mass::kg(kg * share));
        let mut room = room();
        room.facts.slab_thickness = Some(Length::mm(mm));
        if check(&told, &room, usd()).floor.carries != Carries::Yes {
            let mut silent = told.clone();
            silent.properties.foot_size = Known::No;
            prop_assert_ne!(check(&silent, &room, usd()).floor.carries, Carries::Yes);
        }
    }

    #[test]
    fn more_panel_never_makes_a_no(amps in 5.0..120.0, panel in 10.0..300.0, more in 0.0..200.0) {
        let mut machine = machine();
        machine.properties.supply_amps = Known::Yes(Current::a(amps));
        let of = |panel| {
            let mut room = room();
            room.supply_amps = Some(Current::a(panel));
            check(&machine, &room, usd())
        };
        let (small, large) = (of(panel), of(panel + more));
        prop_assert_eq!(small.goes_in, large.goes_in);
        prop_assert!(large.electrical.spare_amps >= small.electrical.spare_amps);
        let upgrade = |a: &engine::site::SiteAnswer| a.works.iter().any(|w| w.name == "supply upgrade");
        prop_assert!(!upgrade(&large) || upgrade(&small));
    }
}
