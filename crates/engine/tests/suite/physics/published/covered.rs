//! Where each published number of cutting, spindles, holders and times that can be computed again is
//! (`covered.txt`): its name in the list they were gathered in, and the test.

const TESTS: [&str; 11] = [
    include_str!("drilling.rs"),
    include_str!("dynamics.rs"),
    include_str!("holders.rs"),
    include_str!("milling.rs"),
    include_str!("power.rs"),
    include_str!("threads.rs"),
    include_str!("../times.rs"),
    include_str!("../../../../src/cycle/learning.rs"),
    include_str!("../../../../src/cycle/motion.rs"),
    include_str!("../../../../src/cycle/pass.rs"),
    include_str!("../../../../../folder/tests/suite/tables.rs"),
];

#[test]
fn every_number_of_the_list_has_its_test() {
    let mut seen = std::collections::BTreeSet::new();
    for line in include_str!("covered.txt").lines() {
        let (number, test) = line.split_once(' ').expect("a number and its test");
        assert!(seen.insert(number), "{number} is listed twice");
        let (topic, at) = number[1..].split_once('-').expect("topic and number");
        // The test says which numbers it is about, or between which.
        assert!(test.starts_with(&format!("t{topic}_")) || test.contains(&format!("_t{topic}_")));
        let named = test.split('_').any(|t| t == at) || test.contains("_to_");
        assert!(named, "{test} does not name {number}");
        let there = TESTS.iter().any(|t| t.contains(&format!("fn {test}(")));
        assert!(there, "no test {test} of {number}");
    }
    assert!(seen.len() > 90, "{}", seen.len());
}
