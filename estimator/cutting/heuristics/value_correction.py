"""Bars filled one after the other, each with the pieces that pay best; what pieces pay is corrected as bars come out.

Pieces that ended up on badly filled bars pay more the next time, so that they are placed earlier and with more choice.
Source: sequential value correction, Mukhacheva et al.; Belov and Scheithauer, INFORMS J. Comput. 19 (2007) 27.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.cutting.colgen.bounds import TOP_BITS, StockLimits
from estimator.cutting.colgen.relaxation import SearchState
from estimator.cutting.heuristics.greedy import plan_cost
from estimator.cutting.instance import Column, Plan
from estimator.cutting.tuning import HEURISTICS, WORK

ENDLESS = 1 << 62
GOLDEN = 0.6180339887498949
SHIFT = 0.7548776662466927


def value_corrected_plan(state: SearchState, bars: Sequence[int], turn: int) -> Plan | None:
    """A plan for all pieces from at most so many bars of each stock; None if no pass finds one.

    Every `turn` corrects by other weights.
    """
    instance = state.instance
    draw = _weyl(turn)
    ratio = min(
        (bar.price / bar.room for bar, n in zip(instance.bars, bars, strict=True) if n and bar.room), default=0.0
    )
    power = HEURISTICS.first_power if not turn else _between(draw, HEURISTICS.powers)
    worth = [size**power * max(ratio, 1e-9) for size in instance.sizes]
    for _ in range(HEURISTICS.passes):
        plan = _pass(state, list(bars), worth, (draw, power), ENDLESS)
        if plan is not None or state.budget.spent():
            return plan
        power = _between(draw, HEURISTICS.powers)
    return None


def correct_values(state: SearchState, limits: StockLimits, target: int, work: int) -> bool:
    """Offers plans from pass after pass, values corrected on the way, until one costs at most `target`; says if so.

    Ends after OPEN_PASSES passes or so much `work`.
    """
    instance, most = state.instance, sum(state.instance.wanted)
    end = state.budget.done + work
    draw, power = _weyl(0), HEURISTICS.first_power
    ratio = min((bar.price / bar.room for bar in instance.bars if bar.room and bar.real), default=0.0)
    worth = [size**power * max(ratio, 1e-9) for size in instance.sizes]
    for _ in range(HEURISTICS.open_passes):
        left = [most if high is None else high for high in limits.high]
        plan = _pass(state, left, worth, (draw, power), end)
        if plan is not None:
            state.offer(plan, plan_cost(instance, plan))
        if (state.best and state.best_cost <= target) or state.budget.done >= end or state.budget.spent():
            break
        power = _between(draw, HEURISTICS.powers)
    return bool(state.best) and state.best_cost <= target


def _weyl(turn: int) -> Iterator[float]:
    """Numbers from 0 to 1, spread evenly: multiples of the golden section without their whole parts (H. Weyl, 1916)."""
    at = 0
    while True:
        at += 1
        yield (at * GOLDEN + turn * SHIFT) % 1.0


def _between(draw: Iterator[float], ends: tuple[float, float]) -> float:
    low, high = ends
    return low + (high - low) * next(draw)


def _pass(
    state: SearchState, left: list[int], worth: list[float], manner: tuple[Iterator[float], float], end: int
) -> Plan | None:
    """One plan, or None where bars or work run out first; `worth` is corrected on the way."""
    instance = state.instance
    rest = list(instance.wanted)
    plan: Plan = {}
    while any(rest):
        column = _best_paid(state, left, worth, rest) if state.budget.done < end else None
        if column is None:
            return None
        times = min(left[column[0]], *(rest[i] // n for i, n in column[1]))
        plan[column] = plan.get(column, 0) + times
        left[column[0]] -= times
        for i, n in column[1]:
            rest[i] -= n * times
        _correct(state, column, times, worth, (*manner, rest))
    return plan


def _best_paid(state: SearchState, left: Sequence[int], worth: Sequence[float], rest: Sequence[int]) -> Column | None:
    """The pattern that pays most for what its bar costs, among the bars and pieces that are left."""
    instance = state.instance
    most = (1 << TOP_BITS) // (instance.widest // min(instance.sizes) + 1)
    scale = min(state.unit, most / max(worth))
    values = [max(1, int(value * scale)) for value in worth]
    none = 1 << 62
    best = state.knapsack.price(values, rest, [0 if n else none for n in left], state.unit, 0)
    state.budget.spend(1 + sum(n > 0 for n in rest) * state.knapsack.points // WORK.filling_points)
    columns = {column[0]: column for column in best.columns}
    usable = [bar for bar, n in enumerate(left) if n and bar in columns]
    if not usable:
        return None
    return columns[max(usable, key=lambda bar: (best.worth[bar] / max(1, instance.bars[bar].price), -bar))]


def _correct(
    state: SearchState,
    column: Column,
    times: int,
    worth: list[float],
    manner: tuple[Iterator[float], float, Sequence[int]],
) -> None:
    """Pieces on a bar come to be worth what they cost there, the more so the fewer of them are left."""
    draw, power, rest = manner
    instance = state.instance
    cost = max(1, instance.bars[column[0]].price) / instance.used(column)
    for i, n in column[1]:
        old = _between(draw, HEURISTICS.weights) * (instance.wanted[i] + rest[i]) / (n * times)
        worth[i] = (old * worth[i] + cost * instance.sizes[i] ** power) / (old + 1)
