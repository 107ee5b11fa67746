"""Patterns and ways rounded one after the other, columns generated again in between: a proposal of compositions."""

from __future__ import annotations

from estimator.cutting.splicing.colgen.master import SplicingOptimum, WayColumn
from estimator.cutting.splicing.colgen.pattern_prices import PatternPrices
from estimator.cutting.splicing.problem import SplicingLimits
from estimator.cutting.tuning import THOROUGH

WHOLE = 1e-6


def dived_use(program: PatternPrices, limits: SplicingLimits) -> tuple[float, ...] | None:
    """Use of each column at the end of a dive within the limits; None where not even fractions keep them.

    In each step every pattern and every way keeps at least its whole part. Where that fixes nothing new, those nearest
    to the next whole number are raised to it, as many as a share of what is still broken. Then the program is solved
    again with the columns that are now worth having. All ways are whole at the end, unless a step comes to a dead end:
    then the use before it is returned.
    Source: diving with column generation, Sadykov et al., INFORMS Journal on Computing 31 (2019) 251.
    """
    program.lp.limit(limits)
    least: dict[int, int] = {}
    found: tuple[float, ...] | None = None
    for _ in range(THOROUGH.dive_steps):
        shares = _solved(program, limits)
        if shares is None or _impossible(program, shares):
            break
        found = shares.use
        if program.budget.spent() or not _fix(program, shares.use, least):
            break
        _keep(program, least)
    _keep(program, dict.fromkeys(least, 0))
    return found


def _solved(program: PatternPrices, limits: SplicingLimits) -> SplicingOptimum | None:
    """The program's optimum after some rounds of new columns."""
    shares = program.lp.solve()
    for _ in range(THOROUGH.dive_rounds):
        if shares is None or not program.grow(shares, limits):
            break
        shares = program.lp.solve()
    return shares


def _impossible(program: PatternPrices, shares: SplicingOptimum) -> bool:
    """Whether the optimum uses what does not exist."""
    return any(use > WHOLE for column, use in zip(program.lp.columns, shares.use, strict=True) if column is None)


def _fix(program: PatternPrices, use: tuple[float, ...], least: dict[int, int]) -> bool:
    """Raises what every column is used at least; False where all ways are whole already."""
    columns = program.lp.columns
    whole = {k: int(amount + WHOLE) for k, amount in enumerate(use) if columns[k] is not None}
    part = {k: use[k] - n for k, n in whole.items() if use[k] - n > WHOLE}
    if not any(isinstance(columns[k], WayColumn) for k in part):
        return False
    raised = {k: n for k, n in whole.items() if n > least.get(k, 0)}
    if not raised:
        most = max(1, int(sum(part.values()) * THOROUGH.at_once))
        room = list(program.lp.members)
        for k, n in whole.items():
            column = columns[k]
            if isinstance(column, WayColumn):
                room[column.row] -= n
        for k in sorted(part, key=lambda k: (-part[k], k)):
            column = columns[k]
            if isinstance(column, WayColumn):
                if room[column.row] <= 0:
                    continue
                room[column.row] -= 1
            raised[k] = whole[k] + 1
            if len(raised) >= most:
                break
    least.update(raised)
    return True


def _keep(program: PatternPrices, least: dict[int, int]) -> None:
    """Sets how often columns are used at least."""
    columns = sorted(least)
    program.lp.lp.limit_columns(columns, [least[k] for k in columns])
