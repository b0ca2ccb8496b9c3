//! A function of a few numbers at very many points, asked at few of them: where all corners of a box
//! around some points give the same, every point in it does. That holds for whatever only gets better,
//! or only worse, along each number; boxes with many points are halved all the same, so that a change
//! there and back between two corners must be narrow to be missed.

use std::collections::BTreeMap;

/// Boxes holding more than this share of all points are halved whatever their corners say.
const TRUSTED: usize = 16;
/// The same with several numbers, where halving takes more corners.
const TRUSTED_OF_SEVERAL: usize = 8;
/// With more numbers than this a box has too many corners: the least and the greatest are looked at,
/// and those that differ from one of them in one number.
const ALL_CORNERS: usize = 6;

/// The function at every point. `columns` holds a column for each number, all as long.
pub(super) fn at_every_point<T: Clone + PartialEq>(
    columns: &[Vec<f64>],
    ask: &mut dyn FnMut(&[f64]) -> T,
) -> Vec<T> {
    let count = columns.first().map_or(0, Vec::len);
    let trusted = match columns.len() {
        1 => count / TRUSTED,
        _ => count / TRUSTED_OF_SEVERAL,
    };
    let mut cells = Cells {
        columns,
        trusted: trusted.max(1),
        ask,
        known: BTreeMap::new(),
        found: vec![None; count],
    };
    let mut points: Vec<u32> = (0..count as u32).collect();
    cells.fill(&mut points);
    let Cells { found, .. } = cells;
    found.into_iter().flatten().collect()
}

struct Cells<'a, T> {
    columns: &'a [Vec<f64>],
    trusted: usize,
    ask: &'a mut dyn FnMut(&[f64]) -> T,
    /// Answers by the bits of their numbers: neighbouring boxes share corners.
    known: BTreeMap<Vec<u64>, T>,
    found: Vec<Option<T>>,
}

impl<T: Clone + PartialEq> Cells<'_, T> {
    fn answer(&mut self, at: &[f64]) -> T {
        let key: Vec<u64> = at.iter().map(|x| x.to_bits()).collect();
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let answer = (self.ask)(at);
        self.known.insert(key, answer.clone());
        answer
    }

    fn fill(&mut self, points: &mut [u32]) {
        let Some(first) = points.first() else {
            return;
        };
        let start: Vec<f64> = self.columns.iter().map(|c| c[*first as usize]).collect();
        let (mut low, mut high) = (start.clone(), start);
        for point in points.iter() {
            for (number, column) in self.columns.iter().enumerate() {
                let x = column[*point as usize];
                low[number] = low[number].min(x);
                high[number] = high[number].max(x);
            }
        }
        let wide: Vec<usize> = (0..low.len()).filter(|n| low[*n] < high[*n]).collect();
        // Asking at each point is no dearer than at the corners.
        if points.len() <= 1 << wide.len().min(ALL_CORNERS) {
            for point in points.iter() {
                let at: Vec<f64> = self.columns.iter().map(|c| c[*point as usize]).collect();
                let answer = self.answer(&at);
                self.found[*point as usize] = Some(answer);
            }
            return;
        }
        let corners = corners(&wide);
        let answers: Vec<T> = corners
            .iter()
            .map(|up| {
                let mut at = low.clone();
                for (number, up) in wide.iter().zip(up) {
                    if *up {
                        at[*number] = high[*number];
                    }
                }
                self.answer(&at)
            })
            .collect();
        let alike = answers.windows(2).all(|pair| pair[0] == pair[1]);
        if alike && (points.len() <= self.trusted || wide.is_empty()) {
            for point in points.iter() {
                self.found[*point as usize] = Some(answers[0].clone());
            }
            return;
        }
        let along =
            wide[turns_most(&corners, &answers).unwrap_or_else(|| self.widest(&wide, &low, &high))];
        let column = &self.columns[along];
        points.sort_unstable_by(|a, b| column[*a as usize].total_cmp(&column[*b as usize]));
        let same = |a: usize, b: usize| column[points[a] as usize] == column[points[b] as usize];
        // The nearest place to the middle between two different numbers: the box is wide along it.
        let middle = points.len() / 2;
        let cut = (0..points.len())
            .flat_map(|by| [middle.checked_sub(by), middle.checked_add(by)])
            .flatten()
            .find(|at| *at > 0 && *at < points.len() && !same(*at - 1, *at));
        let (left, right) = points.split_at_mut(cut.unwrap_or(middle));
        self.fill(left);
        self.fill(right);
    }

    /// Place among `wide` of the number along which a box is widest, as a share of all points' width.
    fn widest(&self, wide: &[usize], low: &[f64], high: &[f64]) -> usize {
        let share = |place: usize| {
            let number = wide[place];
            let column = &self.columns[number];
            let least = column.iter().copied().fold(f64::INFINITY, f64::min);
            let most = column.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            (high[number] - low[number]) / (most - least)
        };
        (0..wide.len())
            .max_by(|a, b| share(*a).total_cmp(&share(*b)).then(b.cmp(a)))
            .unwrap_or(0)
    }
}

