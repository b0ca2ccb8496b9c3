//! `firstchip study` told to stop.

use crate::{firstchip, firstchip_in};
use serde_json::Value;
use std::path::Path;

/// The demo by value, with prices.
fn by_value(dir: &Path) {
    let made = firstchip_in(dir, &["new", "shop", "--demo"]);
    assert_eq!(made.status.code(), Some(0));
    let change = |file: &str, with: &dyn Fn(String) -> String| {
        let file = dir.join("shop").join(file);
        let text = std::fs::read_to_string(&file).expect("a file of the demo");
        std::fs::write(&file, with(text)).expect("a file of the demo");
    };
    change("shop.toml", &|text| {
        let changed = text.replace("aim = \"capability\"", "aim = \"value\"");
        assert_ne!(changed, text);
        changed
    });
    change("parts.toml", &|text| {
        let without: Vec<&str> = text.lines().filter(|l| !l.starts_with("price")).collect();
        without
            .join("\n")
            .replace("[[part]]\n", "[[part]]\nprice = \"$300\"\n")
    });
}

fn decision(dir: &Path, more: &[&str]) -> (Value, Option<i32>) {
    let args = [&["study", "shop", "--json"], more].concat();
    let output = firstchip_in(dir, &args);
    let document: Value = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}\n{}", String::from_utf8_lossy(&output.stderr)));
    (document["decision"].clone(), output.status.code())
}

#[test]
fn no_time_at_all_still_gives_an_answer_and_its_distance() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    by_value(dir.path());
    // A limit that does not strike leaves no trace.
    let (whole, code) = decision(dir.path(), &["--time-limit", "100000"]);
    assert_eq!((&whole["stopped"], code), (&Value::Bool(false), Some(0)));
    let (stopped, code) = decision(dir.path(), &["--time-limit", "0"]);
    assert_eq!((&stopped["stopped"], code), (&Value::Bool(true), Some(0)));
    let money = |d: &Value, key: &str| d[key].as_f64().unwrap_or(0.0);
    assert!(stopped["proven"] == true || money(&stopped, "gap") > 0.0);
    let [best, found] = [&whole, &stopped].map(|d| money(d, "value"));
    // The choice is by draws, the search by means: what they differ by is far below this.
    assert!(found <= best + 1.0, "{found} {best}");
    assert!(found + money(&stopped, "gap") >= best - 1.0, "{stopped}");
}

#[test]
fn a_time_that_is_none_is_refused() {
    for wrong in ["soon", "-3", "1e30", "nan"] {
        let output = firstchip(&["study", "--time-limit", wrong]);
        assert_eq!(output.status.code(), Some(2), "{wrong}");
    }
}

/// The parts come through a pipe: until they have been written the program waits for them, so the
/// signal surely comes while it reads, and it is seen to have been heard before they are.
#[cfg(unix)]
#[test]
fn ctrl_c_before_the_search_cancels_and_writes_nothing() {
    use std::io::{BufRead, BufReader};
    use std::process::{Command, Stdio};
    let dir = tempfile::tempdir().expect("a temporary folder");
    by_value(dir.path());
    let parts = dir.path().join("shop/parts.toml");
    let text = std::fs::read_to_string(&parts).expect("parts");
    std::fs::remove_file(&parts).expect("parts");
    let made = Command::new("mkfifo").arg(&parts).status().expect("mkfifo");
    assert!(made.success());
    let mut child = Command::new(env!("CARGO_BIN_EXE_firstchip"))
        .args(["study", "shop", "--pairs", "pairs.csv"])
        .current_dir(dir.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the built program runs");
    // Opens once the program has opened the other end.
    let mut pipe = std::fs::OpenOptions::new()
        .write(true)
        .open(&parts)
        .expect("the pipe");
    let kill = format!("kill -INT {}", child.id());
    let told = Command::new("sh").args(["-c", &kill]).status().expect("sh");
    assert!(told.success());
    let mut heard = String::new();
    let mut errors = BufReader::new(child.stderr.take().expect("standard error"));
    errors.read_line(&mut heard).expect("standard error");
    assert!(heard.starts_with("cancelling"), "{heard}");
    // Whoever reads may be gone already.
    let _ = std::io::Write::write_all(&mut pipe, text.as_bytes());
    drop(pipe);
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(130));
    assert!(output.stdout.is_empty());
    assert!(!dir.path().join("pairs.csv").exists());
}
