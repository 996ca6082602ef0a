#!/usr/bin/env python3
"""Degree-days by the single sine with horizontal cutoff in numpy, and the mean Briere-1 rate over the hours of the same sine: float32, in blocks that
fit the cache, one thread.

Prints one JSON object: the best of three passes of each, and the mean per cell, so that the kernels can be held against it.
Run with the distribution's interpreter and python3-numpy: dd_numpy.py CELLS SEED
"""
import json
import sys
import time

import numpy as np

HALF = np.float32(0.5)
QUARTER_TURN = np.float32(np.pi / 2)
PER_PI = np.float32(1 / np.pi)
BLOCK = 16384


def heat_above(low, high, threshold):
    """Mean over the day of what the sine through both extremes leaves above the threshold (Baskerville & Emin 1969)."""
    middle = (low + high) * HALF
    swing = (high - low) * HALF
    angle = np.arcsin(np.clip((threshold - middle) / swing, np.float32(-1), np.float32(1)))
    crossing = ((middle - threshold) * (QUARTER_TURN - angle) + swing * np.cos(angle)) * PER_PI
    return np.where(threshold <= low, middle - threshold, np.where(threshold >= high, np.float32(0), crossing))


SINES = [np.float32(np.sin((2 * j + 1) * np.pi / 24)) for j in range(6)]


def briere(t, scale, lower, upper):
    zero = np.float32(0)
    return scale * np.maximum(t, zero) * np.maximum(t - lower, zero) * np.sqrt(np.maximum(upper - t, zero))


def briere_day(low, high, scale, lower, upper):
    """Twelve temperatures stand for 24 hours: the sine takes each twice."""
    middle = (low + high) * HALF
    swing = (high - low) * HALF
    total = np.zeros_like(low)
    for sine in SINES:
        off = swing * sine
        total += briere(middle + off, scale, lower, upper) + briere(middle - off, scale, lower, upper)
    return total


def rate_sums(low, high, scale=7.86e-5, lower=11.36, upper=39.17):
    cells = min(low.size, 1_000_000)
    out = np.empty(cells, np.float32)
    scale, lower, upper = np.float32(scale / 12), np.float32(lower), np.float32(upper)
    best = 0.0
    for _ in range(3):
        begun = time.perf_counter()
        for i in range(0, cells, BLOCK):
            block = slice(i, min(i + BLOCK, cells))
            out[block] = briere_day(low[block], high[block], scale, lower, upper)
        best = max(best, cells / (time.perf_counter() - begun))
    return best, float(out.mean(dtype=np.float64))


def main(cells, seed, lower=10.0, upper=31.0):
    random = np.random.default_rng(seed)
    low = random.uniform(-5, 25, cells).astype(np.float32)
    high = low + random.uniform(3, 18, cells).astype(np.float32)
    out = np.empty_like(low)
    lower, upper = np.float32(lower), np.float32(upper)
    best = 0.0
    for _ in range(3):
        begun = time.perf_counter()
        for i in range(0, cells, BLOCK):
            block = slice(i, i + BLOCK)
            out[block] = heat_above(low[block], high[block], lower) - heat_above(low[block], high[block], upper)
        best = max(best, cells / (time.perf_counter() - begun))
    mean = float(out.mean(dtype=np.float64))
    rate_sum, rate_mean = rate_sums(low, high)
    print(json.dumps({"cell_days_per_s": best, "mean": mean, "rate_sum_cell_days_per_s": rate_sum, "rate_sum_mean": rate_mean,
                      "numpy": np.__version__}))


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
