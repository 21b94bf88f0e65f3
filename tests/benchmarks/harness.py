"""Ratios of a kernel to a floor measured in the same run, so that a slow machine slows both.

Each round times both in turns by processor time with the garbage collector off; the median of the per-round ratios
is reported with its 20 and 80 % points, and only the 20 % point is held against a goal: noise cannot fail a run.
"""

import gc
import math
import time
from collections.abc import Callable, Sequence
from statistics import median
from typing import NamedTuple

import numpy as np

Run = Callable[[], object]
ROUNDS = 15
LEAST_S = 0.003


class Ratio(NamedTuple):
    """Median of the ratios, their 20 and 80 % points, and the median time of the kernel in ms."""

    middle: float
    low: float
    high: float
    kernel_ms: float


def cpu(run: Run, repeats: int) -> float:
    """Return the processor seconds of one call."""
    start = time.process_time()
    for _ in range(repeats):
        run()
    return (time.process_time() - start) / repeats


def ratio(kernel: Run, floor: Run) -> Ratio:
    """Time both in turns."""
    pair = (kernel, floor)
    for run in pair * 3:
        run()
    repeats = [max(1, math.ceil(LEAST_S / max(cpu(run, 1), 1e-6))) for run in pair]
    gc.collect()
    gc.disable()
    try:
        rounds = [(cpu(kernel, repeats[0]), cpu(floor, repeats[1])) for _ in range(ROUNDS)]
    finally:
        gc.enable()
    found = sorted(first / second for first, second in rounds)
    fifth = ROUNDS // 5
    return Ratio(median(found), found[fifth], found[-1 - fifth], 1e3 * median(first for first, _ in rounds))


def growth(sizes: Sequence[int], times: Sequence[float]) -> float:
    """Return the exponent of growth: the slope of log time over log size."""
    return float(np.polyfit(np.log(sizes), np.log(times), 1)[0])
