"""Records present values, rates of return and loan figures of general-purpose libraries.

    pip install numpy==2.* numpy-financial==1.* scipy==1.*
    python finance.py > ../data/finance.json
"""

import json

import numpy as np
import numpy_financial as npf
from scipy import stats

rng = np.random.default_rng(20)
out = {"flows": [], "loans": [], "triangles": [], "percentiles": []}
for _ in range(60):
    years = int(rng.integers(1, 25))
    flows = [round(-float(rng.uniform(1e3, 1e5)), 2)]
    flows += [round(float(v), 2) for v in rng.uniform(-2e3, 3e4, years)]
    rate = round(float(rng.uniform(0.0, 0.3)), 4)
    irr = float(npf.irr(flows))
    out["flows"].append(
        {
            "flows": flows,
            "rate": rate,
            "npv": float(npf.npv(rate, flows)),
            "irr": None if np.isnan(irr) else irr,
        }
    )
for _ in range(40):
    rate = round(float(rng.uniform(0.0005, 0.02)), 6)
    periods = int(rng.integers(1, 120))
    principal = round(float(rng.uniform(1e3, 2e5)), 2)
    balloon = round(float(rng.uniform(0, 0.4)) * principal, 2)
    upto = int(rng.integers(0, periods + 1))
    payment = -float(npf.pmt(rate, periods, principal, -balloon))
    out["loans"].append(
        {
            "rate": rate,
            "periods": periods,
            "principal": principal,
            "balloon": balloon,
            "payment": payment,
            "after": upto,
            "owed": -float(npf.fv(rate, upto, -payment, principal)),
        }
    )
for _ in range(40):
    low, likely, high = np.sort(np.round(rng.uniform(0, 100, 3), 3))
    share = round(float(rng.uniform(0, 1)), 4)
    mode = (likely - low) / (high - low)
    triangle = stats.triang(mode, loc=low, scale=high - low)
    out["triangles"].append(
        {
            "low": float(low),
            "likely": float(likely),
            "high": float(high),
            "share": share,
            "quantile": float(triangle.ppf(share)),
            "mean": float(triangle.mean()),
        }
    )
for _ in range(20):
    numbers = [round(float(v), 3) for v in rng.lognormal(0, 1, int(rng.integers(1, 40)))]
    share = round(float(rng.uniform(0, 1)), 4)
    out["percentiles"].append(
        {
            "numbers": numbers,
            "share": share,
            "value": float(np.percentile(numbers, 100 * share)),
        }
    )
# Rows whose flows change sign often: every real rate above -100 % by the eigenvalues of the companion
# matrix, kept where the roots lie well apart, so that both sides can tell them.
out["several"] = []
while len(out["several"]) < 40:
    flows = [round(float(v), 2) for v in rng.uniform(-1e4, 1e4, int(rng.integers(3, 9)))]
    roots = np.roots(flows[::-1])
    x = np.sort([r.real for r in roots if abs(r.imag) < 1e-9 and r.real > 0])
    near_axis = [r for r in roots if 1e-9 <= abs(r.imag) < 1e-2 and r.real > 0]
    if near_axis or len(x) < 2 or np.min(np.diff(x)) < 0.02 or x[0] < 0.02 or x[-1] > 50:
        continue
    out["several"].append({"flows": flows, "rates": sorted(float(1 / r - 1) for r in x)})
# Two inputs of one group: Spearman's rank correlation of normal scores with correlation r is
# 6 / pi asin(r / 2); checked here against a large sample.
out["ranks"] = []
for strength in [0.0, 0.2, 0.5, 0.7, 0.95]:
    z = rng.multivariate_normal([0, 0], [[1, strength], [strength, 1]], 400_000)
    out["ranks"].append(
        {
            "strength": strength,
            "spearman": float(stats.spearmanr(z[:, 0], z[:, 1]).statistic),
            "error": float(1 / np.sqrt(len(z))),
        }
    )
print(json.dumps(out))
