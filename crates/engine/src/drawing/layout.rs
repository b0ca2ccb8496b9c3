//! Labels in a column: each as near as it may be to the place it speaks of, none on another.

/// Moves wanted heights apart until neighbours are at least `gap` apart, inside `[top, bottom]`
/// where they can be; the order is kept and the sum of squared moves is least (pool adjacent
/// violators; Barlow et al., Statistical Inference under Order Restrictions, 1972).
pub(super) fn spread(wanted: &[f64], gap: f64, [top, bottom]: [f64; 2]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]).then(a.cmp(&b)));
    // With the gaps taken out the heights only need to ascend.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (rank, &index) in order.iter().enumerate() {
        let mut pool = (wanted[index] - gap * rank as f64, 1);
        while let Some(&(mean, count)) = pools.last()
            && mean >= pool.0
        {
            pools.pop();
            let total = count + pool.1;
            pool = (
                (mean * count as f64 + pool.0 * pool.1 as f64) / total as f64,
                total,
            );
        }
        pools.push(pool);
    }
    let room = (bottom - top - gap * wanted.len().saturating_sub(1) as f64).max(0.0);
    let mut heights = vec![0.0; wanted.len()];
    let flat = pools
        .iter()
        .flat_map(|&(mean, count)| std::iter::repeat_n(mean, count));
    for (rank, (&index, height)) in order.iter().zip(flat).enumerate() {
        heights[index] = height.clamp(top, top + room) + gap * rank as f64;
    }
    heights
}
