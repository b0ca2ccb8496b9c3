"""Records quantiles, means, percentiles and rank correlations of general-purpose libraries.

    pip install numpy==2.* scipy==1.*
    python spreads.py > ../data/spreads.json
"""

import json

import numpy as np
from scipy import stats

rng = np.random.default_rng(41)
out = {"triangles": [], "percentiles": [], "ranks": []}
SHARES = [0.0, 0.001, 0.1, 0.5, 0.8, 0.9, 0.999, 1.0]


def ends(n):
    """Triples from narrow to wide, about nothing, at either end, far off, and of no width at one side."""
    scale = 10.0 ** rng.uniform(-3, 7)
    low, likely, high = np.sort(rng.uniform(-1, 1, 3)) * scale
    match n % 6:
        case 1:
            likely = low
        case 2:
            likely = high
        case 3:
            low, likely, high = (v + 1000 * scale for v in (low, likely, high))
        case 4:
            likely = low + 1e-6 * (high - low)
        case 5:
            high = likely + 1000 * (likely - low)
    return [float(v) for v in (low, likely, high)]


for n in range(300):
    low, likely, high = ends(n)
    triangle = stats.triang((likely - low) / (high - low), loc=low, scale=high - low)
    shares = [*SHARES, round(float(rng.uniform(0, 1)), 5)]
    out["triangles"].append(
        {
            "ends": [low, likely, high],
            "shares": shares,
            "quantiles": [float(triangle.ppf(s)) for s in shares],
            "mean": float(triangle.mean()),
        }
    )
for n in range(300):
    count = int(rng.integers(1, 60))
    match n % 5:
        case 0:
            numbers = rng.lognormal(0, 3, count)
        case 1:
            numbers = np.full(count, rng.normal())
        case 2:
            numbers = rng.integers(0, 4, count).astype(float)
        case 3:
            numbers = rng.normal(1e9, 1, count)
        case _:
            numbers = -rng.pareto(0.7, count)
    numbers = [round(float(v), 6) for v in numbers]
    shares = [0.0, 1.0, *(round(float(s), 5) for s in rng.uniform(0, 1, 3))]
    out["percentiles"].append(
        {
            "numbers": numbers,
            "shares": shares,
            "values": [float(np.percentile(numbers, 100 * s)) for s in shares],
        }
    )
# Rank correlation of two inputs of one group, and of two of different strength: the correlation of their
# normal scores is the root of the product.
for a, b in [(0.1, 0.1), (0.3, 0.3), (0.6, 0.6), (0.7, 0.2), (0.9, 0.4), (1.0, 1.0), (0.0, 0.8)]:
    r = float(np.sqrt(a * b))
    z = rng.multivariate_normal([0, 0], [[1, r], [r, 1]], 400_000)
    out["ranks"].append(
        {"strengths": [a, b], "spearman": float(stats.spearmanr(z[:, 0], z[:, 1]).statistic)}
    )
print(json.dumps(out))
