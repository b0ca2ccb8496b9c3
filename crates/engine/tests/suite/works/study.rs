//! The site of one machine: floor, supply, air, works, and what is asked when a number is missing.

use engine::entered::{Cracks, Facts, FloorKind, WiringRules, Words};
use engine::ids::OfferId;
use engine::machine::{Known, Machine, Properties};
use engine::site::air::Enough;
use engine::site::electrical::Rules;
use engine::site::floor::Carries;
use engine::site::{PERMISSIONS, Room, SiteAnswer, SiteVerdict, UsdRate, check};
use units::{
    ApparentPower, Area, Current, Flow, Length, Mass, Number, Power, Stress, SubgradeModulus,
    Voltage,
};

pub fn usd() -> UsdRate {
    UsdRate {
        rate: 1.0,
        stated: true,
    }
}

/// A machine whose nameplate is whole.
pub fn machine() -> Machine {
    Machine {
        offer: OfferId::new("x"),
        properties: Properties {
            length: Known::Yes(Length::mm(2200.0)),
            width: Known::Yes(Length::mm(1500.0)),
            height: Known::Yes(Length::mm(2400.0)),
            weight: Known::Yes(Mass::kg(2500.0)),
            supply_volts: Known::Yes(Voltage::v(230.0)),
            supply_phases: Known::Yes(Number::of(3.0)),
            supply_amps: Known::Yes(Current::a(22.0)),
            ..Properties::default()
        },
        taper: None,
        taper_default: None,
    }
}

/// A room that takes it.
pub fn room() -> Room {
    Room {
        door_width: Some(Length::mm(2400.0)),
        door_height: Some(Length::mm(2450.0)),
        ceiling: Some(Length::mm(2700.0)),
        spot_length: Some(Length::mm(4000.0)),
        spot_width: Some(Length::mm(3000.0)),
        supply_volts: Some(Voltage::v(230.0)),
        supply_phases: Some(1.0),
        supply_amps: Some(Current::a(60.0)),
        facts: Facts {
            words: Words {
                floor: Some(FloorKind::Slab),
                ..Words::default()
            },
            slab_thickness: Some(Length::mm(150.0)),
            ..Facts::default()
        },
    }
}

fn at(room: &Room) -> SiteAnswer {
    check(&machine(), room, usd())
}

fn has(answer: &SiteAnswer, work: &str) -> bool {
    answer.works.iter().any(|w| w.name == work)
}

#[test]
fn joists_soft_ground_and_broken_slabs_go_to_an_engineer() {
    for (floor, cracks) in [
        (FloorKind::Joists, None),
        (FloorKind::SoftGround, None),
        (FloorKind::Slab, Some(Cracks::Wide)),
    ] {
        let mut room = room();
        room.facts.words = Words {
            floor: Some(floor),
            cracks,
            rules: None,
        };
        // Not even a metre of concrete makes a screen of it.
        room.facts.slab_thickness = Some(Length::m(1.0));
        let answer = at(&room);
        assert_eq!(answer.floor.carries, Carries::Engineer);
        assert_eq!(answer.goes_in, SiteVerdict::CannotSay);
        assert!(has(&answer, "floor engineer"));
        assert!(answer.floor.caution.contains("engineer"));
    }
}

#[test]
fn a_foot_load_that_decides_is_asked_with_its_flip() {
    let mut heavy = machine();
    heavy.properties.weight = Known::Yes(Mass::kg(5000.0));
    heavy.properties.foot_size = Known::Yes(Length::mm(120.0));
    let mut room = room();
    room.facts.concrete_strength = Some(Stress::psi(2500.0));
    room.facts.subgrade = Some(SubgradeModulus::pci(50.0));
    let answer = check(&heavy, &room, usd());
    assert_eq!(answer.floor.carries, Carries::CannotSay);
    let ask = answer
        .ask
        .iter()
        .find(|a| a.input == "offers/x/foot_load")
        .expect("asked");
    let flip = ask.flips_at.expect("flips");
    let with = |kg| {
        let mut told = heavy.clone();
        told.properties.foot_load = Known::Yes(Mass::kg(kg));
        check(&told, &room, usd())
    };
    assert_eq!(with(flip * 0.999).floor.carries, Carries::Yes);
    let over = with(flip * 1.001);
    assert_eq!(over.floor.carries, Carries::No);
    assert_eq!(over.goes_in, SiteVerdict::No);
    assert!(has(&over, "slab pad"));
    // The shortfall is what makes it a yes.
    let short = over.reasons.iter().find(|r| r.what == "floor").unwrap();
    let mut thicker = room;
    thicker.facts.slab_thickness = Some(Length::mm(150.0 + short.short_by + 0.1));
    let mut told = heavy.clone();
    told.properties.foot_load = Known::Yes(Mass::kg(flip * 1.001));
    assert_eq!(check(&told, &thicker, usd()).floor.carries, Carries::Yes);
}

