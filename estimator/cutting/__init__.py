"""Takes pieces or rail runs with their attachments, bars on offer with prices, the saw and the rules of joining.

Gives a cut plan: every bar, piece and joint with its place, its cost, and the proven lower bound beside it.
May not price, round up to packs, read files or know a clock; a time budget comes in as a stop test.

The problem is cutting stock with several stock lengths. With kerf k a piece w takes w + k of a bar of L + k
(`instance`). A **pattern** says how one bar is cut; the **restricted master** is the linear program over the patterns
found so far, **pricing** (a knapsack) finds better ones (`colgen`). Its prices bound every cost; the bound is
evaluated in whole numbers, so floating point can weaken but never falsify it.

Whole plans come from `heuristics`. Between plan and bound, patterns whose reduced cost is above the gap cannot occur;
where few are left they are listed, tightened by Chvatal-Gomory cuts and branched on (`enumeration`). Around that,
`branch_and_bound` goes through the numbers of bars of each stock, which leaves pricing as it is.

Runs longer than a bar (`runs`: where joints may stand) are made of pieces chosen together with the patterns
(`splicing`). `plan` puts price breaks, baselines and figures around it; `highs` is the only door to the solver.
Work is counted in steps, not seconds: the same input gives the same plan on every machine.

Sources: Gilmore and Gomory (1961, 1963); Belov and Scheithauer (2006); Baldacci et al. (2008); Benders (1962).
"""

from estimator.cutting.branch_and_bound.solve import solve_cutting
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
    "plan_cuts",
    "plan_order",
    "solve_cutting",
]
