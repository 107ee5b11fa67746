"""What changed between two revisions: inputs, counts, lines, totals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any, TypeAlias

from estimator.money import Money
from estimator.pricing.records import PricedLine, Totals
from estimator.service.quoting.stored.quotes import WholeQuote

Document: TypeAlias = Any
"""A value of a JSON document."""

COUNTED = ("modules", "row_segments", "column_segments", "runs", "run_length", "attachments", "mid_clamps",
           "end_clamps", "pieces", "cuts", "splices", "expansion_splices", "arrays", "roofs", "power")  # fmt: skip

CHOICES_OF_COSTS = ("margin",)
"""Choices that only roles that see costs are told."""
TOTALS_OF_COSTS = ("cost", "margin", "margin_rate")


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs: ``None`` where one of the two does not have it."""

    place: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class LineChanged:
    """A part whose line differs."""

    part: str
    description: str
    before: PricedLine | None
    after: PricedLine | None


@dataclass(frozen=True, slots=True)
class Differences:
    """All changes from one revision to another."""

    inputs: tuple[Difference, ...]
    choices: tuple[Difference, ...]
    edition: tuple[Difference, ...]
    counts: tuple[Difference, ...]
    lines: tuple[LineChanged, ...]
    totals: tuple[Difference, ...]


def differences(before: WholeQuote, after: WholeQuote, *, costs: bool) -> Differences:
    """What changed from ``before`` to ``after``, in the order a reader asks; costs only with ``costs``."""
    old, new = before.offer.estimate, after.offer.estimate
    return Differences(
        inputs=tuple(_changes("", before.card.job_document, after.card.job_document)),
        choices=tuple(
            each
            for each in _changes("", before.card.choices, after.card.choices)
            if costs or each.place[1:] not in CHOICES_OF_COSTS
        ),
        edition=tuple(
            Difference(f"/{name}", str(getattr(old.provenance, name)), str(getattr(new.provenance, name)))
            for name in ("pricebook", "edition", "sha256", "engine", "priced_on", "valid_until")
            if getattr(old.provenance, name) != getattr(new.provenance, name)
        ),
        counts=tuple(
            Difference(f"/{name}", getattr(old.counts.counts, name), getattr(new.counts.counts, name))
            for name in COUNTED
            if getattr(old.counts.counts, name) != getattr(new.counts.counts, name)
        ),
        lines=tuple(_lines(old.bill.lines, new.bill.lines, costs)),
        totals=tuple(
            each for each in _totals(old.bill.totals, new.bill.totals) if costs or each.place[1:] not in TOTALS_OF_COSTS
        ),
    )


def _changes(place: str, before: Document, after: Document) -> Iterator[Difference]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for name in sorted({*before, *after}):
            inner = name.replace("~", "~0").replace("/", "~1")
            yield from _changes(f"{place}/{inner}", before.get(name), after.get(name))
    elif isinstance(before, list) and isinstance(after, list) and max(len(before), len(after)) <= 2_000:
        for at in range(max(len(before), len(after))):
            old = before[at] if at < len(before) else None
            new = after[at] if at < len(after) else None
            yield from _changes(f"{place}/{at}", old, new)
    elif before != after:
        yield Difference(place, before, after)


def _lines(before: tuple[PricedLine, ...], after: tuple[PricedLine, ...], costs: bool) -> Iterator[LineChanged]:
    old = {each.line.part: each for each in before}
    new = {each.line.part: each for each in after}
    for part in dict.fromkeys([*old, *new]):
        one, other = old.get(part), new.get(part)
        if one is None or other is None or _shown(one, costs) != _shown(other, costs):
            known = other or one
            yield LineChanged(part, known.line.description if known else "", one, other)


def _shown(line: PricedLine, costs: bool) -> tuple[Any, ...]:
    shown = line.line.net, line.line.ordered, line.unit_price, line.discount, line.price
    return (*shown, line.unit_cost, line.cost) if costs else shown


def _totals(before: Totals, after: Totals) -> Iterator[Difference]:
    for each in fields(before):
        old, new = getattr(before, each.name), getattr(after, each.name)
        if old != new:
            yield Difference(f"/{each.name}", _plain(old), _plain(new))


def _plain(value: object) -> str:
    return str(value.amount) if isinstance(value, Money) else str(value)
