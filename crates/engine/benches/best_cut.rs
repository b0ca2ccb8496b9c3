//! Feasible cuts a second, one after another on one core. Each bench checks its answers against those
//! of the same inputs found before.

use divan::counter::ItemsCount;
use engine::cutting::{IsoGroup, Limits, Material, Range, Spindle, Stiffness, best_cut_within};
use engine::demand::{Task, TaskKind, ToolNeed, ToolShape};
use engine::ids::MaterialId;
use units::{Area, Force, Length, Number, Power, Rpm, Speed, Stress, Time, Torque, Value};

fn main() {
    divan::main();
}

fn value<Q: units::Quantity>(likely: Q) -> Value<Q> {
    Value::assumed("x", likely, likely, likely, "bench")
}

fn steel() -> Material {
    Material {
        id: MaterialId::new("steel"),
        name: "steel".into(),
        aliases: vec![],
        group: IsoGroup::P,
        subgroup: None,
        density_kg_m3: 7850.0,
        kc11: value(Stress::mpa(1500.0)),
        mc: value(Number::of(0.22)),
        speed_carbide: value(Speed::m_min(180.0)),
        speed_hss: value(Speed::m_min(25.0)),
        feed_per_diameter: value(Number::of(0.006)),
        feed_per_diameter_hss: None,
        drill_factor: None,
        tap_force: None,
        tap_force_section: None,
        caution: None,
        stock_price_kg: None,
        source: "bench".into(),
    }
}

fn tasks() -> Vec<Task> {
    let kinds = [
        (TaskKind::Face, ToolShape::Face, 63.0),
        (TaskKind::Rough, ToolShape::Flat, 16.0),
        (TaskKind::Side, ToolShape::Flat, 10.0),
        (TaskKind::Bottom, ToolShape::Flat, 10.0),
        (TaskKind::Drill, ToolShape::Drill, 8.5),
        (TaskKind::Ream, ToolShape::Reamer, 8.0),
        (TaskKind::Tap, ToolShape::Tap, 8.0),
        (TaskKind::Chamfer, ToolShape::Chamfer, 10.0),
    ];
    (0..512)
        .map(|i| {
            let (kind, shape, d) = kinds[i % kinds.len()];
            let deep = Length::mm(5.0 + (i % 29) as f64);
            let area = Area::cm2(20.0 + (i % 53) as f64);
            Task {
                kind,
                tool: ToolNeed {
                    shape,
                    diameter: Length::mm(d),
                    corner: Length::ZERO,
                    reach: deep,
                },
                volume: area * deep,
                area,
                count: 1 + (i % 7) as u32,
                depth: deep,
                cut_depth: deep,
                neck: None,
                pitch: None,
                pass_depth: None,
                stepover: None,
                outside: false,
                about: String::new(),
            }
        })
        .collect()
}

fn mill(kw: f64) -> Limits {
    let range = |fastest: f64, nm: f64| Range {
        slowest: Rpm::rpm(50.0),
        fastest: Rpm::rpm(fastest),
        torque: Torque::nm(nm),
        power: Power::kw(kw),
    };
    let spindle = Spindle::of_ranges(&[range(1500.0, 20.0 * kw), range(6000.0, 5.0 * kw)])
        .expect("two sound gears");
    let mut limits = Limits::of_spindle(spindle);
    limits.feed_max = Some(Speed::m_min(3.0));
    limits.thrust = Some(Force::n(4000.0));
    limits.stiffness = Some(Stiffness {
        low_n_mm: 5e3,
        likely_n_mm: 1e4,
        high_n_mm: 2e4,
        seen: false,
    });
    limits
}

fn all(tasks: &[Task], material: &Material, limits: &Limits) -> Time {
    tasks
        .iter()
        .filter_map(|t| best_cut_within(t, material, limits).ok())
        .map(|cut| cut.time)
        .sum()
}

/// Two gears, every limit stated, eight kinds of task.
#[divan::bench(args = [1.0, 15.0])]
fn best_cuts(bencher: divan::Bencher<'_, '_>, kw: f64) {
    let (tasks, material, limits) = (tasks(), steel(), mill(kw));
    let expected = all(&tasks, &material, &limits);
    assert!(expected > Time::ZERO && expected.is_finite());
    bencher.counter(ItemsCount::new(tasks.len())).bench(|| {
        let found = all(divan::black_box(&tasks), &material, &limits);
        assert_eq!(found, expected);
        found
    });
}
