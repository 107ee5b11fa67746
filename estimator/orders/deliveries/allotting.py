"""What of an order's line goes to which site: quotes by site and day, the earliest first, and each one's pieces.

Stock serves the earliest; what rounding to packs adds goes with the last that takes the part, so that all sum up to
what is ordered and what stock gives. Bars cut for several quotes together go with the earliest of them. Of a change of
an order the differences are allotted. Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from estimator.job import Address
from estimator.orders.records import OrderLine, QuoteShare, QuoteSite

Groups = Sequence[Sequence[QuoteSite]]


@dataclass(frozen=True, slots=True)
class Allotted:
    """Pieces for one site and day: required, from the house's stock, sent by the supplier."""

    required: int
    from_stock: int
    sent: int


def site_groups(sites: Sequence[QuoteSite]) -> tuple[tuple[QuoteSite, ...], ...]:
    """The quotes of one site and day together, the earliest day first, those without a day last."""
    groups: dict[tuple[Address, date | None], list[QuoteSite]] = {}
    for site in sorted(dict.fromkeys(sites), key=lambda site: site.needed_on or date.max):
        groups.setdefault((site.address, site.needed_on), []).append(site)
    return tuple(tuple(group) for group in groups.values())


def allotted(line: OrderLine, groups: Groups) -> tuple[Allotted, ...]:
    """A line's pieces for each group, in their order."""
    if line.before is not None or line.stock_before:
        return _differences(line, groups)
    return allot(line.shares, line.from_stock, line.ordered, groups)


def allot(shares: Sequence[QuoteShare], from_stock: int, ordered: int, groups: Groups) -> tuple[Allotted, ...]:
    """What each group gets of so many ordered and so many from stock."""
    wanted = _wanted(shares, groups)
    surplus = ordered - (sum(wanted) - from_stock)
    takers = [at for at, count in enumerate(wanted) if count]
    found, stock = [], from_stock
    for at, required in enumerate(wanted):
        own = min(stock, required)
        stock -= own
        more = surplus if takers and at == takers[-1] else 0
        found.append(Allotted(required, own, required - own + more))
    return tuple(found)


def first_day(pieces: Sequence[Allotted], groups: Groups) -> date | None:
    """The earliest day on which a group needs what is sent; None where no day is known."""
    days = (group[0].needed_on for each, group in zip(pieces, groups, strict=True) if each.sent > 0)
    return min((day for day in days if day is not None), default=None)


def _differences(line: OrderLine, groups: Groups) -> tuple[Allotted, ...]:
    """Each group's difference; what packs add or keep goes with the last group that has one.

    What stock gives more serves the earliest that wants more; what it gets back comes from those that want less.
    """
    wanted = _wanted(line.share_changes, groups)
    served = [at for at, count in enumerate(_wanted(line.shares, groups)) if count]
    takers = [at for at, count in enumerate(wanted) if count] or served or [len(groups) - 1]
    stock = line.from_stock - line.stock_before
    rest = line.ordered - (sum(wanted) - stock)
    found = []
    for at, count in enumerate(wanted):
        own = stock if at == takers[-1] else max(0, min(stock, count)) if stock > 0 else min(0, max(stock, count))
        stock -= own
        found.append(Allotted(count, own, count - own + (rest if at == takers[-1] else 0)))
    return tuple(found)


def _wanted(shares: Sequence[QuoteShare], groups: Groups) -> list[int]:
    wanted = [0] * len(groups)
    for share in shares:
        wanted[_group_of(str(share.quote), groups)] += share.required
    return wanted


def _group_of(quote: str, groups: Groups) -> int:
    """The group of a quote; of several that are cut together, the earliest."""
    for at, group in enumerate(groups):
        if any(site.quote == quote for site in group):
            return at
    named = [at for at, group in enumerate(groups) for site in group if site.quote in quote]
    return min(named, default=0)
