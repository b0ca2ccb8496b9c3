//! Writes `tests/data/route_rooms.txt`: what the dense search says of 200 random rooms, with the
//! load shrunk by the margin, grown by it, and grown by it and a step of the grid.
//! `cargo run --release -p checks --example route_rooms`
#![allow(clippy::print_stdout, reason = "a generator")]

use checks::brute_route::{MARGIN_MM, STEP_MM, passes, room};
use std::fmt::Write;

fn main() -> std::io::Result<()> {
    let mut out = String::from("# room: shrunk, grown, grown by a step more\n");
    for number in 0..200 {
        let room = room(number);
        let [a, b, c] =
            [-MARGIN_MM, MARGIN_MM, MARGIN_MM + STEP_MM].map(|grow| u8::from(passes(&room, grow)));
        let _ = writeln!(out, "{number} {a} {b} {c}");
    }
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/route_rooms.txt");
    std::fs::write(file, out)?;
    println!("wrote {file}");
    Ok(())
}
