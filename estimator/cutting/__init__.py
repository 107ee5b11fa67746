"""Takes pieces or rail runs with their attachments, bars on offer with prices, the saw and the rules of joining.

Gives a cut plan: every bar, piece and joint with its place, its cost, and the proven lower bound beside it.
May not price, round up to packs, read files or know a clock; a time budget comes in as a stop test.
"""

from estimator.cutting.branch_and_bound.solve import solve_cutting
from estimator.cutting.plan.cut_lists import cut_list
from estimator.cutting.plan.orders import plan_order
from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.records import (
    BarPattern,
    BarsOfLength,
    CutPlan,
    CutRun,
    CutSolution,
    CuttingProblem,
    Demand,
    Effort,
    Joint,
    JointRules,
    OrderPlan,
    Pattern,
    PiecePlace,
    PlainMethod,
    PriceLevel,
    Refusal,
    RunToCut,
    Saw,
    Stock,
)

__all__ = [
    "BarPattern",
    "BarsOfLength",
    "CutPlan",
    "CutRun",
    "CutSolution",
    "CuttingProblem",
    "Demand",
    "Effort",
    "Joint",
    "JointRules",
    "OrderPlan",
    "Pattern",
    "PiecePlace",
    "PlainMethod",
    "PriceLevel",
    "Refusal",
    "RunToCut",
    "Saw",
    "Stock",
    "cut_list",
    "plan_cuts",
    "plan_order",
    "solve_cutting",
]