/// The corners of a box as ups and downs along the numbers it is wide in.
fn corners(wide: &[usize]) -> Vec<Vec<bool>> {
    let n = wide.len();
    if n <= ALL_CORNERS {
        return (0..1usize << n)
            .map(|bits| (0..n).map(|k| bits >> k & 1 == 1).collect())
            .collect();
    }
    let but = |up: bool, k: Option<usize>| (0..n).map(|i| (Some(i) == k) != up).collect();
    let starts = [true, false];
    starts
        .iter()
        .flat_map(|up| {
            std::iter::once(None)
                .chain((0..n).map(Some))
                .map(|k| but(*up, k))
        })
        .collect()
}

/// The place of the number along which most pairs of corners differ; `None` when no such pair does.
fn turns_most<T: PartialEq>(corners: &[Vec<bool>], answers: &[T]) -> Option<usize> {
    let numbers = corners.first()?.len();
    let mut turns = vec![0u32; numbers];
    for (a, own) in corners.iter().enumerate() {
        for (b, other) in corners.iter().enumerate().skip(a + 1) {
            let mut apart = (0..numbers).filter(|k| own[*k] != other[*k]);
            if let (Some(k), None) = (apart.next(), apart.next())
                && answers[a] != answers[b]
            {
                turns[k] += 1;
            }
        }
    }
    let most = turns.iter().copied().max().filter(|most| *most > 0)?;
    turns.iter().position(|t| *t == most)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use units::{DRAW_BLOCK, Stream};

    fn columns(numbers: usize, count: u64) -> Vec<Vec<f64>> {
        (0..numbers)
            .map(|k| {
                let stream = Stream::named(&format!("number-{k}"));
                (0..count).map(|i| stream.uniform(5, i)).collect()
            })
            .collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        /// A sum of powers against a limit, and limits of single numbers: better along each number.
        #[test]
        fn the_answer_is_that_of_every_point_asked(
            numbers in 1usize..6, limit in 0.0..4.0f64,
            single in prop::collection::vec(prop::option::of(0.0..1.0f64), 7),
            power in prop::collection::vec(0.3..3.0f64, 7), up in prop::collection::vec(any::<bool>(), 7),
        ) {
            let columns = columns(numbers, DRAW_BLOCK);
            let f = |at: &[f64]| -> u32 {
                let good = |k: usize| if up[k] { at[k] } else { 1.0 - at[k] };
                let sum: f64 = (0..at.len()).map(|k| good(k).powf(power[k])).sum();
                let each = (0..at.len()).filter(|k| single[*k].is_some_and(|s| good(*k) < s)).count();
                u32::from(sum >= limit) + 2 * u32::from(each == 0)
            };
            let found = at_every_point(&columns, &mut |at| f(at));
            for (i, found) in found.iter().enumerate() {
                let at: Vec<f64> = columns.iter().map(|c| c[i]).collect();
                prop_assert_eq!(*found, f(&at));
            }
        }
    }

    #[test]
    fn few_points_are_asked() {
        let columns = columns(1, 10 * DRAW_BLOCK);
        let mut asked = 0;
        let found = at_every_point(&columns, &mut |at| {
            asked += 1;
            at[0] > 0.3
        });
        let above = found.iter().filter(|f| **f).count() as u64;
        // Every block has one point in each of its strata: one a block may lie on either side.
        assert!(above.abs_diff(7 * DRAW_BLOCK) <= 10, "{above}");
        assert!(asked < 100, "{asked}");
    }

    #[test]
    fn two_values_are_two_questions() {
        let column: Vec<f64> = (0..2000).map(|i| f64::from(i % 5 / 4)).collect();
        let mut asked = 0;
        let found = at_every_point(std::slice::from_ref(&column), &mut |at| {
            asked += 1;
            at[0]
        });
        assert_eq!(found, column);
        assert_eq!(asked, 2);
    }

    #[test]
    fn a_change_there_and_back_is_seen_unless_narrow() {
        let columns = columns(1, 10 * DRAW_BLOCK);
        let f = |x: f64| !(0.4..0.6).contains(&x);
        let found = at_every_point(&columns, &mut |at| f(at[0]));
        assert!(
            found
                .iter()
                .zip(&columns[0])
                .all(|(found, x)| *found == f(*x))
        );
    }
}
