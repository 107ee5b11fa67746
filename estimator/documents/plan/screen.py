"""A roof for the screen: layers without colours (the page's style sheet has them), lines that keep their width.

A large roof is drawn by rows, without single modules and attachments, until a part of it is asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from estimator.documents.drawing.plan import Box, Point, RoofPlan
from estimator.documents.drawing.words import described, roof_title
from estimator.documents.fonts.faces import drawable
from estimator.documents.language.texts import Reader, mark

MOST_FINE = 3_000
"""A roof with more modules is drawn by rows at first."""
MOST_IN_WINDOW = 4_000
LAYERS: dict[str, str] = {
    "keep-clear": mark("strips kept clear"),
    "modules": mark("modules"),
    "obstructions": mark("obstructions"),
    "ribs": mark("ribs"),
    "zones": mark("load zones"),
    "rails": mark("rail runs"),
    "attachments": mark("attachments"),
    "splices": mark("splices"),
}
"""The layers somebody may turn on and off, in the order they are drawn."""


@dataclass(frozen=True, slots=True)
class ScreenPlan:
    """One roof as a picture: its title, a description for those who do not see it, the SVG, whether it is coarse."""

    title: str
    text: str
    svg: str
    coarse: bool


def screen_plan(plan: RoofPlan, reader: Reader) -> ScreenPlan:
    """The picture of a roof."""
    coarse = len(plan.modules) > MOST_FINE
    title, text = roof_title(plan, reader), described(plan, reader)
    border = 0.02 * max(plan.width_mm, plan.height_mm)
    view = f"{_n(-border)} {_n(-border)} {_n(plan.width_mm + 2 * border)} {_n(plan.height_mm + 2 * border)}"
    size = f'data-width="{_n(plan.width_mm)}" data-height="{_n(plan.height_mm)}" data-coarse="{int(coarse)}"'
    counts = f'data-modules="{len(plan.modules)}" data-attachments="{len(plan.attachments)}"'
    layers = "".join(_layers(plan, coarse))
    names = "".join(_names(plan))
    svg = (
        f'<svg class="roof-plan" viewBox="{view}" role="img" aria-label={quoteattr(drawable(text))} {size} {counts}>'
        f'{layers}<g class="names" aria-hidden="true">{names}</g><g class="detail"></g><g class="pointer"></g></svg>'
    )
    return ScreenPlan(title, text, svg, coarse)


def window_of(plan: RoofPlan, window: Box) -> str:
    """The layers of a part of a large roof, drawn finely, as the inside of a group; nothing where it holds too much."""
    modules = [box for box in plan.modules if _meets(box, window)]
    if len(modules) > MOST_IN_WINDOW:
        return ""
    height = plan.height_mm
    points = [point for point in plan.attachments if _meets((*point, *point), window)]
    return _path("modules", _boxes(modules, height)) + _path("attachments", _dots(points, height))


def _layers(plan: RoofPlan, coarse: bool) -> Iterator[str]:
    height = plan.height_mm
    ribs = "".join(f"M{_n(rib)} 0v{_n(height)}" for rib in plan.ribs)
    modules = rows_of(plan.modules) if coarse else plan.modules
    points: Sequence[Point] = () if coarse else plan.attachments
    yield _path("roof", f"M0 0h{_n(plan.width_mm)}v{_n(height)}h{_n(-plan.width_mm)}z")
    yield _path("keep-clear", _boxes(plan.strips, height))
    yield _path("modules", _boxes(modules, height))
    yield _path("obstructions", _boxes((each.box for each in plan.obstructions), height))
    yield _path("ribs", ribs)
    yield _path("zones", "".join(_polygon(zone.polygon, height) for zone in plan.zones))
    yield _path("rails", _lines(plan.rails, height))
    yield _path("attachments", _dots(points, height))
    crossings = [(each.x, each.y) for each in (*plan.splices, *plan.expansion_splices)]
    yield _path("splices", _dots(() if coarse else crossings, height))


def rows_of(modules: Iterable[Box]) -> list[Box]:
    """Modules side by side in one row as one box each stretch.

    >>> rows_of([(0, 0, 10, 20), (12, 0, 22, 20), (90, 0, 100, 20)])
    [(0, 0, 22, 20), (90, 0, 100, 20)]
    """
    rows: list[Box] = []
    for x0, y0, x1, y1 in modules:
        last = rows[-1] if rows else None
        if last is not None and last[1] == y0 and last[3] == y1 and 0 <= x0 - last[2] < 0.25 * (x1 - x0):
            rows[-1] = (last[0], y0, x1, y1)
        else:
            rows.append((x0, y0, x1, y1))
    return rows


def _names(plan: RoofPlan) -> Iterator[str]:
    size = 0.022 * max(plan.width_mm, 1.6 * plan.height_mm)
    for named in (*plan.arrays, *plan.obstructions):
        x0, y0, x1, y1 = named.box
        x, y = (x0 + x1) / 2, plan.height_mm - (y0 + y1) / 2 + size / 3
        if x1 - x0 > 0.6 * size * len(named.name):
            yield f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}">{escape(drawable(named.name))}</text>'


def _path(layer: str, path: str) -> str:
    return f'<path class="layer {layer}" d="{path}"/>' if path else ""


def _boxes(boxes: Iterable[Box], height: float) -> str:
    return "".join(f"M{_n(a)} {_n(height - d)}h{_n(c - a)}v{_n(d - b)}h{_n(a - c)}z" for a, b, c, d in boxes)


def _lines(lines: Iterable[Box], height: float) -> str:
    return "".join(f"M{_n(a)} {_n(height - b)}L{_n(c)} {_n(height - d)}" for a, b, c, d in lines)


def _dots(points: Iterable[Point], height: float) -> str:
    """Strokes of no length: the style sheet gives them a round end, as large at any zoom."""
    return "".join(f"M{_n(x)} {_n(height - y)}h0" for x, y in points)


def _polygon(points: Sequence[Point], height: float) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(height - y)}" for x, y in points) + "z"


def _meets(box: Box, window: Box) -> bool:
    return box[0] <= window[2] and box[2] >= window[0] and box[1] <= window[3] and box[3] >= window[1]


def _n(value: float) -> str:
    return f"{round(value, 1):.8g}"
