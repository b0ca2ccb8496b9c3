//! The planner against a dense search of our own on 200 random rooms. What that search says is
//! recorded (`examples/route_rooms.rs` writes it), since it takes minutes.

use checks::brute_route::{MARGIN_MM, ROOM_MM, START_MM, ZONE_MM, passes, room};
use engine::site::route::{Body, Decision, Fineness, Floor, Segment, clear, decide, half_planes};
use glam::DVec2;
use units::Watch;

fn recorded() -> Vec<[bool; 3]> {
    include_str!("../data/route_rooms.txt")
        .lines()
        .filter(|l| !l.starts_with('#'))
        .map(|line| {
            let words: Vec<&str> = line.split(' ').collect();
            [1, 2, 3].map(|n| words[n] == "1")
        })
        .collect()
}

fn floor(number: u64) -> (Floor, Body) {
    let room = room(number);
    let things: Vec<Segment> = room
        .walls
        .iter()
        .map(|[from, to]| Segment {
            from: DVec2::from(*from),
            to: DVec2::from(*to),
            thing: 0,
        })
        .collect();
    let [low, high] = ZONE_MM.map(DVec2::from);
    let zone = [
        low,
        DVec2::new(high.x, low.y),
        high,
        DVec2::new(low.x, high.y),
    ];
    let floor = Floor {
        min: DVec2::ZERO,
        max: DVec2::from(ROOM_MM),
        things,
        start: DVec2::from(START_MM),
        start_heading_rad: None,
        zones: vec![half_planes(&zone)],
    };
    (floor, Body::load(room.load[0], room.load[1]))
}

/// Never a yes where the search with the load shrunk by the resolution says no; never a no where
/// it says yes with the load grown; and always a yes where it says yes with a step to spare.
#[test]
fn two_hundred_random_rooms() {
    let recorded = recorded();
    assert_eq!(recorded.len(), 200);
    let fineness = Fineness { cell_mm: 10.0 };
    let mut counts = [0; 3];
    for (number, [shrunk, grown, ample]) in (0..).zip(recorded) {
        let (floor, body) = floor(number);
        let answer = decide(&floor, &body, fineness, Watch::NOBODY).expect("runs");
        match answer.decision {
            Decision::Yes(way) => {
                counts[0] += 1;
                assert!(shrunk, "room {number}: a way where the search finds none");
                assert!(
                    way.windows(2)
                        .all(|p| clear(&body, p[0], p[1], &floor.things)),
                    "room {number}: the way touches something"
                );
            }
            Decision::No => {
                counts[1] += 1;
                assert!(!grown, "room {number}: no way where the search finds one");
            }
            Decision::Undecided => {
                counts[2] += 1;
                assert!(
                    answer.resolution_mm <= MARGIN_MM,
                    "{}",
                    answer.resolution_mm
                );
                assert!(!ample, "room {number}: undecided with room to spare");
            }
        }
    }
    // The rooms must be worth asking about.
    let [yes, no, undecided] = counts;
    assert!(yes >= 50 && no >= 30 && undecided <= 40, "{counts:?}");
}

/// The record is what the search says now; a few rooms, since each takes a second.
#[test]
fn the_record_is_up_to_date() {
    let recorded = recorded();
    for number in [3, 77] {
        let now = passes(&room(number), -MARGIN_MM);
        assert_eq!(now, recorded[number as usize][0], "room {number}");
    }
}
