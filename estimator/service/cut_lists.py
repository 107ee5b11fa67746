"""A cut list on its own: pieces into bars for a shop with no roof at all, in whole numbers of a common length."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

from estimator.cutting import CuttingProblem, Demand, Effort, Saw, Stock, solve_cutting
from estimator.cutting.records import Watch, unwatched
from estimator.errors import Fault, Refused
from estimator.sentences import Sentence, figure, say

FINEST = 400_000
"""The most steps the longest bar is divided into before lengths are rounded to tenths of a millimetre."""

TENTH = Fraction(1, 10)
DEFAULT_SECONDS = 30.0
ENDLESS = 1 << 40


@dataclass(frozen=True, slots=True)
class StockOnOffer:
    """Bars of one length, mm, and their price each; an off-cut has sawn ends and is not trimmed again."""

    length_mm: Fraction
    price: Decimal
    available: int | None = None
    is_offcut: bool = False


@dataclass(frozen=True, slots=True)
class PiecesWanted:
    """So many pieces of one length, mm."""

    length_mm: Fraction
    count: int


@dataclass(frozen=True, slots=True)
class CutList:
    """Pieces, bars and the saw. Lengths mm, exact."""

    kerf_mm: Fraction
    end_trim_mm: Fraction
    stocks: tuple[StockOnOffer, ...]
    pieces: tuple[PiecesWanted, ...]


@dataclass(frozen=True, slots=True)
class BarsAlike:
    """Bars of one stock cut alike; ``pieces`` as indices into the list's pieces, longest first."""

    stock: int
    count: int
    pieces: tuple[int, ...]
    offcut_mm: Fraction


@dataclass(frozen=True, slots=True)
class CutListPlan:
    """The plan, its cost beside the proven bound, and the seconds it took. ``rounded``: to tenths of mm."""

    bars: tuple[BarsAlike, ...]
    cost: Decimal
    lower_bound: Decimal
    proven_optimal: bool
    waste_share: float
    seconds: float
    rounded: bool


def price_places(cut_list: CutList) -> int:
    """Decimals of the whole units of money that the search works in."""
    return max(2, *(-int(each.price.as_tuple().exponent) for each in cut_list.stocks))


def plan_cut_list(cut_list: CutList, seconds: float | None = None, watch: Watch = unwatched) -> CutListPlan:
    """The cheapest plan found within the time, and the proof of how near it is to the cheapest there can be.

    Without `seconds` a fixed amount of work is done, so that the same list gives the same plan (30 s at most); with
    them the search goes on until they are over or the plan is proven. `watch` is told how it stands.

    Errors: Refused, with every piece that is longer than every bar, and where the bars do not suffice.
    """
    begun = time.perf_counter()
    _refuse_too_long(cut_list)
    step, rounded = _step(cut_list)
    places = price_places(cut_list)
    problem = _problem(cut_list, step, places)
    try:
        solution = solve_cutting(problem, _effort(begun, seconds, watch))
    except Refused as refusal:
        text = say("the bars that are available do not suffice for all pieces")
        raise Refused(text, [Fault("/stocks", text, say("more bars, or null for as many as it takes"))]) from refusal
    index = {demand.length: at for at, demand in reversed(list(enumerate(problem.demands)))}
    bars = tuple(
        _alike(cut_list, each.stock, each.count, tuple(index[piece] for piece in each.pieces))
        for each in solution.patterns
    )
    bought = sum((cut_list.stocks[bar.stock].length_mm * bar.count for bar in bars), Fraction(0))
    used = sum((each.length_mm * each.count for each in cut_list.pieces), Fraction(0))
    return CutListPlan(
        bars,
        Decimal(solution.cost).scaleb(-places),
        Decimal(solution.lower_bound).scaleb(-places),
        solution.proven_optimal and not rounded,
        float(1 - used / bought) if bought else 0.0,
        round(time.perf_counter() - begun, 4),
        rounded,
    )


def _effort(begun: float, seconds: float | None, watch: Watch) -> Effort:
    end = begun + (DEFAULT_SECONDS if seconds is None else seconds)

    def is_over() -> bool:
        return time.perf_counter() > end

    if seconds is None:
        return Effort(should_stop=is_over, watch=watch)
    return Effort(ENDLESS, is_over, watch=watch, patient=True)


def _problem(cut_list: CutList, step: Fraction, places: int) -> CuttingProblem:
    """Whole numbers of a step; where they do not come out even, bars get shorter, pieces and the saw longer."""
    return CuttingProblem(
        stocks=tuple(
            Stock(
                f"bar {at + 1}",
                int(each.length_mm // step),
                int(each.price.scaleb(places)),
                each.available,
                each.is_offcut,
            )
            for at, each in enumerate(cut_list.stocks)
        ),
        demands=tuple(Demand(_up(each.length_mm, step), each.count) for each in cut_list.pieces),
        saw=Saw(kerf=_up(cut_list.kerf_mm, step), end_trim=_up(cut_list.end_trim_mm, step)),
    )


def _step(cut_list: CutList) -> tuple[Fraction, bool]:
    """The longest length that divides all, if it is not too fine for the search; else a tenth of a millimetre."""
    lengths = [each.length_mm for each in cut_list.stocks] + [each.length_mm for each in cut_list.pieces]
    lengths += [cut_list.kerf_mm, cut_list.end_trim_mm]
    below = lcm(*(length.denominator for length in lengths))
    step = Fraction(gcd(*(int(length * below) for length in lengths)), below)
    if max(lengths) / step <= FINEST:
        return step, False
    return TENTH, any(length % TENTH for length in lengths)


def _up(length: Fraction, step: Fraction) -> int:
    return -int(-length // step)


def _alike(cut_list: CutList, stock: int, count: int, pieces: Sequence[int]) -> BarsAlike:
    length = _usable(cut_list.stocks[stock], cut_list.end_trim_mm)
    used = sum((cut_list.pieces[at].length_mm + cut_list.kerf_mm for at in pieces), Fraction(0))
    return BarsAlike(stock, count, tuple(pieces), max(Fraction(0), length - used))


def _usable(stock: StockOnOffer, end_trim_mm: Fraction) -> Fraction:
    return stock.length_mm if stock.is_offcut else stock.length_mm - 2 * end_trim_mm


def longest_piece(stocks: Sequence[StockOnOffer], end_trim_mm: Fraction) -> Fraction:
    """The longest piece (mm) that any bar on offer gives; 0 where there is none."""
    return max((_usable(each, end_trim_mm) for each in stocks if each.available != 0), default=Fraction(0))


def too_long(length_mm: Fraction, longest_mm: Fraction) -> tuple[Sentence, Sentence]:
    """What is said of a piece longer than every bar, and what is allowed."""
    length, longest = (figure(float(each), "g", " mm", "length") for each in (length_mm, longest_mm))
    found = say("a piece of {length} is longer than every bar on offer", length=length)
    return found, say("at most {most}", most=longest)


def _refuse_too_long(cut_list: CutList) -> None:
    longest = longest_piece(cut_list.stocks, cut_list.end_trim_mm)
    faults = [
        Fault(f"/pieces/{at}/length", *too_long(each.length_mm, longest))
        for at, each in enumerate(cut_list.pieces)
        if each.length_mm > longest
    ]
    if faults:
        raise Refused(say("pieces longer than every bar on offer"), faults)
