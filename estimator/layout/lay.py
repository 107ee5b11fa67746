"""Lay a job out: segments, ribs, and every module that lies where it may not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from estimator.errors import Finding, JobRefused
from estimator.job import Array, Job, Roof
from estimator.layout.blocks import cells_in_words
from estimator.layout.cells import CellNumbers, grid_of
from estimator.layout.edges import Breach, Obstacles, breaches
from estimator.layout.records import ArrayLayout, Layout, RoofLayout
from estimator.layout.refusals import refuse_contradictions, refuse_size
from estimator.layout.ribs import rib_lines
from estimator.layout.segments import column_segments, row_segments
from estimator.places import Place, Side
from estimator.sentences import Sentence, joined, say
from estimator.units import as_text

_EDGES: dict[Side, Sentence] = {
    "left": say("left edge"),
    "right": say("right edge"),
    "eave": say("eave edge"),
    "ridge": say("ridge edge"),
}


def lay_out(job: Job) -> Layout:
    """Where the modules, segments and ribs of every roof lie, and each breach of an edge, strip or obstruction.

    Lengths in mm on the roof plane. Errors: JobRefused with every contradiction at once (arrays on one another, rows
    longer than the roof, cells left out that do not exist, no rib on the plane, more cells than are allowed).
    Source: common practice, no source.
    """
    faults = refuse_size(job) or refuse_contradictions(job)
    if faults:
        raise JobRefused(say("the roofs and arrays of this job contradict themselves"), faults)
    findings: list[Finding] = []
    roofs = tuple(_lay_roof(job, i, roof, findings) for i, roof in enumerate(job.roofs))
    return Layout(roofs, tuple(findings))


def _lay_roof(job: Job, i: int, roof: Roof, findings: list[Finding]) -> RoofLayout:
    plane = _Plane(roof, Obstacles.of(roof))
    arrays = tuple(_lay_array(job, plane, j, array, findings) for j, array in enumerate(roof.arrays))
    return RoofLayout(i, roof.name, rib_lines(roof), arrays)


@dataclass(frozen=True, slots=True)
class _Plane:
    """A roof with its obstructions as arrays are held against them."""

    roof: Roof
    obstacles: Obstacles


def _lay_array(job: Job, plane: _Plane, j: int, array: Array, findings: list[Finding]) -> ArrayLayout:
    grid = grid_of(job.module, array)
    rectangles, cells = grid.rectangles()
    for breach in breaches(rectangles, plane.roof, plane.obstacles):
        findings.append(_finding(job, plane.roof, array, breach, cells))
    return ArrayLayout(j, array.name, grid.w, grid.h, grid.modules, row_segments(grid), column_segments(grid))


def _finding(job: Job, roof: Roof, array: Array, breach: Breach, cells: CellNumbers) -> Finding:
    row, column = (int(number) + 1 for number in cells[breach.worst])
    found = describe(breach, lambda length: as_text(length, "length", job.display_units))
    reaches = say("the module {reaches}", reaches=found)
    if breach.count > 1:
        reaches = joined(
            "; ",
            (reaches, say("{count} modules of the array do: {cells}", count=breach.count, cells=_cells(breach, cells))),
        )
    place = breach.on(Place(roof=roof.name, array=array.name, row=row, column=column))
    return Finding(
        code=f"module_{breach.border}",
        severity="error",
        message=say("{where}: {what} (rows counted from the eave, columns from the left)", where=place, what=reaches),
        place=place,
        found=round(breach.distance_mm, 3),
        allowed=0.0,
        unit="mm",
    )


def _cells(breach: Breach, cells: CellNumbers) -> Sentence:
    """Every module that breaches, by row and column."""
    return cells_in_words((int(row), int(column)) for row, column in cells[list(breach.all)])


def describe(breach: Breach, length: Callable[[float], str]) -> Sentence:
    """What a thing that breaches an edge or an obstruction does, for people: "reaches 120 mm past the right edge"."""
    distance, edge = length(breach.distance_mm), _EDGES[breach.side] if breach.side else ""
    if breach.border == "off_plane":
        return say("reaches {distance} past the {edge} of the roof plane", distance=distance, edge=edge)
    if breach.border == "in_keep_clear":
        return say(
            "reaches {distance} into the {strip} to be kept clear along the {edge}",
            distance=distance,
            strip=length(breach.strip_mm),
            edge=edge,
        )
    return say("overlaps {obstruction} by {distance}", obstruction=breach.obstruction, distance=distance)
