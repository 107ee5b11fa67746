"""A quick try for a whole plan over listed patterns, in floating point; what it finds is checked in whole numbers.

The whole-number solver is stopped after its first heuristics, at a fixed number of its own checks and not at a time, so
that the same question has the same answer. Source: the feasibility jump, Luteberget and Sartor (2023), as in HiGHS.
"""

from __future__ import annotations

import numpy as np

from estimator.cutting.enumeration.restricted_master import MANY, RestrictedMaster
from estimator.cutting.highs import WholeProgram
from estimator.cutting.instance import Plan
from estimator.cutting.tuning import ENUMERATION


def plan_by_mip(pool: RestrictedMaster, ceiling: int) -> Plan | None:
    """A plan over the listed patterns within its limits that costs at most `ceiling`, if one is found at once."""
    program = WholeProgram()
    program.stop_after_checks(ENUMERATION.mip_checks)
    for least, most in zip(pool.asked.least, pool.asked.most, strict=True):
        program.add_row(least, None if most >= MANY else most)
    program.add_row(None, ceiling)
    program.add_columns(np.zeros(len(pool.columns)), pool.by_column(), pool.most)
    values = program.solve_whole()
    if values is None or np.abs(values - np.rint(values)).max() > 1e-5:
        return None
    use = np.rint(values).astype(np.int64)
    met = pool.counts @ use
    within = np.all(met >= pool.asked.least) and np.all(met <= pool.asked.most) and np.all(use >= 0)
    if not within or int(use @ pool.costs) > ceiling:
        return None
    return {pool.columns[k]: int(use[k]) for k in np.flatnonzero(use).tolist()}
