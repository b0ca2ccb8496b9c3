//! The demo reads, from the program and from a disk, and says what it should.

use units::Watch;

#[test]
fn the_demo_reads_without_problems() {
    let study = folder::demo(Watch::NOBODY).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(study.problems.0, vec![], "{}", study.problems);
    assert!((6..=8).contains(&study.parts.len()));
    assert!((7..=9).contains(&study.offers.len()));
}
