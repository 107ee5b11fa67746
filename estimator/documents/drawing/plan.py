"""The drawing of a roof as plain geometry: what every format of it (SVG, DXF, PDF) draws, layer by layer.

Millimetres on the roof plane, x along the eave, y up the slope, as counted: one box a module, one line a rail run, one
point an attachment. What is drawn here is what the takeoff counted; ``RoofPlan`` holds no scale and no colour.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from estimator.attachment.load_report import LoadReport, RoofLoads
from estimator.attachment.records import Run, SettingOut
from estimator.cutting.records import TENTHS_PER_MM, CutPlan
from estimator.documents.drawing.zones import NamedZone, zones_of
from estimator.estimate import Estimate
from estimator.job import Array, Job, KeepClear, Roof
from estimator.layout.records import Layout, RoofLayout

Box = tuple[float, float, float, float]
"""x0, y0, x1, y1; of a line its two ends."""
Point = tuple[float, float]

MOST_TICKS = 14


@dataclass(frozen=True, slots=True)
class NamedBox:
    """A rectangle with its name: an array's outline, an obstruction."""

    name: str
    box: Box


@dataclass(frozen=True, slots=True)
class Crossing:
    """A point on a run, and the run's axis: where a splice stands across the rail."""

    x: float
    y: float
    axis: Literal["x", "y"]


@dataclass(frozen=True, slots=True)
class DimensionChain:
    """Dimensions in one line: ``ticks`` along the axis, ascending; ``level`` 1 stands nearest to the roof."""

    axis: Literal["x", "y"]
    level: int
    ticks: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class OpenGap:
    """A gap between the columns (or rows) of an array that is wider than the others: after which, and how wide."""

    array: str
    line: Literal["column", "row"]
    after: int
    width_mm: float


