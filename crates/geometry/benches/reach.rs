//! Times reach on a generated part 300 mm across with half a million triangles.
//!
//! `cargo bench -p geometry --bench reach` times the pieces and the whole job, which is 14
//! directions and 8 tools at several grid steps. `REACH_WRITE=DIR` writes the part and its height
//! grid instead, for `dilation.py` and `rays.py` beside this file, which time general libraries on
//! the same input in the same run; `REACH_DILATION=1` prints times of dilation alone. Every piece checks its answer before it is timed.
#![allow(clippy::print_stdout, reason = "a bench prints its result")]

use divan::Bencher;
use geometry::dilation::{Shape, dilate};
use geometry::height_map::HeightMap;
use geometry::mesh::Mesh;
use geometry::reach::{Reach, Reacher, Tolerance};
use geometry::samples::{Sample, spread_samples};
use geometry::tip_bounds::TipBounds;
use geometry::tool_shape::ToolShape;
use geometry::visibility::visible;
use glam::{DMat3, DVec2, DVec3, dvec2, dvec3};
use std::sync::OnceLock;
use std::time::Instant;
use units::Watch;

const STEP: f64 = 0.25;

/// Facets of 0.86 mm on a curved top deviate so far from it.
const TOLERANCE: Tolerance = Tolerance {
    gouge_mm: 0.02,
    square: 1e-3,
};

/// Radius and corner radius.
const TOOLS: [(f64, f64); 8] = [
    (1.0, 0.0),
    (3.0, 0.0),
    (5.0, 0.0),
    (10.0, 0.0),
    (25.0, 0.0),
    (3.0, 3.0),
    (5.0, 5.0),
    (6.0, 1.0),
];

/// A closed block with a wavy top, a deep round pocket with a level floor, slots, and steps below.
fn part() -> &'static Mesh {
    static PART: OnceLock<Mesh> = OnceLock::new();
    PART.get_or_init(|| {
        let n = 352u32;
        let place = |i: u32| 300.0 * f64::from(i) / f64::from(n);
        let top = |x: f64, y: f64| {
            let from_middle = dvec2(x - 150.0, y - 150.0).length();
            if from_middle < 60.0 {
                15.0
            } else if (x / 20.0) as u32 % 5 == 4 {
                35.0
            } else {
                // Level next to walls, so that those are planes.
                let to_slot = [80.0, 100.0, 180.0, 200.0, 280.0, 300.0]
                    .map(|b: f64| (x - b).abs())
                    .into_iter()
                    .fold(from_middle - 60.0, f64::min);
                let share = ((to_slot - 2.0) / 5.0).clamp(0.0, 1.0);
                60.0 + 6.0 * share * (x / 17.0).sin() * (y / 23.0).cos()
            }
        };
        let bottom = |x: f64, y: f64| {
            if ((y / 30.0) as u32).is_multiple_of(2) && (30.0..270.0).contains(&x) {
                8.0
            } else {
                0.0
            }
        };
        let mut points = Vec::new();
        let mut triangles = Vec::new();
        for j in 0..=n {
            for i in 0..=n {
                let (x, y) = (place(i), place(j));
                points.extend([dvec3(x, y, top(x, y)), dvec3(x, y, bottom(x, y))]);
            }
        }
        let at = |i: u32, j: u32, low: u32| 2 * (j * (n + 1) + i) + low;
        for low in [0, 1] {
            for j in 0..n {
                for i in 0..n {
                    let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)];
                    let [a, b, c, d] = corners.map(|(i, j)| at(i, j, low));
                    triangles.extend(match low {
                        0 => [[a, b, c], [a, c, d]],
                        _ => [[a, c, b], [a, d, c]],
                    });
                }
            }
        }
        for k in 0..n {
            for [(i, j), (p, q)] in [
                [(k, 0), (k + 1, 0)],
                [(k + 1, n), (k, n)],
                [(0, k + 1), (0, k)],
                [(n, k), (n, k + 1)],
            ] {
                let [a, b, c, d] = [at(i, j, 0), at(p, q, 0), at(p, q, 1), at(i, j, 1)];
                triangles.extend([[a, d, c], [a, c, b]]);
            }
        }
        Mesh::new(points, triangles, None).expect("a valid mesh")
    })
}

