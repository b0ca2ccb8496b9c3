//! Syntax: every instance, leaf and parameter of any bytes.
//!
//!     cargo +nightly fuzz run part21 fuzz/corpus/part21 crates/step/tests/data/generated
#![no_main]

use libfuzzer_sys::fuzz_target;
use step::part21::{Args, Part21, Value, decode_string};

fn walk(mut args: Args<'_>, depth: usize) {
    while let Ok(Some(value)) = args.next_value() {
        match value {
            Value::List(inner) | Value::Typed(_, inner) if depth < 3 => walk(inner, depth + 1),
            Value::Text(raw) => drop(decode_string(raw)),
            _ => {}
        }
    }
}

fuzz_target!(|data: &[u8]| {
    let Ok(file) = Part21::index(data) else {
        return;
    };
    for entity in file.iter() {
        for leaf in entity.leaves() {
            walk(leaf.args, 0);
        }
    }
    for problem in file.problems() {
        assert!(file.line(problem.offset) >= 1);
    }
});
