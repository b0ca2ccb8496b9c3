//! Times height map and tip maps on a 300 mm part of half a million triangles.
//!
//! `cargo bench -p geometry --bench tip_map` prints seconds per direction and per tool; `--tool R C` times one tool only, and with
//! `--write DIR` it also writes what `scripts/dilation.py` needs to time an image library's
//! dilation on the same grid and discs. Each map is checked against single questions.
#![allow(clippy::print_stdout, reason = "a bench prints its result")]

use geometry::height_map::HeightMap;
use geometry::mesh::Mesh;
use geometry::tip_map::tip_map;
use geometry::tool_shape::ToolShape;
use glam::{DMat3, DVec3, dvec2, dvec3};
use std::time::Instant;

/// A freeform part with a deep round pocket and walls: `n` x `n` quads over 300 x 300 mm.
fn part(n: u32) -> Mesh {
    let at = |i: u32, j: u32| {
        let (x, y) = (
            300.0 * f64::from(i) / f64::from(n),
            300.0 * f64::from(j) / f64::from(n),
        );
        let wave = 6.0 * (x / 17.0).sin() * (y / 23.0).cos();
        let pocket = if dvec2(x - 150.0, y - 150.0).length() < 60.0 {
            -40.0
        } else {
            0.0
        };
        let slots = if (x / 20.0) as u32 % 5 == 4 {
            -15.0
        } else {
            0.0
        };
        dvec3(x, y, 60.0 + wave + pocket + slots)
    };
    let mut points = Vec::new();
    let mut triangles = Vec::new();
    for j in 0..=n {
        for i in 0..=n {
            points.push(at(i, j));
        }
    }
    let row = n + 1;
    for j in 0..n {
        for i in 0..n {
            let k = j * row + i;
            triangles.extend([[k, k + 1, k + row + 1], [k, k + row + 1, k + row]]);
        }
    }
    Mesh::new(points, triangles, None).expect("a valid mesh")
}

fn main() {
    let step = 0.25;
    let mesh = part(500);
    println!(
        "{} triangles, step {step} mm, {} threads",
        mesh.triangles().len(),
        rayon::current_num_threads()
    );
    let write = std::env::args().skip_while(|a| a != "--write").nth(1);
    let begin = Instant::now();
    let map = HeightMap::new(&mesh, &DMat3::IDENTITY, step).expect("a part");
    println!("height map {:.3} s", begin.elapsed().as_secs_f64());
    let tilted = DMat3::from_axis_angle(DVec3::new(0.6, 0.8, 0.0), 0.7);
    let begin = Instant::now();
    HeightMap::new(&mesh, &tilted, step).expect("a part");
    println!("height map, tilted {:.3} s", begin.elapsed().as_secs_f64());
    if let Some(folder) = write {
        let point = ToolShape::new(1e-6, 0.0).expect("a tool");
        let heights = tip_map(&map, &point, step, 0.0);
        let bytes: Vec<u8> = heights
            .tip_z
            .iter()
            .flat_map(|z| (*z as f32).to_le_bytes())
            .collect();
        let name = format!("{folder}/heights_{}x{}.f32", heights.width, heights.height);
        std::fs::write(&name, bytes).expect("a folder to write to");
        println!("wrote {name}");
    }
    let only: Vec<f64> = std::env::args()
        .skip_while(|a| a != "--tool")
        .skip(1)
        .take(2)
        .filter_map(|a| a.parse().ok())
        .collect();
    let tools = match only[..] {
        [radius, corner] => vec![(radius, corner)],
        _ => vec![
            (1.0, 0.0),
            (3.0, 0.0),
            (5.0, 0.0),
            (10.0, 0.0),
            (25.0, 0.0),
            (5.0, 5.0),
            (6.0, 1.0),
        ],
    };
    for (radius, corner) in tools {
        let tool = ToolShape::new(radius, corner).expect("a tool");
        let begin = Instant::now();
        let tips = tip_map(&map, &tool, step, 0.0);
        let seconds = begin.elapsed().as_secs_f64();
        for k in (0..tips.tip_z.len()).step_by(9973) {
            let at = tips.origin + dvec2((k % tips.width) as f64, (k / tips.width) as f64) * step;
            let want = map.tip(&tool, at).map_or(0.0, |c| c.tip_z.max(0.0));
            assert!(
                (tips.tip_z[k] - want).abs() < 1e-9,
                "map and question differ at {at}"
            );
        }
        println!(
            "tip map r {radius} c {corner}: {seconds:.3} s for {} nodes",
            tips.tip_z.len()
        );
    }
}
