"""The packages of an order: packs as cartons, bars bundled by length, parts sold singly together in mixed cartons.

What the book does not know (outer widths and heights, the tare of one package) stays unknown: None, never a guess.
Source: common practice, no source; every assumption is said in ``Packing.assumptions``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from estimator.errors import Fault, Refused
from estimator.orders.records import OrderLine, OrderList
from estimator.sentences import figure, say

PackageKind = Literal["carton", "bundle"]
CODES: dict[PackageKind, str] = {"carton": "CT", "bundle": "BE"}
"""Source: UN/ECE Recommendation 21, package type codes (CT carton, BE bundle)."""
_GRAM = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class PackingRules:
    """How packages are formed; masses in kg, lengths in mm.

    A mixed carton holds up to 25 kg (the reference mass of EN 1005-2 for lifting by one person, from memory); a bundle
    up to 500 kg and from 3 m on a long item (common practice, no source).
    """

    most_carton_kg: float = 25.0
    most_bundle_kg: float = 500.0
    long_from_mm: float = 3000.0


@dataclass(frozen=True, slots=True)
class Content:
    """So many of one part in a package."""

    part: str
    supplier_part: str
    description: str
    unit: str
    count: int


@dataclass(frozen=True, slots=True)
class PackageGroup:
    """``count`` packages alike, marked ``first`` to ``first + count - 1`` of the shipment; masses of one package.

    ``length_mm`` is known for bundles of bars only. ``heavy``: one person may not lift it alone.
    """

    first: int
    count: int
    kind: PackageKind
    contents: tuple[Content, ...]
    net_kg: float
    gross_kg: float | None
    length_mm: float | None
    long_item: bool
    heavy: bool

    @property
    def last(self) -> int:
        """The mark of the last one."""
        return self.first + self.count - 1


@dataclass(frozen=True, slots=True)
class Packing:
    """Every package of one supplier's shipment, sums, the longest piece, and what was assumed.

    Assumptions are codes with the numbers they hold; the documents say them in the reader's language.
    """

    groups: tuple[PackageGroup, ...]
    packages: int
    net_kg: float
    gross_kg: float | None
    longest_mm: float | None
    rules: PackingRules
    packaging_share: float | None


def pack(order: OrderList, rules: PackingRules | None = None) -> Packing:
    """The packages of one supplier's order: what it brings, not what comes from stock or goes back.

    Gross mass is net mass with the book's packaging share on top, to the gram; without a share it is unknown.
    Refuses (Refused) rules that allow nothing.
    """
    rules = rules or PackingRules()
    _check(rules)
    share, lines = order.packaging_share, order.arriving
    drafts = [*_bundles(lines, rules), *_cartons(lines), *_mixed(lines, rules)]
    groups, mark = [], 1
    for draft in drafts:
        groups.append(_group(draft, mark, share, rules))
        mark += draft.count
    net = sum((_exact(line.unit_mass_kg) * line.ordered for line in lines), Decimal(0))
    lengths = [draft.length_mm for draft in drafts if draft.length_mm is not None]
    return Packing(
        groups=tuple(groups),
        packages=mark - 1,
        net_kg=_grams(net),
        gross_kg=_gross(net, share),
        longest_mm=max(lengths, default=None),
        rules=rules,
        packaging_share=share,
    )


@dataclass(frozen=True, slots=True)
class _Draft:
    count: int
    kind: PackageKind
    contents: tuple[tuple[OrderLine, int], ...]
    length_mm: float | None = None

    @property
    def net(self) -> Decimal:
        return sum((_exact(line.unit_mass_kg) * count for line, count in self.contents), Decimal(0))


def _bundles(lines: Sequence[OrderLine], rules: PackingRules) -> Iterator[_Draft]:
    """Bars of one part, the longest first: as few bundles as the mass allows, filled evenly, the fuller ones first."""
    bars = [line for line in lines if line.length_mm is not None]
    for line in sorted(bars, key=lambda each: (-(each.length_mm or 0.0), each.part)):
        most = max(1, int(Decimal(repr(rules.most_bundle_kg)) // _exact(line.unit_mass_kg))) if line.unit_mass_kg else 0
        bundles = -(-line.ordered // most) if most else 1
        each, fuller = divmod(line.ordered, bundles)
        for count, held in ((fuller, each + 1), (bundles - fuller, each)):
            if count:
                yield _Draft(count, "bundle", ((line, held),), line.length_mm)


def _cartons(lines: Sequence[OrderLine]) -> Iterator[_Draft]:
    """A pack of a part is a carton."""
    for line in lines:
        if line.length_mm is None and line.pack_size > 1:
            yield _Draft(line.packs, "carton", ((line, line.pack_size),))


def _mixed(lines: Sequence[OrderLine], rules: PackingRules) -> Iterator[_Draft]:
    """Parts sold singly, in the order of the lines, into cartons up to the greatest mass; a heavier part alone."""
    held: list[tuple[OrderLine, int]] = []
    room = most = Decimal(repr(rules.most_carton_kg))
    for line in lines:
        left = line.ordered if line.length_mm is None and line.pack_size == 1 else 0
        mass = _exact(line.unit_mass_kg)
        while left:
            fits = min(left, int(max(room, Decimal(0)) // mass)) if mass else left * (room >= 0)
            if not fits and held:
                yield _Draft(1, "carton", tuple(held))
                held, room = [], most
                continue
            fits = max(1, fits)
            held.append((line, fits))
            left, room = left - fits, room - fits * mass
    if held:
        yield _Draft(1, "carton", tuple(held))


def _group(draft: _Draft, mark: int, share: float | None, rules: PackingRules) -> PackageGroup:
    contents = tuple(
        Content(line.part, line.supplier_part, line.description, line.unit, count) for line, count in draft.contents
    )
    gross = _gross(draft.net, share)
    weighs = gross if gross is not None else _grams(draft.net)
    return PackageGroup(
        first=mark,
        count=draft.count,
        kind=draft.kind,
        contents=contents,
        net_kg=_grams(draft.net),
        gross_kg=gross,
        length_mm=draft.length_mm,
        long_item=draft.length_mm is not None and draft.length_mm >= rules.long_from_mm,
        heavy=weighs > rules.most_carton_kg,
    )


def _check(rules: PackingRules) -> None:
    values = {"most_carton_kg": rules.most_carton_kg, "most_bundle_kg": rules.most_bundle_kg}
    faults = [
        Fault(f"/{name}", say("{value} holds nothing", value=figure(value, "g", " kg", "mass")), say("more than 0"))
        for name, value in values.items()
        if value <= 0
    ]
    if faults:
        raise Refused(say("invalid packing rules"), faults)


def _exact(kg: float) -> Decimal:
    return Decimal(repr(kg))


def _gross(net: Decimal, share: float | None) -> float | None:
    return None if share is None else _grams(net * (1 + Decimal(repr(share))))


def _grams(kg: Decimal) -> float:
    return float(kg.quantize(_GRAM, ROUND_HALF_UP))
