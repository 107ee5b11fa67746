"""What is proven: lower bounds in whole numbers, from prices that may have come from anywhere.

For any prices p >= 0 of the sizes, a plan costs at least the sum of wanted times p, plus, for every bar, the least over
the permitted number of bars of (bar's price - best-paid pattern on it). Wrong prices weaken the bound, but never
falsify it.
Source: Lagrangian duality; scaling after Farley, Operations Research 38 (1990) 922.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul

from estimator.cutting.instance import Bar, Instance

PRICE_BITS = 44
TOP_BITS = 60


@dataclass(frozen=True, slots=True)
class StockLimits:
    """How many bars of each stock at least, and at most (None: as many as one likes)."""

    low: tuple[int, ...]
    high: tuple[int | None, ...]


def open_limits(instance: Instance) -> StockLimits:
    """The limits that the stock on hand sets; of a bar that another replaces everywhere none is taken."""
    high = [0 if _replaced(instance, bar) else stock.available for bar, stock in enumerate(instance.bars)]
    return StockLimits((0,) * len(instance.bars), tuple(high))


def _replaced(instance: Instance, bar: int) -> bool:
    """Whether some bar without limit is at least as long and no more expensive."""
    own = instance.bars[bar]
    return any(
        other.available is None
        and (other.room, -other.price, -k) > (own.room, -own.price, -bar)
        and other.room >= own.room
        and other.price <= own.price
        for k, other in enumerate(instance.bars)
        if k != bar
    )


def price_unit(bars: Sequence[Bar]) -> int:
    """How many units of the bounds' arithmetic make one unit of money."""
    return max(256, (1 << PRICE_BITS) // max(1, *(bar.price for bar in bars)))


def whole_prices(instance: Instance, prices: Sequence[float], unit: int) -> list[int]:
    """Prices of the sizes as whole numbers, rounded down, kept small enough for 64 bits."""
    top = (1 << TOP_BITS) // max(1, instance.widest // min(instance.sizes) + 1)
    return [min(top, int(price * unit)) if price > 0 else 0 for price in prices]


def round_up(value: int, step: int) -> int:
    """The least multiple of `step` not below `value`.

    >>> round_up(101, 50)
    150
    """
    return -(-value // step) * step


def proven_bound(
    instance: Instance,
    wanted: Sequence[int],
    prices: Sequence[int],
    worth: Sequence[int],
    limits: StockLimits,
    unit: int,
) -> int:
    """A lower bound in money, from whole prices and the exactly best pattern value of each bar under them."""
    most = sum(wanted)
    high = [most if h is None else min(h, most) for h in limits.high]
    plain = _lagrangian(instance, wanted, prices, worth, limits.low, high, unit)
    best = -(-plain // unit)
    scale = _overpaid(instance, worth, limits, unit)
    if scale is not None and not instance.values:
        up, down = scale
        lower_prices = [price * down // up for price in prices]
        lower_worth = [value * down // up for value in worth]
        scaled = _lagrangian(instance, wanted, lower_prices, lower_worth, limits.low, high, unit)
        best = max(best, -(-scaled // unit))
    return max(0, best)


def _lagrangian(
    instance: Instance,
    wanted: Sequence[int],
    prices: Sequence[int],
    worth: Sequence[int],
    low: Sequence[int],
    high: Sequence[int],
    unit: int,
) -> int:
    total: int = sum(map(mul, wanted, prices))
    for bar, value, least, most in zip(instance.bars, worth, low, high, strict=True):
        reduced = bar.price * unit - value
        total += reduced * (least if reduced > 0 else max(least, most))
    return total


def _overpaid(instance: Instance, worth: Sequence[int], limits: StockLimits, unit: int) -> tuple[int, int] | None:
    """By which factor (up, down) the unlimited bars are overpaid at most; None if by nothing."""
    factor: tuple[int, int] | None = None
    for bar, value, most in zip(instance.bars, worth, limits.high, strict=True):
        charge = bar.price * unit
        if (
            most is None
            and charge > 0
            and value > charge
            and (factor is None or value * factor[1] > factor[0] * charge)
        ):
            factor = (value, charge)
    return factor


def length_bound(instance: Instance) -> int:
    """The least that the wanted room can cost at the cheapest price per room, in whole steps of cost.

    >>> from estimator.cutting.records import CuttingProblem, Demand, Stock
    >>> from estimator.cutting.instance import instance_of
    >>> length_bound(instance_of(CuttingProblem((Stock("R", 1000, 7),), (Demand(400, 5),))))
    21
    """
    if instance.values:
        return 0
    room = sum(map(mul, instance.sizes, instance.wanted))
    best: tuple[int, int] | None = None
    for bar in instance.bars:
        if bar.room > 0 and bar.available != 0 and (best is None or bar.price * best[1] < best[0] * bar.room):
            best = (bar.price, bar.room)
    if best is None:
        return 0
    return round_up(-(-room * best[0] // best[1]), instance.step())