/// Concrete and ground nobody stated carry a machine only where the poorest would, rule it out only
/// where not even the best does, and are asked for in between with the value that flips it.
#[test]
fn a_slab_nobody_tested_is_a_yes_only_at_its_poorest() {
    let mut machine = machine();
    machine.properties.foot_size = Known::Yes(Length::mm(120.0));
    let at = |kg: f64, strength: Option<Stress>, subgrade: Option<SubgradeModulus>| {
        let mut told = machine.clone();
        told.properties.foot_load = Known::Yes(Mass::kg(kg));
        told.properties.weight = Known::Yes(Mass::kg(2.0 * kg));
        let mut room = room();
        room.facts.concrete_strength = strength;
        room.facts.subgrade = subgrade;
        check(&told, &room, usd())
    };
    let poorest = [Stress::psi(1500.0), Stress::psi(6000.0)];
    let ground = [SubgradeModulus::pci(25.0), SubgradeModulus::pci(400.0)];
    let mut seen = [0; 3];
    for kg in [400.0, 800.0, 1200.0, 1800.0, 2500.0, 4000.0, 8000.0] {
        let unknown = at(kg, None, None);
        let worst = at(kg, Some(poorest[0]), Some(ground[0])).floor.carries;
        let best = at(kg, Some(poorest[1]), Some(ground[1])).floor.carries;
        match unknown.floor.carries {
            Carries::Yes => {
                seen[0] += 1;
                assert_eq!(worst, Carries::Yes);
                assert!(
                    unknown
                        .floor
                        .assumed
                        .iter()
                        .any(|t| t.contains("1,500 psi"))
                );
            }
            Carries::No => {
                seen[1] += 1;
                assert_eq!(best, Carries::No);
            }
            _ => {
                seen[2] += 1;
                assert_eq!((worst, best), (Carries::No, Carries::Yes));
                let ask = unknown
                    .ask
                    .iter()
                    .find(|a| a.input == "site/concrete_strength");
                let flip = ask.expect("asked").flips_at;
                if let Some(mpa) = flip {
                    let stronger = at(kg, Some(Stress::mpa(mpa)), None);
                    assert_eq!(stronger.floor.carries, Carries::Yes);
                }
            }
        }
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
}

#[test]
fn a_dwelling_on_the_same_service_leaves_what_it_leaves() {
    // The dwelling of the optional method's published example draws 126.29 A at 240 V.
    let mut shared = room();
    shared.supply_volts = Some(Voltage::v(240.0));
    shared.supply_amps = Some(Current::a(200.0));
    shared.facts.dwelling_area = Some(Area::foot2(2800.0));
    shared.facts.appliances = Some(ApparentPower::kva(23.5));
    shared.facts.heating = Some(ApparentPower::kva(15.0));
    shared.facts.cooling = Some(ApparentPower::va(6960.0));
    let answer = at(&shared);
    let available = answer.electrical.available_amps.unwrap().to_a();
    assert!((available - 73.71).abs() < 0.005, "{available}");
    // 22 A times root three, 230 over 240 V and a quarter more.
    let need = answer.electrical.need_amps.unwrap().to_a();
    assert!((need - 22.0 * 3.0_f64.sqrt() * 230.0 / 240.0 * 1.25).abs() < 1e-9);
    assert!(!has(&answer, "supply upgrade"));
    shared.supply_amps = Some(Current::a(150.0));
    let answer = at(&shared);
    assert!(has(&answer, "supply upgrade"));
    assert_eq!(answer.goes_in, SiteVerdict::Yes);
    // A service whose other loads nobody told: no spare is claimed, and it is asked.
    let mut untold = room();
    untold.facts.service_amps = Some(Current::a(200.0));
    let answer = at(&untold);
    assert_eq!(answer.electrical.spare_amps, None);
    assert!(
        answer
            .ask_works
            .iter()
            .any(|a| a.input == "site/measured_demand")
    );
}

#[test]
fn rules_change_conductors_and_the_quarter() {
    let mut three = room();
    three.supply_phases = Some(3.0);
    let nec = at(&three).electrical;
    three.facts.words.rules = Some(WiringRules::Iec);
    let iec = at(&three).electrical;
    assert_eq!((nec.rules, iec.rules), (Rules::Nec, Rules::Iec));
    assert!((nec.need_amps.unwrap().to_a() - 27.5).abs() < 1e-9);
    assert!((iec.need_amps.unwrap().to_a() - 22.0).abs() < 1e-9);
    assert_eq!(nec.supply.unwrap().machine.conductor, "10 AWG");
    let iec = iec.supply.unwrap();
    // 22 A, so a breaker of 25 A, so the section that carries 25 A by B2: 4 mm2 (27 A).
    assert_eq!(
        (iec.machine.breaker_a, iec.machine.conductor.as_str()),
        (25.0, "4 mm2")
    );
}

#[test]
fn air_is_a_work_and_its_motor_is_on_the_panel() {
    let mut wants = machine();
    wants.properties.air_flow = Known::Yes(Flow::cfm(8.0));
    wants.properties.air_pressure = Known::Yes(Stress::bar(6.0));
    let answer = check(&wants, &room(), usd());
    assert_eq!(answer.air.enough, Enough::CannotSay);
    // Lack of air never keeps a machine out.
    assert_eq!(answer.goes_in, SiteVerdict::Yes);
    assert!(has(&answer, "compressor") && has(&answer, "air dryer"));
    let asked = answer
        .ask_works
        .iter()
        .find(|a| a.input == "site/compressor_flow")
        .unwrap();
    assert!((asked.flips_at.unwrap() - Flow::cfm(10.0).to_l_min()).abs() < 1e-9);
    // 8 cfm and a quarter more at 4 cfm a hp: 2.5, so a 3 hp motor: 17 A on one phase of 230 V.
    let motor = answer.air.compressor_kw.unwrap();
    assert!((motor.to_hp() - 3.0).abs() < 1e-9);
    assert_eq!(answer.air.compressor_amps, Some(Current::a(17.0)));
    let left = |a: &SiteAnswer| a.electrical.spare_amps.unwrap().to_a();
    assert!((left(&at(&room())) - left(&answer) - 17.0).abs() < 1e-9);
    // With a compressor that gives enough, dry, nothing is to be bought.
    let mut equipped = room();
    equipped.facts.compressor_flow = Some(Flow::cfm(12.0));
    equipped.facts.compressor_pressure = Some(Stress::bar(8.0));
    equipped.facts.compressor_power = Some(Power::hp(3.0));
    equipped.facts.dew_point_c = Some(Number::of(3.0));
    let answer = check(&wants, &equipped, usd());
    assert_eq!(answer.air.enough, Enough::Yes);
    assert!(!has(&answer, "compressor") && !has(&answer, "air dryer"));
    equipped.facts.compressor_flow = Some(Flow::cfm(6.0));
    let answer = check(&wants, &equipped, usd());
    assert_eq!(answer.air.enough, Enough::No);
    assert!(has(&answer, "compressor"));
}

#[test]
fn a_machine_without_a_nameplate_is_priced_and_asked() {
    let mut silent = machine();
    silent.properties.supply_amps = Known::No;
    silent.properties.spindle_power = Known::Yes(Power::kw(7.5));
    let answer = check(&silent, &room(), usd());
    assert!(answer.electrical.estimated);
    assert_eq!(answer.goes_in, SiteVerdict::CannotSay);
    // 7.5 x 1.35 / 0.85 + 1 kW over 0.85: 15.2 kVA, 38 A at 230 V.
    let amps = answer.electrical.machine_amps.unwrap().to_a();
    assert!((amps - 38.1).abs() < 0.1, "{amps}");
    assert!(answer.ask.iter().any(|a| a.input == "offers/x/supply_amps"));
    assert!(!check(&machine(), &room(), usd()).electrical.estimated);
}

#[test]
fn a_longer_way_costs_more_wire() {
    let price = |metres: Option<f64>| {
        let mut room = room();
        room.facts.panel_distance = metres.map(Length::m);
        let answer = at(&room);
        answer
            .works
            .iter()
            .find(|w| w.name == "circuit")
            .map(|w| (w.low, w.likely, w.high))
            .unwrap()
    };
    let (near, far) = (price(Some(5.0)), price(Some(40.0)));
    assert!(far.0 > near.0 && far.1 > near.1 && far.2 > near.2);
    assert!(price(None).0 < price(None).2);
}

#[test]
fn the_rigger_gets_no_guess() {
    let mut told = machine();
    let answer = at(&room());
    assert!(answer.lifting.gravity.contains("unknown: ask the maker"));
    let mut with_truck = room();
    with_truck.facts.fork_capacity = Some(Mass::lb(5000.0));
    with_truck.facts.fork_load_centre = Some(Length::inch(24.0));
    assert_eq!(at(&with_truck).lifting.fork_lifts, None);
    told.properties.gravity_from_front = Known::Yes(Length::inch(30.0));
    let lifting = check(&told, &with_truck, usd()).lifting;
    // 4,000 lb at 30 in carry neither 5,512 lb.
    assert_eq!(lifting.fork_lifts, Some(false));
    assert!((lifting.fork_capacity.unwrap().to_lb() - 4000.0).abs() < 1e-6);
    assert!(lifting.caution.contains("riggers"));
}

#[test]
fn whom_to_ask_for_leave() {
    let all: Vec<&str> = PERMISSIONS.iter().map(|p| p.who).collect();
    for who in ["landlord", "zoning", "insurer", "fire"] {
        assert!(all.iter().any(|w| w.contains(who)), "{who}");
    }
}
