"""Whole numbers of patterns and ways, over the columns that the linear program found: a small whole program."""

from __future__ import annotations

import numpy as np

from estimator.cutting.colgen.master import INFINITE, quiet_highs
from estimator.cutting.splicing.column_generation import SplicingColumns

FEASIBLE = 2
COLUMNS_A_ROW = 1.4
LEAST_COLUMNS = 200
NODES = 40
ITERATIONS_PER_WORK = 16


def whole_use(program: SplicingColumns, step: int) -> tuple[float, ...] | None:
    """Use of each column in the best whole plan found; after `relax`, within the limits then set.

    Only the columns of least reduced price take part. `step` is what plans differ by at least, in money.
    """
    lp = program.lp.lp
    lp.run()  # columns may have been added since
    duals = np.array(lp.getSolution().col_dual)
    real = np.array([column is not None for column in program.lp.columns[: len(duals)]])
    order = np.argsort(duals, kind="stable")
    kept = order[real[order]][: max(LEAST_COLUMNS, int(len(program.lp.row_of) * COLUMNS_A_ROW))]
    count = len(duals)
    upper = np.zeros(count)
    upper[kept] = INFINITE
    every = np.arange(count, dtype=np.int32)
    model = quiet_highs()
    model.passModel(lp.getModel())
    model.setOptionValue("presolve", "on")
    model.setOptionValue("mip_max_nodes", NODES)
    model.setOptionValue("mip_rel_gap", 1e-6)
    model.setOptionValue("mip_abs_gap", max(1e-6, (step - 0.5) * program.lp.scale))
    model.changeColsBounds(count, every, np.zeros(count), upper)
    model.changeColsIntegrality(count, every, np.full(count, 1, dtype=np.uint8))
    model.run()
    info = model.getInfo()
    program.budget.spend(1 + max(0, info.simplex_iteration_count) // ITERATIONS_PER_WORK)
    if info.primal_solution_status != FEASIBLE:
        return None
    return tuple(model.getSolution().col_value)
