//! Percentiles of many numbers without putting them in order: counted into classes first, then only
//! the classes the wanted places fall into are sorted. The places found are exact, so neither the
//! classes nor the number of threads show in the result.

use rayon::prelude::*;

/// Classes: enough that one holds a thousandth of a million numbers, few enough to count in a
/// processor's nearest memory.
const CLASSES: usize = 4096;
/// Fewer numbers are sorted as they are.
const FEW: usize = 4 * CLASSES;

/// Percentiles by linear interpolation between order statistics (Hyndman and Fan 1996, type 7) of
/// numbers in pieces; zeros for none.
pub(super) fn percentiles_of<const N: usize>(pieces: &[&[f64]], shares: [f64; N]) -> [f64; N] {
    let count: usize = pieces.iter().map(|p| p.len()).sum();
    let Some(last) = count.checked_sub(1) else {
        return [0.0; N];
    };
    let place = |share: f64| {
        let at = share.clamp(0.0, 1.0) * last as f64;
        let below = (at.floor() as usize).min(last);
        (below, (below + 1).min(last), at - below as f64)
    };
    let places = shares.map(place);
    let mut wanted: Vec<usize> = places.iter().flat_map(|p| [p.0, p.1]).collect();
    wanted.sort_unstable();
    wanted.dedup();
    let found = ranked(pieces, count, &wanted);
    let at = |rank: usize| wanted.binary_search(&rank).map_or(0.0, |i| found[i]);
    places.map(|(below, above, share)| at(below) + share * (at(above) - at(below)))
}

/// Least, greatest, and whether all are finite.
#[derive(Clone, Copy)]
struct Ends(f64, f64, bool);

/// The numbers at some ranks, which ascend.
fn ranked(pieces: &[&[f64]], count: usize, ranks: &[usize]) -> Vec<f64> {
    let sorted = || {
        let mut all = pieces.concat();
        all.sort_unstable_by(f64::total_cmp);
        ranks.iter().map(|rank| all[*rank]).collect()
    };
    if count < FEW {
        return sorted();
    }
    let ends = |piece: &&[f64]| {
        let none = Ends(f64::INFINITY, f64::NEG_INFINITY, true);
        piece.iter().fold(none, |e, x| {
            Ends(e.0.min(*x), e.1.max(*x), e.2 & x.is_finite())
        })
    };
    let join = |a: Ends, b: Ends| Ends(a.0.min(b.0), a.1.max(b.1), a.2 && b.2);
    let none = || Ends(f64::INFINITY, f64::NEG_INFINITY, true);
    let Ends(low, high, finite) = pieces.par_iter().map(ends).reduce(none, join);
    let scale = CLASSES as f64 / (high - low);
    if !finite || !scale.is_normal() {
        return sorted();
    }
    let class = |x: f64| (((x - low) * scale) as usize).min(CLASSES - 1);
    let groups: Vec<&[&[f64]]> = pieces.chunks(pieces.len().div_ceil(64).max(1)).collect();
    let counts: Vec<Vec<usize>> = groups
        .par_iter()
        .map(|group| {
            let mut counts = vec![0; CLASSES];
            for x in group.iter().copied().flatten() {
                counts[class(*x)] += 1;
            }
            counts
        })
        .collect();
    // For each class, how many numbers lie before it.
    let before: Vec<usize> = std::iter::once(0)
        .chain((0..CLASSES).scan(0, |sum, k| {
            *sum += counts.iter().map(|c| c[k]).sum::<usize>();
            Some(*sum)
        }))
        .collect();
    let holds = |rank: usize| before.partition_point(|b| *b <= rank) - 1;
    let mut keep = vec![false; CLASSES];
    for rank in ranks {
        keep[holds(*rank)] = true;
    }
    let mut kept: Vec<f64> = groups
        .par_iter()
        .flat_map_iter(|group| group.iter().copied().flatten().copied())
        .filter(|x| keep[class(*x)])
        .collect();
    kept.par_sort_unstable_by(f64::total_cmp);
    // The kept classes follow one another in the sorted numbers.
    let mut start = 0;
    let mut starts = vec![0; CLASSES];
    for k in (0..CLASSES).filter(|k| keep[*k]) {
        starts[k] = start;
        start += before[k + 1] - before[k];
    }
    ranks
        .iter()
        .map(|rank| {
            let k = holds(*rank);
            kept[starts[k] + rank - before[k]]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::all_in::percentile;
    use super::*;

    #[test]
    fn places_are_those_of_the_sorted_numbers() {
        let shares = [0.0, 0.013, 0.1, 0.5, 0.977, 1.0];
        let long = |n: u32, of: &dyn Fn(u32) -> f64| -> Vec<f64> { (0..n).map(of).collect() };
        let scattered = |i: u32| f64::from(i.wrapping_mul(2_654_435_761) >> 8) * 0.7 - 9.0;
        let rows = [
            vec![4.0],
            long(101, &scattered),
            long(60_000, &scattered),
            // Nearly all in one class, many of them equal, all equal, and one that is not finite.
            long(60_000, &|i| if i == 7 { 1e12 } else { scattered(i) }),
            long(60_000, &|i| f64::from(i % 3)),
            vec![2.5; 60_000],
            long(60_000, &|i| {
                if i == 7 { f64::INFINITY } else { scattered(i) }
            }),
        ];
        for row in rows {
            let mut sorted = row.clone();
            sorted.sort_by(f64::total_cmp);
            let pieces: Vec<&[f64]> = row.chunks(1000).collect();
            let found = percentiles_of(&pieces, shares);
            for (share, found) in shares.into_iter().zip(found) {
                let own = percentile(&sorted, share).unwrap();
                // Infinity less infinity is no number on either side.
                assert!(
                    found == own || found.is_nan() && own.is_nan(),
                    "{found} {own}"
                );
            }
        }
        assert_eq!(percentiles_of(&[], [0.5]), [0.0]);
    }
}
