"""Ways rounded one after the other, the linear program solved anew in between: a quick proposal of compositions."""

from __future__ import annotations

import highspy
import numpy as np

from estimator.cutting.joint_lp import WayColumn
from estimator.cutting.joint_program import JointProgram
from estimator.cutting.master import INFINITE

WHOLE = 1e-6
AT_ONCE = 0.2
MOST_STEPS = 60


def dived_use(program: JointProgram) -> tuple[float, ...] | None:
    """Use of each column when all ways are whole; after `relax`, within the limits then set.

    In each step every way keeps at least its whole part, and a fifth of the fractional ones, those nearest to the next
    whole number, are raised to it. None where the columns known leave no such plan.
    """
    lp = program.lp.lp
    lp.run()  # columns may have been added since
    ways = [k for k, column in enumerate(program.lp.columns) if isinstance(column, WayColumn)]
    index = np.array(ways, dtype=np.int32)
    least = np.zeros(len(ways))
    found: tuple[float, ...] | None = None
    for _ in range(MOST_STEPS):
        if lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            break
        program.budget.spend(program.work())
        use = np.array(lp.getSolution().col_value)
        here = use[index]
        least = np.maximum(least, np.floor(here + WHOLE))
        part = here - least
        open_ways = np.flatnonzero(part > WHOLE)
        if not len(open_ways):
            found = tuple(use)
            break
        order = open_ways[np.argsort(-part[open_ways], kind="stable")]
        least[order[: max(1, int(len(order) * AT_ONCE))]] += 1
        lp.changeColsBounds(len(ways), index, least, np.full(len(ways), INFINITE))
        lp.run()
    lp.changeColsBounds(len(ways), index, np.zeros(len(ways)), np.full(len(ways), INFINITE))
    lp.run()
    return found
