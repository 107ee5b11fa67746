"""A merged order parted into deliveries: one for each site and day, the earliest first.

What each quote requires goes to its site. What comes from stock serves the earliest deliveries; what rounding to packs
adds goes with the last one that takes the part, so that the deliveries sum up to what is ordered and what stock gives.
Bars that are cut for several quotes together go with the earliest of them. Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from estimator.job import Address
from estimator.money import zero
from estimator.orders.delivery import address_lines
from estimator.orders.records import OrderLine, OrderList, QuoteSite


@dataclass(frozen=True, slots=True)
class Pick:
    """So many of one part for one delivery: ``sent`` by the supplier, ``from_stock`` by the house."""

    part: str
    supplier: str
    description: str
    unit: str
    required: int
    from_stock: int
    sent: int


@dataclass(frozen=True, slots=True)
class Delivery:
    """What goes to one site by one day: its quotes and jobs, what is picked, and each supplier's part of it.

    ``lists`` are the suppliers' lists with this delivery's quantities, for packing; they carry no prices.
    """

    number: int
    address: Address
    needed_on: date | None
    quotes: tuple[str, ...]
    jobs: tuple[str, ...]
    picks: tuple[Pick, ...]
    lists: tuple[OrderList, ...]


def deliveries_of(lists: Sequence[OrderList]) -> tuple[Delivery, ...]:
    """Every delivery of an order, numbered from 1; none of an order that was kept before sites were."""
    sites = dict.fromkeys(site for each in lists for site in each.sites)
    groups: dict[tuple[Address, date | None], list[QuoteSite]] = {}
    for site in sorted(sites, key=lambda site: site.needed_on or date.max):
        groups.setdefault((site.address, site.needed_on), []).append(site)
    every = tuple(groups.values())
    if not every:
        return ()
    parted = [(order, [[*_parted(line, every)] for line in order.lines]) for order in lists]
    found = []
    for at, group in enumerate(every):
        own = [
            (order, [line[at] for line in lines if line[at].required or line[at].ordered]) for order, lines in parted
        ]
        found.append(_delivery(at + 1, group, [(order, lines) for order, lines in own if lines]))
    return tuple(found)


def _delivery(
    number: int, group: Sequence[QuoteSite], own: Sequence[tuple[OrderList, Sequence[OrderLine]]]
) -> Delivery:
    first = group[0]
    sent = [(order, tuple(line for line in lines if line.ordered)) for order, lines in own]
    return Delivery(
        number=number,
        address=first.address,
        needed_on=first.needed_on,
        quotes=tuple(site.quote for site in group),
        jobs=tuple(dict.fromkeys(site.job for site in group)),
        picks=tuple(_pick(line, order) for order, lines in own for line in lines),
        lists=tuple(_list_of(order, lines, group) for order, lines in sent if lines),
    )


def _pick(line: OrderLine, order: OrderList) -> Pick:
    return Pick(
        part=line.part,
        supplier=order.supplier.name,
        description=line.description,
        unit=line.unit,
        required=line.required,
        from_stock=line.from_stock,
        sent=line.ordered,
    )


def _list_of(order: OrderList, lines: Sequence[OrderLine], group: Sequence[QuoteSite]) -> OrderList:
    """A supplier's list as this delivery has it: full packs, and what is left of them loose."""
    first = group[0]
    return replace(
        order,
        lines=tuple(part for line in lines for part in _packed(line)),
        total=zero(order.currency),
        mass_kg=sum(line.mass_kg for line in lines),
        needed_on=first.needed_on,
        ship_to=address_lines(first.address),
        country=first.address.country,
        ship_place=first.address,
        quotes=tuple(site.quote for site in group),
        sites=tuple(group),
    )


def _packed(line: OrderLine) -> Iterator[OrderLine]:
    packs, loose = divmod(line.ordered, line.pack_size)
    if packs:
        yield _of(line, packs * line.pack_size, line.pack_size)
    if loose:
        yield _of(line, loose, 1)


def _of(line: OrderLine, ordered: int, pack_size: int) -> OrderLine:
    mass = line.unit_mass_kg * ordered
    return replace(line, ordered=ordered, pack_size=pack_size, packs=ordered // pack_size, mass_kg=mass)


def _parted(line: OrderLine, groups: Sequence[Sequence[QuoteSite]]) -> Iterator[OrderLine]:
    """A line as each delivery has it, in their order."""
    wanted = [0] * len(groups)
    for share in line.shares:
        wanted[_group_of(str(share.quote), groups)] += share.required
    stock, takers = line.from_stock, [at for at, count in enumerate(wanted) if count]
    surplus = line.ordered - (line.required - line.from_stock)
    for at, required in enumerate(wanted):
        from_stock = min(stock, required)
        stock -= from_stock
        more = surplus if takers and at == takers[-1] else 0
        sent = required - from_stock + more
        yield replace(line, required=required, from_stock=from_stock, ordered=sent, mass_kg=line.unit_mass_kg * sent)


def _group_of(quote: str, groups: Sequence[Sequence[QuoteSite]]) -> int:
    """The delivery of a quote; of several that are cut together, the earliest."""
    for at, group in enumerate(groups):
        if any(site.quote == quote for site in group):
            return at
    named = [at for at, group in enumerate(groups) for site in group if site.quote in quote]
    return min(named, default=0)
