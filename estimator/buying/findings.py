"""Whether what is ordered is enough, and not far too much: the estimator's own quantities against the counts.

Source: common practice, no source; the bound of what is far too much is the book's, else three times what is required
and one pack more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from estimator.buying.records import BuyLine
from estimator.errors import Finding
from estimator.job import LineChange
from estimator.money import whole_below
from estimator.places import Place
from estimator.pricebook import Book, Part
from estimator.sentences import Figure, figure, say
from estimator.takeoff.records import NetLine

BELOW_REQUIRED = "ordered_below_required"
OUT_OF_PROPORTION = "ordered_out_of_proportion"


def quantity_findings(
    net_lines: Sequence[NetLine], bought: Sequence[BuyLine], book: Book, changes: Sequence[LineChange]
) -> tuple[Finding, ...]:
    """What an estimator's changes of lines make of the order.

    Args:
        net_lines: what the counts require, without spares.
        bought: what is ordered, the changes carried out.
        book: its parts, packs and the bound of what is far too much.
        changes: the estimator's own.

    An order below the counts and one far out of proportion are errors; a pack that would have to be split is a warning,
    and so is a change of a line that the quote does not have.
    """
    required = {line.part: line.net for line in net_lines if line.net > 0}
    ordered = {line.part: line for line in bought}
    short = [
        _short(book.parts[part], ordered[part].ordered if part in ordered else 0, net)
        for part, net in required.items()
        if net > (ordered[part].ordered if part in ordered else 0)
    ]
    changed = [finding for change in changes for finding in _of_change(change, ordered, required, book)]
    return (*short, *changed)


def _of_change(change: LineChange, ordered: dict[str, BuyLine], required: dict[str, int], book: Book) -> list[Finding]:
    part, line = book.parts[change.part], ordered.get(change.part)
    if line is None or change.ordered is None:
        lost = change.part not in required and line is None and change.ordered is None
        return [_without_line(part)] if lost else []
    return [*_out_of_proportion(line, part, ordered.values(), book), *_split_pack(line, part)]


def _short(part: Part, ordered: int, net: int) -> Finding:
    place = Place(part=part.part)
    message = say(
        "{part}: {ordered} ordered, the counts require {required}",
        part=place,
        ordered=_count(ordered),
        required=_count(net),
    )
    return Finding(BELOW_REQUIRED, "error", message, place, float(ordered), float(net))


def _out_of_proportion(line: BuyLine, part: Part, others: Iterable[BuyLine], book: Book) -> Iterator[Finding]:
    """What the counts ask of the part; for a part they do not ask for, the most they ask of any."""
    counted = line.required if line.shares else max((each.required for each in others if each.shares), default=0)
    factor = book.defaults.order_factor_max
    most = whole_below(factor * counted) + part.pack_size
    if line.ordered > most and (line.shares or counted):
        place = Place(part=part.part)
        message = say(
            "{part}: {ordered} ordered, at most {most} would be in proportion ({factor} × {required} and one pack)",
            part=place,
            ordered=_count(line.ordered),
            most=_count(most),
            factor=figure(factor),
            required=_count(counted),
        )
        yield Finding(OUT_OF_PROPORTION, "error", message, place, float(line.ordered), float(most))


def _split_pack(line: BuyLine, part: Part) -> Iterator[Finding]:
    whole = line.packs * part.pack_size
    if line.ordered != whole:
        place = Place(part=part.part)
        message = say(
            "{part}: {ordered} ordered by hand split a pack of {size}; whole packs are {whole}",
            part=place,
            ordered=_count(line.ordered),
            size=_count(part.pack_size),
            whole=_count(whole),
        )
        yield Finding("pack_split", "warning", message, place, float(line.ordered), float(whole))


def _without_line(part: Part) -> Finding:
    place = Place(part=part.part)
    message = say("{part}: its line was changed, but this quote has no line of it", part=place)
    return Finding("change_without_line", "warning", message, place)


def _count(number: int) -> Figure:
    return figure(number, ".0f")
