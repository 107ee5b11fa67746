"""From net counts to what is ordered: spares, then packs; and the estimator's own changes to a line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.buying.records import BuyLine
from estimator.buying.spares import spare_rule, spare_sentence, spares_for
from estimator.errors import ChoiceRefused, Fault
from estimator.job import LineChange
from estimator.pricebook import Book, Part
from estimator.sentences import Figure, Sentence, figure, joined, noted, say
from estimator.takeoff.bases import BASES
from estimator.takeoff.records import NetLine, RuleShare


def buy(net_lines: Iterable[NetLine], book: Book, changes: Sequence[LineChange] = ()) -> tuple[BuyLine, ...]:
    """What is ordered for the net lines, spares and packs added, then the estimator's changes carried out.

    Refuses (ChoiceRefused) a change that names a part the book does not have.
    """
    lines = [buy_line(line, book) for line in net_lines if line.net > 0]
    return _changed(lines, book, changes)


def buy_line(line: NetLine, book: Book) -> BuyLine:
    """One net line with spares and packs.

    Source: required = net + spare; packs = ceil(required / pack size); ordered = packs * pack size.
    """
    part = book.parts[line.part]
    rule = spare_rule(part, book)
    spare = spares_for(line.net, rule)
    required = line.net + spare
    packs = -(-required // part.pack_size)
    ordered = packs * part.pack_size
    why = [*(_asked(share) for share in line.shares), spare_sentence(line.net, spare, rule)]
    if part.pack_size > 1:
        one = say("1 pack of {size}", size=part.pack_size)
        why.append(one if packs == 1 else say("{count} packs of {size}", count=packs, size=part.pack_size))
    return _line(part, line.role, line.shares, (line.net, spare, ordered), tuple(why))


def line_mass(part: Part, ordered: int) -> Decimal:
    """Exact mass of a line in kg, from the decimal text of the part's unit mass."""
    return Decimal(repr(part.unit_mass_kg)) * ordered


def _line(
    part: Part, role: str, shares: tuple[RuleShare, ...], counts: tuple[int, int, int], why: tuple[Sentence, ...]
) -> BuyLine:
    net, spare, ordered = counts
    return BuyLine(
        part=part.part,
        role=role,
        description=part.description,
        unit=part.unit,
        supplier=part.supplier,
        net=net,
        spare=spare,
        required=net + spare,
        pack_size=part.pack_size,
        packs=-(-ordered // part.pack_size),
        ordered=ordered,
        unit_mass_kg=part.unit_mass_kg,
        mass_kg=float(line_mass(part, ordered)),
        shares=shares,
        why=why,
    )


def _asked(share: RuleShare) -> Sentence:
    factors = joined(" × ", (joined(" ", (_plain(share.basis), BASES[share.for_each])), _plain(share.count)))
    if share.per != 1:
        factors = joined(" / ", (factors, str(share.per)))
    if share.note:
        factors = noted(factors, share.note)
    return joined(": ", (_plain(share.asked), factors))


def _plain(number: object) -> Figure:
    value = float(number)  # type: ignore[arg-type]
    return figure(value, "g" if abs(value) < 1e5 and value != int(value) else ".0f")


def _changed(lines: list[BuyLine], book: Book, changes: Sequence[LineChange]) -> tuple[BuyLine, ...]:
    unknown = [
        Fault(
            f"/line_changes/{i}/part",
            say("part {part} is not in pricebook {book}", part=repr(change.part), book=book.id),
        )
        for i, change in enumerate(changes)
        if change.part not in book.parts
    ]
    if unknown:
        raise ChoiceRefused(say("a change names a part that the pricebook does not have"), unknown)
    by_part = {line.part: line for line in lines}
    for change in changes:
        if change.struck:
            by_part.pop(change.part, None)
        elif change.ordered is not None:
            by_part[change.part] = _with_ordered(by_part.get(change.part), book.parts[change.part], change)
    return tuple(by_part.values())


def _with_ordered(line: BuyLine | None, part: Part, change: LineChange) -> BuyLine:
    assert change.ordered is not None
    if line is None:
        added = say("{count} added by the estimator", count=change.ordered)
        return _line(part, part.role, (), (change.ordered, 0, change.ordered), (_with_reason(added, change),))
    said = say(
        "{count} ordered instead of {before}, changed by the estimator", count=change.ordered, before=line.ordered
    )
    return replace(
        line,
        ordered=change.ordered,
        packs=-(-change.ordered // part.pack_size),
        mass_kg=float(line_mass(part, change.ordered)),
        why=(*line.why, _with_reason(said, change)),
    )


def _with_reason(said: Sentence, change: LineChange) -> Sentence:
    return joined(": ", (said, change.reason)) if change.reason else said
