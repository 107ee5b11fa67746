"""What every module, rail and attachment of a drawn roof is, where, and how far it is used: told beside the picture.

Facts are short lists, one kind after another, so that a page can carry them: ``words`` says how each is read.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.attachment.records import Run
from estimator.documents.drawing.plan import Box, Drawn, attachment_points, rail_line
from estimator.documents.language.texts import Reader
from estimator.layout.records import ArrayLayout
from estimator.loads.zoning.zone_map import Piece, ZoneMap, zone_at

Facts = dict[str, Any]
Spot = tuple[float, float, float | None]
EVERYWHERE: Box = (float("-inf"), float("-inf"), float("inf"), float("inf"))


@dataclass(frozen=True, slots=True)
class _Named:
    """A box or point of the drawing with its lines of text."""

    box: Box
    told: tuple[str, ...]


def facts_of(drawn: Drawn, roof: int, reader: Reader, window: Box | None = None) -> Facts:
    """What stands on one roof (within a window of it): kinds with their boxes, and the lines told of each.

    Words are made only of what stands within: a part of a large roof takes no longer than a small roof.
    """
    window = window or EVERYWHERE
    runs = [run for run in drawn.setting_out.runs if run.roof == roof and _meets(rail_line(run), window)]
    return {
        "modules": _packed(_modules(drawn, roof, reader, window)),
        "rails": _packed(_rails(drawn, runs, reader)),
        "attachments": _packed(_attachments(drawn, roof, runs, reader, window)),
    }


def _packed(found: Iterator[_Named]) -> list[list[Any]]:
    return [[*(round(number, 1) for number in each.box), *each.told] for each in found]


def _modules(drawn: Drawn, roof: int, reader: Reader, window: Box) -> Iterator[_Named]:
    t, formats = reader.texts.t, reader.formats
    used = _uses(drawn, roof)
    for laid in drawn.layout.roofs[roof].arrays:
        array = drawn.job.roofs[roof].arrays[laid.array]
        cells = [cell for cell in _cells(laid, array.left_of) if _meets(cell[2], window)]
        zones = _zones(drawn, roof, [box for _, _, box in cells])
        uses = _worst_in([box for _, _, box in cells], used[laid.array])
        size = f"{formats.length(laid.module_x_mm)} × {formats.length(laid.module_y_mm)}"
        for (row, column, box), zone, use in zip(cells, zones, uses, strict=True):
            place = t("Module, array {array}, row {row}, column {column}", array=laid.name, row=row, column=column)
            where = t(
                "{size}, lower left corner at {x} along the eave, {y} up the slope",
                size=size, x=formats.length(box[0]), y=formats.length(box[1]),
            )  # fmt: skip
            yield _Named(box, (place, where, *_zone_and_use(zone, use, reader)))


def _rails(drawn: Drawn, runs: Sequence[Run], reader: Reader) -> Iterator[_Named]:
    t, formats = reader.texts.t, reader.formats
    for run in runs:
        told = t(
            "{length} long, {count} attachments", length=formats.length(run.length_mm),
            count=formats.count(len(run.attachments_mm)),
        )  # fmt: skip
        zones = ", ".join(dict.fromkeys(reader.zone(zone) for zone in run.zones))
        worst = max(run.utilisations, default=None)
        lines = [t("Rail, {place}", place=reader.say(run.place)), told]
        lines += [t("load zones {zones}", zones=zones)] if zones else []
        lines += [t("its attachments are used up to {use}", use=_percent(worst, reader))] if worst is not None else []
        yield _Named(rail_line(run), tuple(lines))


def _attachments(drawn: Drawn, roof: int, runs: Sequence[Run], reader: Reader, window: Box) -> Iterator[_Named]:
    t, length = reader.texts.t, reader.formats.length
    for run in runs:
        place = reader.say(run.place)
        for at, (x, y) in enumerate(attachment_points(run)):
            if not _meets((x, y, x, y), window):
                continue
            zone = run.zones[at] if at < len(run.zones) else ""
            use = run.utilisations[at] if at < len(run.utilisations) else None
            told = t("Attachment {number}, {place}", number=at + 1, place=place)
            where = t("at {x} along the eave, {y} up the slope", x=length(x), y=length(y))
            yield _Named((x, y, x, y), (told, where, *_zone_and_use(zone, use, reader)))
    for seat in drawn.setting_out.seats:
        if seat.roof == roof and _meets((seat.x, seat.y, seat.x, seat.y), window):
            name = drawn.job.roofs[roof].arrays[seat.array].name
            told = t(
                "Attachment, array {array}, seam {seam}, column {column}",
                array=name, seam=seat.seam + 1, column=seat.column + 1,
            )  # fmt: skip
            where = t("at {x} along the eave, {y} up the slope", x=length(seat.x), y=length(seat.y))
            lines = _zone_and_use(seat.zone, seat.utilisation, reader)
            yield _Named((seat.x, seat.y, seat.x, seat.y), (told, where, *lines))


def _cells(laid: ArrayLayout, left_of: Any) -> Iterator[tuple[int, int, Box]]:  # noqa: ANN401
    for segment in laid.row_segments:
        for column in range(segment.first, segment.last + 1):
            left = left_of(column, laid.module_x_mm)
            box = (left, segment.y0, left + laid.module_x_mm, segment.y0 + laid.module_y_mm)
            yield segment.line + 1, column + 1, box


def _zones(drawn: Drawn, roof: int, boxes: Sequence[Box]) -> Sequence[str]:
    """The zone at every module's middle; nothing where there are no zones."""
    loads = drawn.loads.roofs[roof]
    pieces = [Piece(zone.zone, polygon) for zone in loads.sheet.zones for polygon in zone.polygons]
    if not pieces or not boxes:
        return [""] * len(boxes)
    outline = ((0.0, 0.0), (1e9, 0.0), (1e9, 1e9), (0.0, 1e9))
    found = ZoneMap(outline, tuple(pieces))
    at = zone_at(found, [(a + c) / 2 for a, _, c, _ in boxes], [(b + d) / 2 for _, b, _, d in boxes])
    return [found.zones[index] if index >= 0 else "" for index in at]


