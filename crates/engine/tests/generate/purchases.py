"""Random purchases and their optimum by scipy's mixed-integer solver, as one whole problem.

    pip install numpy==2.* scipy==1.*
    python purchases.py > ../data/purchases.json
"""

import json

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

rng = np.random.default_rng(7)


def purchase():
    offers = int(rng.integers(1, 6))
    machines = []
    parts = int(rng.integers(1, 8))
    tools = [round(float(v), 1) for v in rng.uniform(20, 900, int(rng.integers(1, 9)))]
    needs = [
        {
            "must": bool(rng.random() < 0.15),
            "tools": sorted(
                int(t)
                for t in rng.choice(len(tools), int(rng.integers(0, min(4, len(tools)) + 1)), False)
            ),
        }
        for _ in range(parts)
    ]
    for offer in range(offers):
        for _ in range(int(rng.integers(1, 4))):
            spent = round(float(rng.uniform(5e3, 6e4)), 0)
            machines.append(
                {
                    "offer": offer,
                    "spent": spent,
                    "cost": round(spent * float(rng.uniform(0.5, 1.0)), 0),
                    "makes": [
                        None
                        if rng.random() < 0.25
                        else {
                            "worth": round(float(rng.uniform(-2e3, 2.5e4)), 0),
                            "hours": round(float(rng.uniform(5, 400)), 1),
                        }
                        for _ in range(parts)
                    ],
                }
            )
    return {
        "machines": machines,
        "parts": needs,
        "tools": tools,
        "hours": round(float(rng.uniform(100, 1500)), 0),
        "budget": round(float(rng.uniform(1e4, 8e4)), 0),
        "over_rate": round(float(rng.uniform(0.0, 1.0)), 2),
        "most_machines": int(rng.integers(1, 3)),
    }


def optimum(p):
    m, n, t = len(p["machines"]), len(p["parts"]), len(p["tools"])
    # z (machines), x (part by machine), y (tools), over
    width = m + m * n + t + 1
    x = lambda part, machine: m + part * m + machine
    y = lambda tool: m + m * n + tool
    cost = np.zeros(width)
    upper = np.ones(width)
    upper[-1] = np.inf
    rows, low, high = [], [], []

    def row(entries, lo, hi):
        r = np.zeros(width)
        for at, v in entries:
            r[at] += v
        rows.append(r), low.append(lo), high.append(hi)

    for i, machine in enumerate(p["machines"]):
        cost[i] = machine["cost"]
        for part, making in enumerate(machine["makes"]):
            if making is None:
                upper[x(part, i)] = 0
            else:
                cost[x(part, i)] = -making["worth"]
            row([(x(part, i), 1), (i, -1)], -np.inf, 0)
            for tool in p["parts"][part]["tools"]:
                row([(x(part, i), 1), (y(tool), -1)], -np.inf, 0)
    for tool, price in enumerate(p["tools"]):
        cost[y(tool)] = price
    cost[-1] = p["over_rate"]
    for part, needs in enumerate(p["parts"]):
        row([(x(part, i), 1) for i in range(m)], 1 if needs["must"] else 0, 1)
    for offer in {machine["offer"] for machine in p["machines"]}:
        row([(i, 1) for i in range(m) if p["machines"][i]["offer"] == offer], 0, 1)
    row([(i, 1) for i in range(m)], 0, p["most_machines"])
    row(
        [
            (x(part, i), making["hours"])
            for i, machine in enumerate(p["machines"])
            for part, making in enumerate(machine["makes"])
            if making is not None
        ],
        -np.inf,
        p["hours"],
    )
    row(
        [(i, machine["spent"]) for i, machine in enumerate(p["machines"])]
        + [(y(tool), price) for tool, price in enumerate(p["tools"])]
        + [(width - 1, -1)],
        -np.inf,
        p["budget"],
    )
    whole = np.ones(width)
    whole[-1] = 0
    found = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), low, high),
        bounds=Bounds(np.zeros(width), upper),
        integrality=whole,
        options={"mip_rel_gap": 0},
    )
    return None if found.x is None else -float(found.fun)


cases = []
for _ in range(200):
    p = purchase()
    p["optimum"] = optimum(p)
    cases.append(p)
print(json.dumps(cases))