/// Six box axes and eight corners of a cube.
fn directions() -> Vec<DMat3> {
    let mut out = Vec::new();
    for axis in 0..3 {
        for sign in [1.0, -1.0] {
            let mut d = DVec3::ZERO;
            d[axis] = sign;
            out.push(d);
        }
    }
    for k in 0..8 {
        let sign = |bit: u32| if k >> bit & 1 == 0 { 1.0 } else { -1.0 };
        out.push(dvec3(sign(0), sign(1), sign(2)));
    }
    out.into_iter()
        .map(|d| DMat3::from_quat(glam::DQuat::from_rotation_arc(d.normalize(), DVec3::Z)))
        .collect()
}

fn seen_from_above() -> &'static HeightMap {
    static MAP: OnceLock<HeightMap> = OnceLock::new();
    MAP.get_or_init(|| HeightMap::new(part(), &DMat3::IDENTITY, STEP).expect("a part"))
}

#[divan::bench(args = [0, 4, 8], sample_count = 5, sample_size = 1)]
fn height_map(bencher: Bencher<'_, '_>, direction: usize) {
    let turn = directions()[direction];
    bencher.bench(|| HeightMap::new(part(), &turn, STEP));
}

#[divan::bench(args = [1.0, 3.0, 5.0, 10.0, 25.0], sample_count = 5, sample_size = 1)]
fn dilation(bencher: Bencher<'_, '_>, radius: f64) {
    let heights = seen_from_above().level_heights(0);
    let disc = Shape::disc((radius / STEP).floor());
    bencher.bench(|| dilate(&heights, &disc, 0));
}

