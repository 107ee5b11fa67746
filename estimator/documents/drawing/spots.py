"""Where on the drawing a place is: the box of an array, a module, a rail or an attachment that a check names."""

from __future__ import annotations

from collections.abc import Iterable

from estimator.attachment.records import Run
from estimator.documents.drawing.plan import Box, Drawn, attachment_points, rail_line
from estimator.layout.records import ArrayLayout
from estimator.places import Place


def spot_of(drawn: Drawn, place: Place) -> tuple[int, Box] | None:
    """The roof's number, and the box on it; nothing for a place that is on no roof."""
    for number, roof in enumerate(drawn.job.roofs):
        if roof.name == place.roof:
            whole = (0.0, 0.0, roof.eave_length_mm, roof.slope_length_mm)
            return number, _on_roof(drawn, number, place) or whole
    return None


def _on_roof(drawn: Drawn, number: int, place: Place) -> Box | None:
    if place.obstruction:
        found = [each for each in drawn.job.roofs[number].obstructions if each.name == place.obstruction]
        return _around((o.x_mm, o.y_mm, o.x_mm + o.width_mm, o.y_mm + o.height_mm) for o in found)
    arrays = [laid for laid in drawn.layout.roofs[number].arrays if laid.name == place.array]
    if not place.array or not arrays:
        return None
    exact = _attachment(drawn, number, arrays[0].array, place) or _run(drawn, number, arrays[0].array, place)
    return exact or _cells(drawn, number, arrays[0], place)


def _attachment(drawn: Drawn, roof: int, array: int, place: Place) -> Box | None:
    if place.attachment is None:
        return None
    for run in _runs(drawn, roof, array, place):
        points = attachment_points(run)
        if 0 < place.attachment <= len(points):
            x, y = points[place.attachment - 1]
            return x, y, x, y
    return None


def _run(drawn: Drawn, roof: int, array: int, place: Place) -> Box | None:
    if place.rail is None:
        return None
    return _around(rail_line(run) for run in _runs(drawn, roof, array, place))


def _runs(drawn: Drawn, roof: int, array: int, place: Place) -> list[Run]:
    """The runs that a place names, as far as it names them."""
    named = {
        name: value for name in ("row", "column", "section", "rail") if (value := getattr(place, name)) is not None
    }
    return [
        run
        for run in drawn.setting_out.runs
        if (run.roof, run.array) == (roof, array)
        and all(getattr(run.place, name) in (value, None) for name, value in named.items())
    ]


def _cells(drawn: Drawn, roof: int, laid: ArrayLayout, place: Place) -> Box | None:
    """The modules of the row and the column named; the whole array where none is."""
    array = drawn.job.roofs[roof].arrays[laid.array]
    boxes = []
    for segment in laid.row_segments:
        if place.row is None or segment.line + 1 == place.row:
            for column in range(segment.first, segment.last + 1):
                if place.column is None or column + 1 == place.column:
                    left = array.left_of(column, laid.module_x_mm)
                    boxes.append((left, segment.y0, left + laid.module_x_mm, segment.y1))
    return _around(boxes)


def _around(boxes: Iterable[Box]) -> Box | None:
    found = list(boxes)
    if not found:
        return None
    return (
        min(box[0] for box in found), min(box[1] for box in found),
        max(box[2] for box in found), max(box[3] for box in found),
    )  # fmt: skip
