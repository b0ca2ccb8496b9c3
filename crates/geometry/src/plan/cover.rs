//! The smallest sets of columns that cover every row, exactly.
//!
//! A row is a piece of the part, a column a direction (or a tool); a bit says that the column
//! serves the row. Rows that hold all bits of another row are dropped (whoever covers that one
//! covers them). Sets of k columns are then looked for with k growing from a bound that no cover
//! can go below: the number of rows found that share no column. Within one k the row with the
//! fewest open columns is branched on, and a column tried once is closed for the rest of its
//! branch, so that every set is met once. So all smallest covers come out, and the caller chooses
//! among them by other means.

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Covers {
    /// Covers of the least number of columns, as bit sets, ascending. Never empty.
    pub sets: Vec<u128>,
    /// True when no smaller cover exists and no other of this size was left out.
    pub proven: bool,
}

/// Most covers of the least size that are listed: beyond it they differ in nothing that matters.
const MOST_SETS: usize = 4096;

/// All smallest covers of `rows`. Rows without a bit cannot be covered and are passed over. After
/// `most_nodes` steps of the search a greedy cover is given instead, unproven.
pub fn smallest_covers(rows: &[u128], most_nodes: u64) -> Covers {
    let rows = without_supersets(rows);
    let mut search = Search {
        rows: &rows,
        nodes_left: most_nodes,
        sets: Vec::new(),
        whole: true,
    };
    let greedy = greedy(&rows);
    let least = disjoint(&rows, 0, 0);
    for size in least..greedy.count_ones() {
        search.run(0, 0, size);
        if search.nodes_left == 0 {
            return Covers {
                sets: vec![greedy],
                proven: false,
            };
        }
        if !search.sets.is_empty() {
            return search.covers();
        }
    }
    // Nothing smaller than the greedy cover exists: list all of its size.
    search.run(0, 0, greedy.count_ones());
    if search.sets.is_empty() {
        search.sets.push(greedy);
    }
    search.covers()
}

fn without_supersets(rows: &[u128]) -> Vec<u128> {
    let mut rows: Vec<u128> = rows.iter().copied().filter(|r| *r != 0).collect();
    rows.sort_unstable_by_key(|r| (r.count_ones(), *r));
    rows.dedup();
    let mut kept: Vec<u128> = Vec::new();
    for row in rows {
        if !kept.iter().any(|k| k & row == *k) {
            kept.push(row);
        }
    }
    kept
}

/// Number of rows that share no column, found one by one: each needs a column of its own.
fn disjoint(rows: &[u128], chosen: u128, closed: u128) -> u32 {
    let (mut used, mut count) = (0, 0);
    for row in rows {
        if row & chosen == 0 && row & !closed & used == 0 {
            used |= row & !closed;
            count += 1;
        }
    }
    count
}

fn greedy(rows: &[u128]) -> u128 {
    let mut chosen = 0u128;
    while rows.iter().any(|r| r & chosen == 0) {
        let served = |c: &u32| {
            let open = rows
                .iter()
                .filter(|r| *r & chosen == 0 && *r >> c & 1 == 1)
                .count();
            (open, u32::MAX - c)
        };
        match (0..128).max_by_key(served) {
            Some(column) => chosen |= 1 << column,
            None => break,
        }
    }
    chosen
}

struct Search<'a> {
    rows: &'a [u128],
    nodes_left: u64,
    sets: Vec<u128>,
    whole: bool,
}

impl Search<'_> {
    fn run(&mut self, chosen: u128, closed: u128, left: u32) {
        if self.nodes_left == 0 {
            return;
        }
        self.nodes_left -= 1;
        let open = self
            .rows
            .iter()
            .filter(|r| *r & chosen == 0)
            .map(|r| r & !closed);
        let Some(row) = open.min_by_key(|r| r.count_ones()) else {
            if self.sets.len() < MOST_SETS {
                self.sets.push(chosen);
            } else {
                self.whole = false;
            }
            return;
        };
        if left == 0 || row == 0 || disjoint(self.rows, chosen, closed) > left {
            return;
        }
        let (mut row, mut closed) = (row, closed);
        while row != 0 {
            let column = row & row.wrapping_neg();
            row ^= column;
            self.run(chosen | column, closed, left - 1);
            closed |= column;
        }
    }

    fn covers(mut self) -> Covers {
        self.sets.sort_unstable();
        Covers {
            proven: self.whole && self.nodes_left > 0,
            sets: self.sets,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every subset tried, smallest first.
    fn by_trying(rows: &[u128], columns: u32) -> Vec<u128> {
        let covers = |set: u128| rows.iter().all(|r| *r == 0 || r & set != 0);
        let all: Vec<u128> = (0..1u128 << columns).filter(|s| covers(*s)).collect();
        let least = all.iter().map(|s| s.count_ones()).min().unwrap_or(0);
        all.into_iter()
            .filter(|s| s.count_ones() == least)
            .collect()
    }

    #[test]
    fn every_smallest_cover_is_found_and_no_other() {
        // A linear congruential generator (constants of Knuth's MMIX) makes the cases.
        let mut state = 12345u64;
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            state >> 33
        };
        for case in 0..300 {
            let columns = 3 + (case % 9) as u32;
            let rows: Vec<u128> = (0..1 + next() % 14)
                .map(|_| u128::from(next() & next() | 1 << (next() % 11)) & ((1 << columns) - 1))
                .collect();
            let found = smallest_covers(&rows, 1_000_000);
            assert!(found.proven);
            assert_eq!(found.sets, by_trying(&rows, columns), "{rows:?}");
        }
    }

    #[test]
    fn without_time_the_answer_still_covers_and_says_it_is_not_proven() {
        let rows: Vec<u128> = (0..24).map(|k| 0b1011 << k | 1 << (k * 7 % 24)).collect();
        let found = smallest_covers(&rows, 3);
        assert!(!found.proven);
        assert!(rows.iter().all(|r| r & found.sets[0] != 0));
    }

    #[test]
    fn nothing_to_cover_takes_nothing() {
        assert_eq!(smallest_covers(&[0, 0], 10).sets, vec![0]);
    }
}
