#!/usr/bin/env python3
"""The chains of bench/population in SciPy: dQ_i/dt = (k/DEL)(Q_{i-1} - Q_i) - deaths, young into the first substage, hourly temperatures, integrated by
solve_ivp as it comes (RK45, its own tolerances), all members at once as one vector.

Reads one JSON object from a file: counts (substages by stage), rates (hours x stages, share of the stage's development a day), deaths (stages, a
day), young (per laying life), members (factors on the deaths, one a member), days, start (individuals in the first substage of each stage).
Prints one JSON object. Run with the distribution's interpreter and python3-scipy: population_scipy.py FILE
"""
import json
import sys
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp


def main(path):
    with open(path) as file:
        ask = json.load(file)
    counts = np.array(ask["counts"])
    stage_of = np.repeat(np.arange(counts.size), counts)
    leave = np.array(ask["rates"])[:, stage_of] * counts[stage_of]  # hours x substages, a day
    deaths = np.array(ask["deaths"])[stage_of][:, None] * np.array(ask["members"])[None, :]
    lay = ask["young"] * np.array(ask["rates"])[:, -1]
    laying = stage_of == counts.size - 1
    members, substages, hours = deaths.shape[1], stage_of.size, leave.shape[0]

    def slope(t, y):
        hour = min(int(t * 24.0), hours - 1)
        q = y.reshape(substages, members)
        flow = leave[hour][:, None] * q
        out = -flow - deaths * q
        out[1:] += flow[:-1]
        out[0] += lay[hour] * q[laying].sum(axis=0)
        return out.ravel()

    y = np.zeros((substages, members))
    y[np.concatenate(([0], np.cumsum(counts)[:-1]))] = ask["start"]
    begun = time.perf_counter()
    found = solve_ivp(slope, (0.0, float(ask["days"])), y.ravel(), t_eval=[float(ask["days"])])
    seconds = time.perf_counter() - begun
    q = found.y[:, -1].reshape(substages, members)
    print(json.dumps({"seconds": seconds, "evaluations": int(found.nfev), "totals": q.sum(axis=0).tolist(), "scipy": scipy.__version__,
                      "numpy": np.__version__}))


if __name__ == "__main__":
    main(sys.argv[1])