def _uses(drawn: Drawn, roof: int) -> dict[int, list[Spot]]:
    """The attachments of every array with their use."""
    used: dict[int, list[Spot]] = defaultdict(list)
    for run in drawn.setting_out.runs:
        if run.roof == roof:
            for at, (x, y) in enumerate(attachment_points(run)):
                used[run.array].append((x, y, run.utilisations[at] if at < len(run.utilisations) else None))
    for seat in drawn.setting_out.seats:
        if seat.roof == roof:
            used[seat.array].append((seat.x, seat.y, seat.utilisation))
    return used


def _worst_in(boxes: Sequence[Box], spots: Sequence[Spot]) -> list[float | None]:
    """The largest use of an attachment under (or at the edge of) each module."""
    rows: dict[float, list[Spot]] = defaultdict(list)
    for spot in spots:
        rows[round(spot[1], 1)].append(spot)
    heights = sorted(rows)
    worst: list[float | None] = []
    for x0, y0, x1, y1 in boxes:
        under = [
            use
            for y in heights
            if y0 - 60 <= y <= y1 + 60
            for x, _, use in rows[y]
            if use is not None and x0 - 1 <= x <= x1 + 1
        ]
        worst.append(max(under, default=None))
    return worst


def _zone_and_use(zone: str, use: float | None, reader: Reader) -> tuple[str, ...]:
    t = reader.texts.t
    told = [t("load zone {zone}", zone=reader.zone(zone))] if zone else []
    return (*told, *([t("attachment used to {use}", use=_percent(use, reader))] if use is not None else []))


def _percent(use: float | None, reader: Reader) -> str:
    return reader.formats.percent(Decimal(str(round(use or 0.0, 3))))


def _meets(box: Box, window: Box) -> bool:
    return box[0] <= window[2] and box[2] >= window[0] and box[1] <= window[3] and box[3] >= window[1]
