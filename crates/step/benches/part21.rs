//! How fast files are indexed and read. Throughput is bytes of the file per second on one core.
//!
//!     cargo bench -p step --bench part21

use std::path::PathBuf;

use divan::Bencher;
use divan::counter::BytesCount;
use step::part21::Part21;

fn main() {
    divan::main();
}

/// A large file by a system that writes in order, a middling one that writes out of order and long
/// numbers, and one full of annotation that is never parsed.
const FILES: [&str; 3] = [
    "generated/plate_many_holes.step",
    "models/featuretype.STEP",
    "models/nist_ctc_01_asme1_ap242-e1.stp",
];

fn load(name: &str) -> Vec<u8> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    std::fs::read(path).expect("a test file")
}

#[divan::bench(args = FILES)]
fn index(bencher: Bencher<'_, '_>, name: &str) {
    let bytes = load(name);
    bencher.counter(BytesCount::of_slice(&bytes)).bench(|| {
        Part21::index(divan::black_box(&bytes))
            .expect("a STEP file")
            .len()
    });
}

#[divan::bench(args = FILES)]
fn index_and_read(bencher: Bencher<'_, '_>, name: &str) {
    let bytes = load(name);
    bencher.counter(BytesCount::of_slice(&bytes)).bench(|| {
        let brep = step::read::read(divan::black_box(&bytes), &Default::default());
        brep.expect("a STEP file").solids.len()
    });
}
