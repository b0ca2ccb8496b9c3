//! Supply lines.

use units::{ApparentPower, Current, Power, Supply, Voltage, parse_supply};

type Row = (
    &'static str,
    Option<(f64, f64)>,
    Option<u8>,
    Option<f64>,
    Option<(f64, f64)>,
);

#[test]
fn pieces_in_any_order() {
    let one = |v: f64| Some((v, v));
    let rows: [Row; 30] = [
        (
            "208-240 V / 3PH / 40 A",
            Some((208.0, 240.0)),
            Some(3),
            Some(40.0),
            None,
        ),
        (
            "40 A / 3PH / 208-240 V",
            Some((208.0, 240.0)),
            Some(3),
            Some(40.0),
            None,
        ),
        (
            "3PH 40A 208/240V",
            Some((208.0, 240.0)),
            Some(3),
            Some(40.0),
            None,
        ),
        (
            "208V-240V, 3 phase, 40 amps",
            Some((208.0, 240.0)),
            Some(3),
            Some(40.0),
            None,
        ),
        (
            "208…240 V 3 ph 40A",
            Some((208.0, 240.0)),
            Some(3),
            Some(40.0),
            None,
        ),
        (
            "208 to 240 VAC, 3-phase, 40 A FLA",
            Some((208.0, 240.0)),
            Some(3),
            Some(40.0),
            None,
        ),
        ("230V 1~ 16A", one(230.0), Some(1), Some(16.0), None),
        ("1~230 V 16 A", one(230.0), Some(1), Some(16.0), None),
        (
            "1/N/PE ~ 230 V 16 A 50 Hz",
            one(230.0),
            Some(1),
            Some(16.0),
            one(50.0),
        ),
        (
            "3x400 V 32A 50Hz",
            one(400.0),
            Some(3),
            Some(32.0),
            one(50.0),
        ),
        (
            "3 × 400 V, 32 A, 50 Hz",
            one(400.0),
            Some(3),
            Some(32.0),
            one(50.0),
        ),
        ("3~400V 32A", one(400.0), Some(3), Some(32.0), None),
        (
            "400 V 3N~ 50 Hz 32 A",
            one(400.0),
            Some(3),
            Some(32.0),
            one(50.0),
        ),
        (
            "3/N/PE 400V 50/60Hz",
            one(400.0),
            Some(3),
            None,
            Some((50.0, 60.0)),
        ),
        (
            "220 VAC single phase 20 amp",
            one(220.0),
            Some(1),
            Some(20.0),
            None,
        ),
        (
            "220 VAC single-phase, 20 amps",
            one(220.0),
            Some(1),
            Some(20.0),
            None,
        ),
        ("480V three-phase", one(480.0), Some(3), None, None),
        ("480 volts three phase", one(480.0), Some(3), None, None),
        ("230V 1Ø 60Hz", one(230.0), Some(1), None, one(60.0)),
        ("230V 1φ 60Hz", one(230.0), Some(1), None, one(60.0)),
        ("115V/1PH/15A", one(115.0), Some(1), Some(15.0), None),
        (
            "120/240 V single phase 100 A service",
            Some((120.0, 240.0)),
            Some(1),
            Some(100.0),
            None,
        ),
        (
            "208/230/460 V 3 ph",
            Some((208.0, 460.0)),
            Some(3),
            None,
            None,
        ),
        ("400 V +-10 % 3~", Some((360.0, 440.0)), Some(3), None, None),
        (
            "400 V ± 10% 3 phases",
            Some((360.0, 440.0)),
            Some(3),
            None,
            None,
        ),
        ("40 A", None, None, Some(40.0), None),
        ("3 phase", None, Some(3), None, None),
        (
            "480/277V 3PH 4W 60 Hz",
            Some((277.0, 480.0)),
            Some(3),
            None,
            one(60.0),
        ),
        ("3ph+N+PE 400 V", one(400.0), Some(3), None, None),
        (
            "200~230 V 3~ 22 FLA",
            Some((200.0, 230.0)),
            Some(3),
            Some(22.0),
            None,
        ),
    ];
    for (text, volts, phases, amps, hertz) in rows {
        let got = parse_supply(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        let near = |a: Option<(f64, f64)>, b: Option<(f64, f64)>| match (a, b) {
            (None, None) => true,
            (Some(a), Some(b)) => (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9,
            _ => false,
        };
        assert!(
            near(got.volts.map(|(a, b)| (a.to_v(), b.to_v())), volts),
            "{text}: {got:?}"
        );
        assert_eq!(got.phases, phases, "{text}");
        assert_eq!(got.amps, amps.map(Current::a), "{text}");
        assert_eq!(got.hertz, hertz, "{text}");
    }
}

#[test]
fn powers_count_too() {
    let got = parse_supply("30 kVA, 400 V 3PH, 22 kW").unwrap();
    assert_eq!(
        got,
        Supply {
            volts: Some((Voltage::v(400.0), Voltage::v(400.0))),
            phases: Some(3),
            kva: Some(ApparentPower::kva(30.0)),
            power: Some(Power::kw(22.0)),
            ..Supply::default()
        }
    );
}

#[test]
fn several_statements_are_remarked_upon() {
    let remarks = |t: &str| parse_supply(t).unwrap().remarks.len();
    assert_eq!(remarks("208-240 V 3PH 40 A"), 0);
    assert_eq!(remarks("208/230/460 V 3PH"), 1);
    assert_eq!(remarks("208-240 V 3PH 40/36 A"), 1);
    assert_eq!(remarks("380 V, 3-phase, 25 amp breaker"), 1);
}

#[test]
fn bad_lines_say_what_is_wrong() {
    let message = |t: &str| parse_supply(t).unwrap_err().to_string();
    assert_eq!(
        message("208-240 / 3PH / 40 A"),
        "expected a supply such as 230 V 1 phase 16 A or 3x400 V 32 A, found '240 /' without a unit; \
         each number needs its unit: V, A, Hz, kVA, kW, hp or phases (1~, 3PH)"
    );
    assert_eq!(
        message("230 V 1PH, 400 V 3PH"),
        "expected one number of phases, found another, '3PH'; describe one connection; a second way \
         of wiring goes into a line of its own"
    );
    for bad in [
        "",
        "   ",
        "foo",
        "230",
        "24 VDC DC",
        "230 V 5 kg",
        "NaN V",
        "inf A",
        "-230 -",
        "400 V +- V",
        "1e400 V",
        "50 Hz",
    ] {
        assert!(parse_supply(bad).is_err(), "{bad}: {:?}", parse_supply(bad));
    }
}
