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
print(json.dumps(out))
