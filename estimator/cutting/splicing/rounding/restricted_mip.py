"""Whole numbers of patterns and ways, over the columns that the linear program found: a small whole program."""

from __future__ import annotations

import numpy as np

from estimator.cutting.highs import WholeProgram
from estimator.cutting.splicing.colgen.pattern_prices import PatternPrices
from estimator.cutting.tuning import SPLICING_WORK, THOROUGH

USED = 1e-9


def whole_use(program: PatternPrices, step: int) -> tuple[float, ...] | None:
    """Use of each column in the best whole plan found; after `relax`, within the limits then set.

    Only the columns in use and those of least reduced price take part. `step` is what plans differ by at least, in
    money.
    """
    lp = program.lp.lp
    optimum = lp.solve()  # columns may have been added since
    if optimum is None:
        return None
    duals = np.array(optimum.reduced)
    real = np.array([column is not None for column in program.lp.columns[: len(duals)]])
    order = np.lexsort((duals, np.array(optimum.use) <= USED))
    kept = order[real[order]][: max(THOROUGH.least_columns, int(len(program.lp.row_of) * THOROUGH.columns_a_row))]
    count = len(duals)
    model = WholeProgram(lp)
    model.stop_at(THOROUGH.nodes, max(1e-6, (step - 0.5) * program.lp.scale))
    left_out = np.setdiff1d(np.arange(count), kept)
    model.limit_columns(left_out, np.zeros(len(left_out)), np.zeros(len(left_out)))
    model.limit_columns(kept, np.zeros(len(kept)))
    use = model.solve_whole()
    program.budget.spend(1 + model.steps // SPLICING_WORK.iterations)
    return None if use is None else tuple(use.tolist())
