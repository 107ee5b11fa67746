"""A merged order divided into deliveries: one for each site and day, the earliest first.

What each quote requires goes to its site; ``allotting.py`` says what becomes of stock, packs and common bars.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from estimator.job import Address
from estimator.money import zero
from estimator.orders.deliveries.allotting import Groups, allotted, site_groups
from estimator.orders.deliveries.sites import address_lines
from estimator.orders.records import OrderLine, OrderList, QuoteSite
from estimator.sentences import Sentence


@dataclass(frozen=True, slots=True)
class Pick:
    """So many of one part for one delivery: ``sent`` by the supplier (none where stock gives it all), ``from_stock``.

    In a change of an order all are differences. ``order_by`` is the last day to order what is sent for the
    site's day; ``sawn`` what off-cuts from the yard are cut into first.
    """

    part: str
    supplier: str
    description: str
    unit: str
    required: int
    from_stock: int
    sent: int
    order_by: date | None = None
    sawn: tuple[Sentence, ...] = ()


@dataclass(frozen=True, slots=True)
class Delivery:
    """What goes to one site by one day: its quotes and jobs, what is picked, and each supplier's part of it.

    ``lists`` are the suppliers' lists with this delivery's quantities, for packing; they carry no prices. ``notes`` are
    those of its jobs, for whoever works at the site.
    """

    number: int
    address: Address
    needed_on: date | None
    quotes: tuple[str, ...]
    jobs: tuple[str, ...]
    picks: tuple[Pick, ...]
    lists: tuple[OrderList, ...]
    notes: tuple[str, ...] = ()

    @property
    def order_by(self) -> date | None:
        """The last day on which all of it can still be ordered in time; None without a day of need."""
        return min((pick.order_by for pick in self.picks if pick.order_by), default=None)


def deliveries_of(lists: Sequence[OrderList]) -> tuple[Delivery, ...]:
    """Every delivery of an order that brings or changes anything, numbered from 1 over all sites and days.

    None of an order that was kept before sites were.
    """
    every = site_groups([site for each in lists for site in each.sites])
    if not every:
        return ()
    parted = [(order, [[*_parted(line, every)] for line in order.lines]) for order in lists]
    found = []
    for at, group in enumerate(every):
        own = [(order, [line[at] for line in lines if _is_part(line[at])]) for order, lines in parted]
        if any(lines for _, lines in own):
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
        notes=notes_of(group),
    )


def notes_of(sites: Sequence[QuoteSite]) -> tuple[str, ...]:
    """The notes of the jobs, line by line, under the job's name where there are several jobs."""
    several = len({site.job for site in sites}) > 1
    told = dict.fromkeys((site.job, line.strip()) for site in sites for line in site.notes.splitlines() if line.strip())
    return tuple(f"{job}: {line}" if several and job else line for job, line in told)


def _pick(line: OrderLine, order: OrderList) -> Pick:
    return Pick(
        part=line.part,
        supplier=order.supplier.name,
        description=line.description,
        unit=line.unit,
        required=line.required,
        from_stock=line.from_stock,
        sent=line.ordered,
        order_by=line.order_by if line.ordered > 0 else None,
        sawn=line.sawn,
    )


def _list_of(order: OrderList, lines: Sequence[OrderLine], group: Sequence[QuoteSite]) -> OrderList:
    """A supplier's list as this delivery has it: full packs, and what is left of them loose."""
    first, dates = group[0], [line.order_by for line in lines if line.order_by and line.ordered > 0]
    return replace(
        order,
        lines=tuple(part for line in lines for part in _packed(line)),
        total=zero(order.currency),
        mass_kg=sum(line.mass_kg for line in lines),
        needed_on=first.needed_on,
        order_by=min(dates, default=None),
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


def _is_part(line: OrderLine) -> bool:
    return bool(line.required or line.ordered or line.from_stock)


def _parted(line: OrderLine, groups: Groups) -> Iterator[OrderLine]:
    """A line as each delivery has it, in their order."""
    lead = timedelta(days=line.lead_time_days)
    for group, own in zip(groups, allotted(line, groups), strict=True):
        day = group[0].needed_on
        yield replace(
            line,
            required=own.required,
            from_stock=own.from_stock,
            ordered=own.sent,
            mass_kg=line.unit_mass_kg * own.sent,
            order_by=day - lead if day else None,
        )