@dataclass(frozen=True, slots=True)
class RoofPlan:
    """One roof plane drawn. The lengths of ``modules``, ``rails``, ``attachments`` ... are the counts."""

    roof: int
    name: str
    width_mm: float
    height_mm: float
    slope_deg: float
    rib_spacing_mm: float
    first_rib_mm: float
    ribs: tuple[float, ...]
    modules: tuple[Box, ...]
    rails: tuple[Box, ...]
    attachments: tuple[Point, ...]
    splices: tuple[Crossing, ...]
    expansion_splices: tuple[Crossing, ...]
    strips: tuple[Box, ...]
    obstructions: tuple[NamedBox, ...]
    arrays: tuple[NamedBox, ...]
    zones: tuple[NamedZone, ...]
    dimensions: tuple[DimensionChain, ...]
    open_gaps: tuple[OpenGap, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a drawing is made of: an estimate has all of it, a sketch no cut plan."""

    job: Job
    layout: Layout
    setting_out: SettingOut
    loads: LoadReport
    cut_plan: CutPlan | None


def drawn_of(estimate: Estimate) -> Drawn:
    """What of an estimate is drawn."""
    return Drawn(estimate.job, estimate.layout, estimate.setting_out, estimate.loads, estimate.cut_plan)


def plans_of(estimate: Estimate) -> tuple[RoofPlan, ...]:
    """Every roof of the job, drawn."""
    return roof_plans(drawn_of(estimate))


def roof_plans(drawn: Drawn) -> tuple[RoofPlan, ...]:
    """Every roof of what is to be drawn; without a cut plan no splice stands on it."""
    rails: dict[int, list[Box]] = defaultdict(list)
    attachments: dict[int, list[Point]] = defaultdict(list)
    for run in drawn.setting_out.runs:
        rails[run.roof].append(rail_line(run))
        attachments[run.roof] += attachment_points(run)
    for seat in drawn.setting_out.seats:
        attachments[seat.roof].append((seat.x, seat.y))
    splices = _crossings(drawn.setting_out.runs, drawn.cut_plan, "splice")
    expansions = _crossings(drawn.setting_out.runs, drawn.cut_plan, "expansion")
    loads = {each.roof: each for each in drawn.loads.roofs}
    return tuple(
        _plan(
            roof,
            layout,
            _RoofDrawn(
                tuple(rails[layout.roof]),
                tuple(attachments[layout.roof]),
                tuple(splices[layout.roof]),
                tuple(expansions[layout.roof]),
            ),
            loads.get(layout.roof),
        )
        for layout in drawn.layout.roofs
        for roof in (drawn.job.roofs[layout.roof],)
    )


@dataclass(frozen=True, slots=True)
class _RoofDrawn:
    """What stands on one roof besides its modules."""

    rails: tuple[Box, ...]
    attachments: tuple[Point, ...]
    splices: tuple[Crossing, ...]
    expansion_splices: tuple[Crossing, ...]


def _plan(roof: Roof, layout: RoofLayout, drawn: _RoofDrawn, loads: RoofLoads | None) -> RoofPlan:
    arrays = tuple(_outlines(layout))
    return RoofPlan(
        roof=layout.roof,
        name=layout.name,
        width_mm=roof.eave_length_mm,
        height_mm=roof.slope_length_mm,
        slope_deg=roof.slope_deg,
        rib_spacing_mm=roof.ribs.spacing_mm,
        first_rib_mm=roof.ribs.first_at_mm,
        ribs=layout.ribs_x,
        modules=tuple(_modules(roof, layout)),
        rails=drawn.rails,
        attachments=drawn.attachments,
        splices=drawn.splices,
        expansion_splices=drawn.expansion_splices,
        strips=tuple(_strips(roof.keep_clear, roof.eave_length_mm, roof.slope_length_mm)),
        obstructions=tuple(
            NamedBox(o.name, (o.x_mm, o.y_mm, o.x_mm + o.width_mm, o.y_mm + o.height_mm)) for o in roof.obstructions
        ),
        arrays=arrays,
        zones=zones_of(loads),
        dimensions=(*_chains(arrays, "x", roof.eave_length_mm), *_chains(arrays, "y", roof.slope_length_mm)),
        open_gaps=tuple(gap for array in roof.arrays for gap in open_gaps(array)),
    )


def _modules(roof: Roof, layout: RoofLayout) -> Iterable[Box]:
    for laid in layout.arrays:
        width, height = laid.module_x_mm, laid.module_y_mm
        array = roof.arrays[laid.array]
        for segment in laid.row_segments:
            low, high = segment.y0, segment.y0 + height
            for column in range(segment.first, segment.last + 1):
                left = array.left_of(column, width)
                yield left, low, left + width, high


def open_gaps(array: Array) -> Iterable[OpenGap]:
    """The gaps of an array that are wider than the others, columns first."""
    for after, width in sorted(array.wider_gaps):
        yield OpenGap(array.name, "column", after, width)
    for after, width in sorted(array.wider_row_gaps):
        yield OpenGap(array.name, "row", after, width)


def _outlines(layout: RoofLayout) -> Iterable[NamedBox]:
    for laid in layout.arrays:
        rows = laid.row_segments
        if rows:
            yield NamedBox(
                laid.name,
                (min(s.x0 for s in rows), min(s.y0 for s in rows), max(s.x1 for s in rows), max(s.y1 for s in rows)),
            )


def rail_line(run: Run) -> Box:
    """The two ends of a rail run."""
    if run.axis == "x":
        return run.start_x, run.start_y, run.start_x + run.length_mm, run.start_y
    return run.start_x, run.start_y, run.start_x, run.start_y + run.length_mm


def attachment_points(run: Run) -> list[Point]:
    """Where the attachments of a rail run stand."""
    if run.axis == "x":
        return [(run.start_x + at, run.start_y) for at in run.attachments_mm]
    return [(run.start_x, run.start_y + at) for at in run.attachments_mm]


def _crossings(runs: Sequence[Run], plan: CutPlan | None, kind: str) -> dict[int, list[Crossing]]:
    found: dict[int, list[Crossing]] = defaultdict(list)
    for joint in plan.joints if plan else ():
        if joint.kind != kind:
            continue
        run, at = runs[joint.run], joint.at / TENTHS_PER_MM
        x, y = (run.start_x + at, run.start_y) if run.axis == "x" else (run.start_x, run.start_y + at)
        found[run.roof].append(Crossing(x, y, run.axis))
    return found


def _strips(clear: KeepClear, width: float, height: float) -> Iterable[Box]:
    if clear.eave_mm:
        yield 0.0, 0.0, width, clear.eave_mm
    if clear.ridge_mm:
        yield 0.0, height - clear.ridge_mm, width, height
    if clear.left_mm:
        yield 0.0, 0.0, clear.left_mm, height
    if clear.right_mm:
        yield width - clear.right_mm, 0.0, width, height


def _chains(arrays: Sequence[NamedBox], axis: Literal["x", "y"], length: float) -> Iterable[DimensionChain]:
    """The arrays' edges in one chain, the whole length in a second; too many arrays leave the inner edges out."""
    first, last = (0, 2) if axis == "x" else (1, 3)
    edges = sorted({round(named.box[at], 1) for named in arrays for at in (first, last)})
    if len(edges) > MOST_TICKS:
        edges = [edges[0], edges[-1]]
    inner = tuple(edge for edge in edges if 0.5 < edge < length - 0.5)
    if inner:
        yield DimensionChain(axis, 1, (0.0, *inner, length))
    yield DimensionChain(axis, 2 if inner else 1, (0.0, length))
