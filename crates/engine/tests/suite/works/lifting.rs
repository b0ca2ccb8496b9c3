//! Slings, fork trucks, skates, tie-downs.

use engine::site::lifting::{
    centre_of_gravity, fork_capacity, leg_tension, skate_pull, slanted_capacity,
    standing_up_height, tie_down_limit, tongue,
};
use units::{Angle, Length, Mass};

fn leg(legs: u32, degrees: f64) -> f64 {
    leg_tension(Mass::lb(1000.0), legs, Angle::deg(degrees))
        .unwrap()
        .to_lbf()
}

#[test]
fn two_legs_of_a_sling() {
    // kwrs.com product 212, liftpro.com: 1,000 lb at 60 and 45 degrees to the horizontal: 577 and 707 lb a
    // leg. (One page calls the first case 30 degrees, the other prints 500 / 1.414 = 707, meaning times.)
    assert!((leg(2, 60.0) - 577.0).abs() < 0.5);
    assert!((leg(2, 45.0) - 707.0).abs() < 0.5);
    // enginemechanics.tpub.com/14080 (Navy manual): 30 degrees: 1,000 lb.
    assert!((leg(2, 30.0) - 1000.0).abs() < 1e-6);
    // The same manual: three or four legs on a rigid load may leave two carrying all.
    assert!((leg(4, 60.0) - leg(2, 60.0)).abs() < 1e-9);
    assert!((leg(1, 90.0) - 1000.0).abs() < 1e-6);
    assert!(leg_tension(Mass::lb(1000.0), 2, Angle::ZERO).is_none());
}

#[test]
fn one_sling_slanting() {
    // usnetting.com (ASME B30.9c-2000): 1000/966/866/707/500/258/87 lb, the last two truncated. A toolbox
    // page puts 1000/866/707/500 to 0/15/30/45 degrees: wrong.
    let rows = [
        (90.0, 1000.0),
        (75.0, 966.0),
        (60.0, 866.0),
        (45.0, 707.0),
        (30.0, 500.0),
        (15.0, 258.0),
        (5.0, 87.0),
    ];
    for (degrees, printed) in rows {
        let lb = slanted_capacity(Mass::lb(1000.0), Angle::deg(degrees)).to_lb();
        assert!((-0.5..1.0).contains(&(lb - printed)), "{degrees}: {lb}");
    }
}

#[test]
fn a_fork_truck_at_its_load_centre() {
    let capacity = |rated, at: f64, centre: f64| {
        fork_capacity(Mass::lb(rated), Length::inch(at), Length::inch(centre)).to_lb()
    };
    // 4,000 lb at 24 in lift 2,666 lb at 36 in (truncated from 2,666.7).
    assert!((capacity(4000.0, 24.0, 36.0) - 2666.7).abs() < 0.05);
    // discountforkliftbrokers.com, eastmanind.com: 5,000 lb at 24 in: 120,000 in-lb, so 4,000 lb at 30 in.
    assert!((capacity(5000.0, 24.0, 30.0) - 4000.0).abs() < 1e-6);
    // Nearer than rated never lifts more than the rating.
    assert!((capacity(5000.0, 24.0, 12.0) - 5000.0).abs() < 1e-6);
}

#[test]
fn centre_of_two_bodies() {
    // slideplayer.com/slide/222163: 18 sq ft at (14, 9.5), 160 at (10, 4): 10.4, 4.56 ft.
    let [x, y] = centre_of_gravity(&[(18.0, [14.0, 9.5]), (160.0, [10.0, 4.0])]).unwrap();
    assert!((x - 10.4).abs() < 0.005 && (y - 4.56).abs() < 0.005);
    assert!(centre_of_gravity(&[]).is_none());
}

#[test]
fn pull_on_skates() {
    // Friction 0.05 on steel rollers, 0.02 on synthetic wheels (craneblogger.com, 25 April 2011); forces
    // by W (sin + f cos): 5,000 lb up one in twelve 664 and 515 lb, on the level 250 lb.
    let slope = Angle::rad((1.0_f64 / 12.0).atan());
    let pull = |slope, f| skate_pull(Mass::lb(5000.0), slope, f).to_lbf();
    assert!((pull(slope, 0.05) - 664.0).abs() < 0.5);
    assert!((pull(slope, 0.02) - 515.0).abs() < 0.5);
    assert!((pull(Angle::ZERO, 0.05) - 250.0).abs() < 1e-6);
}

#[test]
fn on_the_road() {
    // 49 CFR 393 (FHWA, 6 July 1994): working load limits together at least half the weight.
    assert!((tie_down_limit(Mass::lb(4000.0)).to_lb() - 2000.0).abs() < 1e-9);
    // 10 to 15 % tongue (owners' accounts): 6,000 lb: 600 to 900 lb.
    let [low, high] = tongue(Mass::lb(6000.0)).map(Mass::to_lb);
    assert!((low - 600.0).abs() < 1e-9 && (high - 900.0).abs() < 1e-9);
    // A cabinet stood up needs its diagonal: 84 x 36 in: 91.4 in; 96 x 40: 104.0.
    let up = |h, d| standing_up_height(Length::inch(h), Length::inch(d)).to_inch();
    assert!((up(84.0, 36.0) - 91.4).abs() < 0.05 && (up(96.0, 40.0) - 104.0).abs() < 0.05);
}
