//! Reads STEP files and prints, one line of JSON a file, what came out and how long it took.
//!
//! With `--faces`, a line for every face follows.
//!
//! `measure [--chord MM] [--angle RAD] [--repeat N] [--faces] FILE...`

use std::io::Write;
use std::time::Instant;
use step::TessellationOptions;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut options = TessellationOptions::default();
    let mut repeat = 1;
    let mut with_faces = false;
    let mut files = Vec::new();
    let mut args = std::env::args().skip(1);
    while let Some(a) = args.next() {
        let mut number = || {
            args.next()
                .and_then(|v| v.parse::<f64>().ok())
                .ok_or("a number is missing")
        };
        match a.as_str() {
            "--chord" => options.chord_mm = Some(number()?),
            "--angle" => options.angle_rad = number()?,
            "--faces" => with_faces = true,
            "--repeat" => repeat = number()? as usize,
            _ => files.push(a),
        }
    }
    let mut out = std::io::stdout().lock();
    for file in files {
        let bytes = std::fs::read(&file)?;
        let (mut best_read, mut best_all) = (f64::INFINITY, f64::INFINITY);
        let mut result = None;
        for _ in 0..repeat.max(1) {
            let start = Instant::now();
            let brep = step::read::read(&bytes, &step::read::ReadOptions::default());
            best_read = best_read.min(start.elapsed().as_secs_f64());
            drop(brep);
            let start = Instant::now();
            result = Some(step::load(&bytes, &options, None));
            best_all = best_all.min(start.elapsed().as_secs_f64());
        }
        match result {
            Some(Ok(m)) => {
                let b = m.bounds_mm().unwrap_or_default().map(|p| p.to_array());
                let c = m.centroid_mm().unwrap_or_default().to_array();
                let triangles = m.mesh().triangles.len();
                writeln!(
                    out,
                    "{{\"file\":{file:?},\"read_s\":{best_read:.6},\"load_s\":{best_all:.6},\"solids\":{},\
                     \"faces\":{},\"triangles\":{triangles},\"volume_mm3\":{},\"area_mm2\":{},\"bounds_mm\":{b:?},\
                     \"centroid_mm\":{c:?},\"mesh_volume_mm3\":{},\"watertight\":{},\"reservations\":{:?}}}",
                    m.solid_count(),
                    m.face_count(),
                    m.volume_mm3(),
                    m.area_mm2(),
                    m.mesh().volume_mm3(),
                    m.watertight(),
                    m.reservations
                        .iter()
                        .map(|r| format!("#{} {}: {}", r.entity.unwrap_or(0), r.kind, r.text))
                        .collect::<Vec<_>>(),
                )?;
                let solids = if with_faces { &m.solids[..] } else { &[] };
                for s in solids {
                    let mut meshed = vec![0.0; s.faces.len()];
                    for (i, f) in s.mesh.face_of_triangle.iter().enumerate() {
                        let [a, b, c] = s.mesh.corners(i);
                        meshed[*f as usize] += 0.5 * (b - a).cross(c - a).length();
                    }
                    for (f, meshed_mm2) in s.faces.iter().zip(meshed) {
                        writeln!(out, "{meshed_mm2} {f:?}")?;
                    }
                }
            }
            Some(Err(e)) => writeln!(out, "{{\"file\":{file:?},\"error\":{:?}}}", e.to_string())?,
            None => {}
        }
    }
    Ok(())
}
