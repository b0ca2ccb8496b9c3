//! Before the truck: the seller's end, the carrier, insurance.

use engine::machine::{Known, Machine, Properties, Removal, Trailer};
use engine::site::removal::{About, CheckState, before_the_truck};
use engine::site::{UsdRate, Work, works};
use units::{Length, Mass, Money};

fn machine() -> Machine {
    Machine {
        offer: engine::ids::OfferId::new("x"),
        properties: Properties {
            length: Known::Yes(Length::mm(2200.0)),
            width: Known::Yes(Length::mm(1500.0)),
            height: Known::Yes(Length::mm(2400.0)),
            // M18: a machine of 4,000 lb wants 2,000 lb of tie-downs.
            weight: Known::Yes(Mass::lb(4000.0)),
            ..Properties::default()
        },
        taper: None,
        taper_default: None,
    }
}

#[test]
fn before_the_truck_asks_what_nobody_said() {
    let open = before_the_truck(&machine(), &Removal::default(), false);
    assert!(open.iter().all(|c| c.state == CheckState::Ask), "{open:?}");
    assert!(
        open.iter()
            .any(|c| c.about == About::TieDown && c.text.contains("907 kg")),
        "{open:?}"
    );
    let closed = Removal {
        door: Some([Length::mm(2000.0), Length::mm(2300.0)]),
        dock: Some(false),
        trailer: Some(Trailer::Enclosed),
        carries: Some(Mass::kg(1000.0)),
        ..Removal::default()
    };
    let wrong: Vec<About> = before_the_truck(&machine(), &closed, false)
        .iter()
        .filter(|c| c.state == CheckState::Wrong)
        .map(|c| c.about)
        .collect();
    assert_eq!(wrong, [About::Door, About::Trailer, About::Deck]);
}

fn priced(removal: &Removal, delivered: bool) -> Vec<Work> {
    let usd = UsdRate {
        rate: 1.0,
        stated: true,
    };
    let checks = before_the_truck(&machine(), removal, delivered);
    works::moving(&checks, &machine(), usd)
}

/// Freight and rigging stay the usual price; failed checks add to it, open ones may, those in order
/// nothing.
#[test]
fn failed_and_open_checks_are_priced() {
    let open = priced(&Removal::default(), false);
    assert!(open.len() >= 4);
    for work in &open {
        assert_eq!([work.low, work.likely], [Money::ZERO; 2], "{work:?}");
        assert!(work.high > Money::ZERO && work.lead_days > 0);
        assert!(!work.source.is_empty() && !work.why.is_empty());
    }
    let fine = Removal {
        door: Some([Length::mm(3000.0), Length::mm(3000.0)]),
        loaded_by: Some("the seller".to_owned()),
        trailer: Some(Trailer::Flatbed),
        carries: Some(Mass::kg(4000.0)),
        insured_by: Some("the rigger".to_owned()),
        locked_and_drained: Some(true),
        ..Removal::default()
    };
    assert!(priced(&fine, false).is_empty());
    assert!(priced(&Removal::default(), true).is_empty());
    let no_lift = Removal {
        loaded_by: None,
        lifted: Some(false),
        dock: Some(false),
        trailer: Some(Trailer::Enclosed),
        carries: Some(Mass::kg(1000.0)),
        ..fine
    };
    let works = priced(&no_lift, false);
    let names: Vec<&str> = works.iter().map(|w| w.name).collect();
    // Another carrier is paid once, for the closed trailer and the weak deck.
    assert_eq!(names, ["loading", "other carrier"]);
    assert!(works.iter().all(|w| w.low > Money::ZERO));
    // M20: a crane at 200 to 500 dollars an hour, a haul at 300 to 600 (towmarx.com): two hours of
    // the cheaper, four of the dearer; the likely haul lies inside.
    assert_eq!(works[0].low, Money::amount(2.0 * 200.0));
    assert_eq!(works[0].high, Money::amount(4.0 * 500.0));
    assert!((300.0..=600.0).contains(&works[1].likely.to_amount()));
}

/// What is said of an offer goes before what is said of all.
#[test]
fn the_sellers_own_end_comes_first() {
    let all = Removal {
        dock: Some(true),
        insured_by: Some("us".to_owned()),
        ..Removal::default()
    };
    let own = Removal {
        dock: Some(false),
        ..Removal::default()
    };
    let both = own.or(&all);
    assert_eq!(both.dock, Some(false));
    assert_eq!(both.insured_by.as_deref(), Some("us"));
}
