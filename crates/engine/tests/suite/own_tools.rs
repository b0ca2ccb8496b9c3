//! Own tools: which task one serves, and that what is owned is not bought again.

use crate::shop::{class, likely, offer, shop};
use engine::demand::{Task, TaskKind, ToolNeed, ToolShape};
use engine::entered::{OwnHolder, OwnTool, OwnTools};
use engine::money::Line;
use engine::money::lines::{Bill, Demanded, of_offer};
use units::{Area, Length, Place, Volume};

fn mm(x: f64) -> Length {
    Length::mm(x)
}

fn tool(shape: ToolShape, diameter: f64, usable: f64, out: f64) -> OwnTool {
    OwnTool {
        name: format!("{shape:?} {diameter}"),
        shape,
        diameter: mm(diameter),
        diameter_most: None,
        corner: Length::ZERO,
        usable: mm(usable),
        out: mm(out),
        shank: None,
        holder: None,
        pitch: None,
        teeth: None,
        count: 1,
        place: Place::default(),
    }
}

fn task(kind: TaskKind, shape: ToolShape, diameter: f64, reach: f64, deep: f64) -> Task {
    Task {
        kind,
        tool: ToolNeed {
            shape,
            diameter: mm(diameter),
            corner: Length::ZERO,
            reach: mm(reach),
        },
        volume: Volume::ZERO,
        area: Area::ZERO,
        count: 1,
        depth: mm(deep),
        cut_depth: mm(deep),
        neck: None,
        pitch: None,
        pass_depth: None,
        stepover: None,
        outside: false,
        about: String::new(),
    }
}

#[test]
fn a_tool_serves_what_it_fits_and_reaches() {
    use TaskKind::{Bore, Chamfer, Drill, Side, Tap, Thread};
    use ToolShape as S;
    let drill = tool(S::Drill, 6.75, 60.0, 80.0);
    // A drill may be half of IT11 off; a hundredth more is another drill.
    assert!(drill.serves(&task(Drill, S::Drill, 6.756, 40.0, 30.0)));
    assert!(drill.serves(&task(Drill, S::Drill, 6.80, 40.0, 30.0)));
    assert!(!drill.serves(&task(Drill, S::Drill, 6.81, 40.0, 30.0)));
    assert!(!drill.serves(&task(Drill, S::Drill, 6.756, 40.0, 61.0)));
    assert!(!drill.serves(&task(Drill, S::Drill, 6.756, 81.0, 30.0)));
    // A neck thinner than the shank decides, not the height of the wall; a shank no wider than the
    // cutter goes in.
    let mut mill = tool(S::Flat, 6.0, 20.0, 40.0);
    let deep = Task {
        neck: Some(mm(25.0)),
        ..task(Side, S::Flat, 6.0, 30.0, 15.0)
    };
    assert!(!mill.serves(&deep));
    mill.shank = Some(mm(6.0));
    assert!(mill.serves(&deep));
    assert!(!mill.serves(&task(Side, S::Flat, 6.35, 30.0, 15.0)));
    assert!(!mill.serves(&task(Side, S::Ball, 6.0, 30.0, 15.0)));
    // A tap of the same size and another pitch is another tap, and none is a thread mill.
    let tap = OwnTool {
        pitch: Some(mm(1.0)),
        ..tool(S::Tap, 6.0, 25.0, 60.0)
    };
    let thread = |kind, pitch| Task {
        pitch: Some(mm(pitch)),
        ..task(kind, S::Tap, 6.0, 20.0, 12.0)
    };
    assert!(tap.serves(&thread(Tap, 1.0)));
    assert!(!tap.serves(&thread(Tap, 0.75)) && !tap.serves(&thread(Thread, 1.0)));
    // A boring head is set to size, a chamfer mill may be wider.
    let head = OwnTool {
        diameter_most: Some(mm(60.0)),
        ..tool(S::Boring, 20.0, 0.0, 90.0)
    };
    assert!(head.serves(&task(Bore, S::Boring, 47.0, 60.0, 20.0)));
    assert!(!head.serves(&task(Bore, S::Boring, 61.0, 60.0, 20.0)));
    let chamfer = tool(S::Chamfer, 12.0, 12.0, 50.0);
    assert!(chamfer.serves(&task(Chamfer, S::Chamfer, 6.0, 20.0, 1.0)));
    assert!(!chamfer.serves(&task(Chamfer, S::Chamfer, 16.0, 20.0, 1.0)));
}

#[test]
fn own_cutters_come_before_those_to_buy() {
    let own = OwnTools {
        tools: vec![
            tool(ToolShape::Flat, 10.0, 22.0, 50.0),
            tool(ToolShape::Drill, 5.0, 40.0, 60.0),
        ],
        holders: Vec::new(),
    };
    let cutters = own.cutters(1.0);
    assert!(cutters[0].owned && cutters[0].usable_mm == 22.0 && cutters[0].out_mm == 50.0);
    // Only end mills cut surfaces; the standard set stands behind them.
    assert_eq!(cutters.iter().filter(|c| c.owned).count(), 1);
    assert!(cutters.iter().filter(|c| !c.owned).count() > 30);
}

fn tooling(demanded: &Demanded, holders: &[OwnHolder], taper: Option<&str>) -> Vec<Line> {
    let mut shop = shop(50_000.0);
    shop.tools.holders = holders.to_vec();
    let mut offer = offer(Some(20_000.0));
    offer.taper = taper.map(|t| t.parse().expect("a taper"));
    let bill = Bill {
        shop: &shop,
        demanded,
        works: &[],
        year: 2026,
    };
    let mut lines = of_offer(&bill, &offer, &class()).lines;
    lines.retain(|l| l.name.starts_with("tooling"));
    lines
}

#[test]
fn what_is_owned_is_not_charged() {
    let demanded = |owned_tools| Demanded {
        tools: 14,
        owned_tools,
        setups: 4,
        ..Demanded::default()
    };
    let cost = |owned, holders: &[OwnHolder], taper| {
        let lines = tooling(&demanded(owned), holders, taper);
        likely(&lines, "tooling").expect("fixed lines")
    };
    // A cutter at 60 dollars and a collet at 18 each (the lines' own bands).
    let all = cost(0, &[], Some("BT30"));
    assert!((all - cost(5, &[], Some("BT30")) - 5.0 * 78.0).abs() < 1e-6);
    let told = tooling(&demanded(5), &[], Some("BT30"));
    let cutters = told.iter().find(|l| l.name == "tooling: cutters");
    let text = &cutters.expect("a line for cutters").why;
    assert!(text.contains("5 of 14 tools are owned"), "{text}");
    // Holders count for the taper they fit, and for none when it is not known.
    let holder = |taper: Option<&str>| OwnHolder {
        name: "h".to_owned(),
        diameter: None,
        taper: taper.map(str::to_owned),
        count: 6,
        place: Place::default(),
    };
    assert!(cost(0, &[holder(Some("BT30"))], Some("BT30")) < all);
    assert_eq!(cost(0, &[holder(Some("BT40"))], Some("BT30")), all);
    assert_eq!(cost(0, &[holder(None)], Some("BT30")), all);
    // Never less than nothing.
    let none = cost(
        14,
        &[
            holder(Some("BT30")),
            holder(Some("BT30")),
            holder(Some("BT30")),
        ],
        Some("BT30"),
    );
    assert!(none >= 0.0 && none < all);
}
