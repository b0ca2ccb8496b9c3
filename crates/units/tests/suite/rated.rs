//! Powers with duties, torques at speeds.

use units::{Duty, Power, Rpm, Time, Torque, parse_rated, parse_torque_at};

fn limited(kind: Option<u8>, share: Option<f64>, minutes: Option<f64>) -> Option<Duty> {
    Some(Duty::Limited {
        kind,
        share,
        time: minutes.map(Time::minutes),
    })
}

#[test]
fn ratings_with_their_duties() {
    let s1 = Some(Duty::Continuous);
    let s6_40 = limited(Some(6), Some(0.4), None);
    let s6 = limited(Some(6), None, None);
    let kw = Power::kw;
    let cases = [
        ("11 kW", vec![(kw(11.0), None)]),
        ("11/15 kW", vec![(kw(11.0), None), (kw(15.0), None)]),
        ("15/11 kW", vec![(kw(11.0), None), (kw(15.0), None)]),
        ("7.5/11 kW", vec![(kw(7.5), None), (kw(11.0), None)]),
        ("7,5 / 11 kW", vec![(kw(7.5), None), (kw(11.0), None)]),
        ("3/4 kW", vec![(kw(3.0), None), (kw(4.0), None)]),
        (
            "5/10 hp",
            vec![(Power::hp(5.0), None), (Power::hp(10.0), None)],
        ),
        ("3/4 hp", vec![(Power::hp(0.75), None)]),
        ("11/15 kW (S1/S6)", vec![(kw(11.0), s1), (kw(15.0), s6)]),
        ("15/11 kW (S6/S1)", vec![(kw(11.0), s1), (kw(15.0), s6)]),
        (
            "11/15 kW S1/S6-40%",
            vec![(kw(11.0), s1), (kw(15.0), s6_40)],
        ),
        (
            "15 kW S6-40% / 11 kW S1",
            vec![(kw(11.0), s1), (kw(15.0), s6_40)],
        ),
        ("S1 11 kW, S6 15 kW", vec![(kw(11.0), s1), (kw(15.0), s6)]),
        (
            "S1: 11 kW / S6 40 %: 15 kW",
            vec![(kw(11.0), s1), (kw(15.0), s6_40)],
        ),
        (
            "11 kW (S1-100%) 15 kW (S6 40% ED)",
            vec![(kw(11.0), s1), (kw(15.0), s6_40)],
        ),
        (
            "11 kW cont. / 15 kW 30 min",
            vec![(kw(11.0), s1), (kw(15.0), limited(None, None, Some(30.0)))],
        ),
        (
            "11 kW continuous, 15 kW peak",
            vec![(kw(11.0), s1), (kw(15.0), limited(None, None, None))],
        ),
        (
            "11 kW / 15 kW S2-30 min",
            vec![
                (kw(11.0), None),
                (kw(15.0), limited(Some(2), None, Some(30.0))),
            ],
        ),
        ("11 (15) kW", vec![(kw(11.0), None), (kw(15.0), None)]),
        (
            "20 hp 30 min rating",
            vec![(Power::hp(20.0), limited(None, None, Some(30.0)))],
        ),
        ("15 kW / 20 hp", vec![(kw(15.0), None)]),
        ("20 hp (15 kW)", vec![(Power::hp(20.0), None)]),
        (
            "11/15 kW (15/20 hp)",
            vec![(kw(11.0), None), (kw(15.0), None)],
        ),
        ("15 kW S6-40%", vec![(kw(15.0), s6_40)]),
    ];
    for (text, expected) in cases {
        let got = parse_rated(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        let got: Vec<_> = got.ratings.iter().map(|r| (r.power, r.duty)).collect();
        assert_eq!(got, expected, "{text}");
    }
}

#[test]
fn the_continuous_power_is_never_taken_from_a_limited_rating() {
    let read = |t: &str| parse_rated(t).unwrap();
    assert_eq!(read("15 kW S6-40%").continuous(), None);
    assert_eq!(
        read("15 kW S6-40%").short_time().unwrap().power,
        Power::kw(15.0)
    );
    assert_eq!(read("11/15 kW").continuous(), Some(Power::kw(11.0)));
    assert_eq!(
        read("11/15 kW").short_time().unwrap().power,
        Power::kw(15.0)
    );
    assert_eq!(read("11 kW").short_time(), None);
    assert_eq!(read("11 kW / 15 kW S6").continuous(), Some(Power::kw(11.0)));
    assert_eq!(
        read("11/15 kW").remarks[0].text,
        "'11/15 kW' is read as several ratings, the smallest for continuous work"
    );
}

#[test]
fn unclear_duties_are_refused() {
    for bad in [
        "",
        "11",
        "11/15",
        "S1",
        "11/15/18 kW (S1/S6)",
        "11 kW S1 S6",
        "11 kW S17",
        "11 kW foo",
        "11 kg",
        "11-15 kW",
        "-11 kW",
        "0 kW",
    ] {
        assert!(parse_rated(bad).is_err(), "{bad}");
    }
}

#[test]
fn torque_at_a_speed() {
    let ft_lb = Torque::ft_lb(75.0);
    let nm = Torque::nm(102.0);
    for (text, torque, speed) in [
        ("75 ft-lb @ 1400 rpm", ft_lb, Some(1400.0)),
        ("75 ft-lb@1400rpm", ft_lb, Some(1400.0)),
        ("75 ft·lbs at 1,400 RPM", ft_lb, Some(1400.0)),
        ("102 N·m at 1500 1/min", nm, Some(1500.0)),
        ("102 Nm (at 1500 min-1)", nm, Some(1500.0)),
        ("102 Nm / 1500 rpm", nm, Some(1500.0)),
        ("102 Nm, 1500 rpm", nm, Some(1500.0)),
        ("75 ft-lb (102 Nm) @ 1400 rpm", ft_lb, Some(1400.0)),
        ("102 Nm / 75 ft-lb at 1400 rpm", nm, Some(1400.0)),
        ("102 Nm (75 ft-lb)", nm, None),
        ("102 Nm", nm, None),
    ] {
        assert_eq!(
            parse_torque_at(text),
            Ok((torque, speed.map(Rpm::rpm))),
            "{text}"
        );
    }
    for bad in [
        "",
        "75",
        "75 ft-lb @",
        "75 ft-lb @ 1400",
        "75 ft-lb 1400 rpm",
        "75 ft-lb @ 1400 rpm S1",
        "102 Nm (at 1500 rpm",
        "102 Nm (90 ft-lb)",
        "102 Nm (75 ft-lb",
    ] {
        assert!(parse_torque_at(bad).is_err(), "{bad}");
    }
}
