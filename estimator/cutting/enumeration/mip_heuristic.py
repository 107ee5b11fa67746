"""A quick try for a whole plan over listed patterns, in floating point; what it finds is checked in whole numbers.

The whole-number solver is stopped after its first heuristics, at a fixed number of its own checks and not at a time, so
that the same question has the same answer. Source: the feasibility jump, Luteberget and Sartor (2023), as in HiGHS.
"""

from __future__ import annotations

from typing import Any

import highspy
import numpy as np

from estimator.cutting.colgen.master import INFINITE, quiet_highs
from estimator.cutting.enumeration.restricted_master import MANY, RestrictedMaster
from estimator.cutting.instance import Plan

CHECKS = 3


def plan_by_mip(pool: RestrictedMaster, ceiling: int) -> Plan | None:
    """A plan over the listed patterns within its limits that costs at most `ceiling`, if one is found at once."""
    lp = quiet_highs()
    lp.setOptionValue("presolve", "on")
    lp.setOptionValue("mip_max_improving_sols", 1)
    none = (0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
    for least, most in zip(pool.asked.least, pool.asked.most, strict=True):
        lp.addRow(float(least), INFINITE if most >= MANY else float(most), *none)
    lp.addRow(-INFINITE, float(ceiling), *none)
    rows, starts, times = pool.by_column()
    count = len(pool.columns)
    lp.addCols(count, np.zeros(count), np.zeros(count), pool.most.astype(np.float64), len(rows), starts, rows, times)
    lp.changeColsIntegrality(count, np.arange(count, dtype=np.int32), np.full(count, 1, dtype=np.uint8))
    _stop_early(lp)
    lp.run()
    values = np.array(lp.getSolution().col_value)
    if len(values) != count or np.abs(values - np.rint(values)).max() > 1e-5:
        return None
    use = np.rint(values).astype(np.int64)
    met = pool.counts @ use
    within = np.all(met >= pool.asked.least) and np.all(met <= pool.asked.most) and np.all(use >= 0)
    if not within or int(use @ pool.costs) > ceiling:
        return None
    return {pool.columns[k]: int(use[k]) for k in np.flatnonzero(use).tolist()}


def _stop_early(lp: highspy.Highs) -> None:
    checks = 0

    def check(_kind: Any, _text: str, _told: Any, answer: Any, _own: Any) -> None:  # noqa: ANN401
        nonlocal checks
        checks += 1
        if checks > CHECKS:
            answer.user_interrupt = True

    lp.setCallback(check, None)
    lp.startCallback(highspy.cb.HighsCallbackType.kCallbackMipInterrupt)
