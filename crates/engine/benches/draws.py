"""A million draws of the bench's cost lines with numpy, beside ours in one run.

    pip install numpy==2.* scipy==1.*
    python draws.py      (from this folder; runs `cargo bench` itself)
"""

import re
import subprocess
import time

import numpy as np
from scipy.special import ndtr, ndtri

DRAWS = 1_000_000
PLAIN = [
    [12e3, 14e3, 17e3],
    [150, 600, 2500],
    [0, 1000, 5000],
    [0, 600, 2000],
    [300, 700, 1500],
    [50, 150, 400],
    [0, 300, 900],
]
GROUPED = [
    ([400, 700, 1400], 0, 0.6),
    ([200, 400, 900], 0, 0.6),
    ([2500, 3500, 6000], 1, 0.7),
    ([1200, 2100, 6000], 1, 0.7),
]


def triangle(u, low, likely, high):
    span = high - low
    turn = (likely - low) / span
    return np.where(
        u < turn,
        low + np.sqrt(u * span * (likely - low)),
        high - np.sqrt((1 - u) * span * (high - likely)),
    )


def run():
    """All lines, line by line, as ours keeps them: percentiles of the sum and of every line."""
    rng = np.random.default_rng(1)
    lines = [rng.triangular(*row, DRAWS) for row in PLAIN]
    common = [rng.standard_normal(DRAWS) for _ in range(2)]
    for row, group, strength in GROUPED:
        score = np.sqrt(strength) * common[group]
        score += np.sqrt(1 - strength) * rng.standard_normal(DRAWS)
        lines.append(triangle(ndtr(score), *row))
    lines.append(lines[0] * rng.triangular(0, 0.06, 0.1, DRAWS))
    total = np.sum(lines, axis=0)
    # A contingency is taken of all but the price.
    lines.append((total - lines[0]) * rng.triangular(0.02, 0.05, 0.1, DRAWS))
    total += lines[-1]
    for line in lines:
        np.percentile(line, [10, 90])
        line.mean()
    p = np.percentile(total, [10, 50, 80, 90])
    return p[1], p[2], (total > 30e3).mean()


best = min(
    (lambda start: (run(), time.perf_counter() - start))(time.perf_counter())[1]
    for _ in range(5)
)
p50, p80, over = run()
print(f"numpy {DRAWS} s {best:.4f} p50 {p50:.1f} p80 {p80:.1f} over {over:.4f}")
ours = subprocess.run(
    ["cargo", "bench", "-q", "-p", "engine", "--bench", "decision"],
    capture_output=True,
    text=True,
    check=True,
).stdout
print(ours.strip())
seconds = float(re.search(r"draws \d+ s ([\d.]+)", ours).group(1))
print(f"ratio {best / seconds:.2f}")