#[divan::bench(args = TOOLS, sample_count = 5, sample_size = 1)]
fn tip_bounds(bencher: Bencher<'_, '_>, (radius, corner): (f64, f64)) {
    let tool = ToolShape::new(radius, corner).expect("a tool");
    let map = seen_from_above();
    let bounds = TipBounds::new(map, &tool);
    for k in 0..500 {
        let axis = DVec2::new(0.611 * f64::from(k), 300.0 - 0.577 * f64::from(k));
        let [low, high] = bounds.at(axis);
        let exact = map.tip(&tool, axis).map_or(f64::NEG_INFINITY, |t| t.tip_z);
        assert!(
            low <= exact && exact <= high,
            "{low} {exact} {high} at {axis}"
        );
    }
    bencher.bench(|| TipBounds::new(map, &tool));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn visibility_of_half_a_million_points(bencher: Bencher<'_, '_>) {
    let samples = geometry::samples::surface_samples(part(), 100.0);
    bencher.bench(|| visible(seen_from_above(), &samples, &TOLERANCE, Watch::NOBODY));
}

/// Area finished or stepped, by tool, summed over all directions.
fn whole_job(step: f64, spacing: f64, report: bool) -> [f64; 8] {
    let begin = Instant::now();
    let mesh = part();
    let samples = spread_samples(mesh, spacing);
    let mut areas = [0.0; 8];
    let mut times = [0.0; 3];
    let mut tests = [0usize; 2];
    for turn in directions() {
        let at = Instant::now();
        let map = HeightMap::new(mesh, &turn, step).expect("a part");
        times[0] += at.elapsed().as_secs_f64();
        let turned: Vec<Sample> = samples.iter().map(|s| s.turned(&turn)).collect();
        let seen = visible(&map, &turned, &TOLERANCE, Watch::NOBODY).expect("nobody cancels");
        let seen: Vec<Sample> = (0..turned.len())
            .filter(|&k| seen[k])
            .map(|k| turned[k])
            .collect();
        let floor = map.z_range()[0];
        for (area, (radius, corner)) in areas.iter_mut().zip(TOOLS) {
            let tool = ToolShape::new(radius, corner).expect("a tool");
            let at = Instant::now();
            let reacher = Reacher::new(&map, &tool, floor, &TOLERANCE);
            times[1] += at.elapsed().as_secs_f64();
            let at = Instant::now();
            let found = reacher.all(&seen, Watch::NOBODY).expect("nobody cancels");
            times[2] += at.elapsed().as_secs_f64();
            for (sample, reach) in seen.iter().zip(&found) {
                if *reach != Reach::Unreached {
                    *area += sample.area;
                }
            }
            tests[0] += seen.len();
            if report {
                tests[1] += seen
                    .iter()
                    .filter(|s| reacher.by_bounds(s).is_none())
                    .count();
            }
        }
    }
    if report {
        println!(
            "step {step}, {} samples: height maps {:.2} s, tip bounds {:.2} s, samples {:.2} s, all \
             {:.2} s; {} tests, {:.1} % of them exact",
            samples.len(),
            times[0],
            times[1],
            times[2],
            begin.elapsed().as_secs_f64(),
            tests[0],
            100.0 * tests[1] as f64 / tests[0] as f64
        );
    }
    areas
}

#[divan::bench(args = [1.0, 0.5, 0.25], sample_count = 1, sample_size = 1)]
fn fourteen_directions_eight_tools(bencher: Bencher<'_, '_>, step: f64) {
    bencher.bench(|| whole_job(step, 4.0, false));
}

fn write(folder: &str) {
    let mesh = part();
    let map = seen_from_above();
    let heights = map.level_heights(0);
    let bytes: Vec<u8> = heights.z.iter().flat_map(|z| z.to_le_bytes()).collect();
    let name = format!("{folder}/heights_{}x{}.f32", heights.width, heights.height);
    std::fs::write(&name, bytes).expect("a folder to write to");
    let mut stl = vec![b' '; 80];
    stl.extend((mesh.triangles().len() as u32).to_le_bytes());
    for corners in mesh.iter_corners() {
        stl.extend([0; 12]);
        for c in corners.iter().flat_map(|p| p.to_array()) {
            stl.extend((c as f32).to_le_bytes());
        }
        stl.extend([0; 2]);
    }
    std::fs::write(format!("{folder}/part.stl"), stl).expect("a folder to write to");
    println!("wrote {name} and part.stl");
}

/// Processor time of all threads of this program so far, in milliseconds; zero where the system
/// does not say.
fn processor_ms() -> f64 {
    let threads = std::fs::read_dir("/proc/self/task").into_iter().flatten();
    threads
        .flatten()
        .filter_map(|t| std::fs::read_to_string(t.path().join("schedstat")).ok())
        .filter_map(|t| t.split(' ').next()?.parse::<f64>().ok())
        .sum::<f64>()
        / 1e6
}

/// Time passed and processor time of dilation, as `dilation.py` prints them: other work on the
/// machine spoils the former only.
fn dilation_times() {
    let heights = seen_from_above().level_heights(0);
    for radius in [1.0, 3.0, 5.0, 10.0, 25.0] {
        let disc = Shape::disc(radius / STEP);
        let (mut passed, mut processor) = (Vec::new(), Vec::new());
        for _ in 0..15 {
            let (begin, used) = (Instant::now(), processor_ms());
            let done = dilate(&heights, &disc, 0);
            passed.push(begin.elapsed().as_secs_f64() * 1e3);
            processor.push(processor_ms() - used);
            assert_eq!(done.z.len(), heights.z.len());
        }
        passed.sort_by(f64::total_cmp);
        processor.sort_by(f64::total_cmp);
        println!(
            "dilation r {radius}: fastest {:.2} ms, median {:.2} ms; processor time {:.2}, {:.2} ms",
            passed[0], passed[7], processor[0], processor[7]
        );
    }
}

fn main() {
    if let Ok(folder) = std::env::var("REACH_WRITE") {
        return write(&folder);
    }
    if std::env::var_os("REACH_DILATION").is_some() {
        return dilation_times();
    }
    if std::env::var_os("REACH_ONCE").is_some() {
        let begin = Instant::now();
        part();
        println!("part made in {:.2} s", begin.elapsed().as_secs_f64());
        for (step, spacing) in [(1.0, 4.0), (0.5, 4.0), (0.25, 4.0)] {
            let areas = whole_job(step, spacing, true);
            println!("areas {areas:.0?} mm2");
            // What the system says: processor time used so far and memory at most.
            let line = |file: &str, key: &str| {
                let text = std::fs::read_to_string(file).unwrap_or_default();
                text.lines().find(|l| l.starts_with(key)).map(str::to_owned)
            };
            let ticks = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
            let user = ticks
                .rsplit(')')
                .next()
                .and_then(|t| t.split_whitespace().nth(11));
            println!(
                "user ticks {user:?}, {:?}",
                line("/proc/self/status", "VmHWM")
            );
        }
        return;
    }
    divan::main();
}
