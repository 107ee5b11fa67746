"""Contradictions of a job that no layout exists for, all of them at once, each with its JSON Pointer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from estimator.errors import Fault
from estimator.job import Array, Job, Module, Roof
from estimator.layout.blocks import cells_in_words
from estimator.layout.cells import Grid, grid_of, module_extent
from estimator.layout.overlaps import Overlap, overlaps
from estimator.layout.ribs import TOLERANCE_MM, rib_count
from estimator.sentences import Sentence, figure, joined, say
from estimator.units import as_text

MOST_CELLS = 200_000
MOST_ARRAYS = 2_000
MOST_OBSTRUCTIONS = 2_000
MOST_RIBS = 20_000
MOST_ELONGATED = 50
CLOSEST_RIBS_MM = 20.0


def refuse_size(job: Job) -> list[Fault]:
    """What is too large to be looked at any closer; found without making room for a single cell."""
    arrays = [(i, j, array) for i, roof in enumerate(job.roofs) for j, array in enumerate(roof.arrays)]
    faults = []
    if len(arrays) > MOST_ARRAYS:
        faults.append(
            Fault(
                "/roofs", say("the job has {count} arrays", count=len(arrays)), say("at most {most}", most=MOST_ARRAYS)
            )
        )
    obstructions = sum(len(roof.obstructions) for roof in job.roofs)
    if obstructions > MOST_OBSTRUCTIONS:
        faults.append(
            Fault(
                "/roofs",
                say("the job has {count} obstructions", count=obstructions),
                say("at most {most}", most=MOST_OBSTRUCTIONS),
            )
        )
    cells = sum(array.rows * array.columns for _, _, array in arrays)
    large = [(i, j) for i, j, array in arrays if array.rows * array.columns > MOST_CELLS]
    for i, j in large:
        array = job.roofs[i].arrays[j]
        found = say(
            "array {name} has {rows} rows of {columns} columns", name=array.name, rows=array.rows, columns=array.columns
        )
        faults.append(
            Fault(f"/roofs/{i}/arrays/{j}/columns", found, say("at most {most} cells in a job", most=MOST_CELLS))
        )
    if cells > MOST_CELLS and not large:
        faults.append(
            Fault(
                "/roofs",
                say("the arrays have {cells} cells", cells=cells),
                say("at most {most} in a job", most=MOST_CELLS),
            )
        )
    return faults


def refuse_contradictions(job: Job) -> list[Fault]:
    """Everything about the roofs and arrays of a job of sane size that cannot be."""
    if not any(roof.arrays for roof in job.roofs):
        return [Fault("/roofs", say("no array to estimate"), say("at least one array with one module"))]
    faults = list(_module_faults(job.module))
    faults += _same_names("/roofs", "roof", [roof.name for roof in job.roofs])
    for i, roof in enumerate(job.roofs):
        faults += _roof_faults(job, i, roof)
    return faults


def _at_most(most: str | int) -> Sentence:
    return say("at most {most}", most=most)


def _at_least(least: str | int) -> Sentence:
    return say("at least {least}", least=least)


def _module_faults(module: Module) -> Iterator[Fault]:
    if module.length_mm > MOST_ELONGATED * module.width_mm:
        yield Fault(
            "/module/length",
            say("the module is no plate"),
            say("at most {most} times as long as wide", most=MOST_ELONGATED),
        )
    if module.clamping_zone is None:
        return
    for side, zone in (("long_side", module.clamping_zone.long_side), ("short_side", module.clamping_zone.short_side)):
        if zone is not None and not 0 <= zone[0] <= zone[1] <= 0.5:
            found = say(
                "a clamping zone from {zone} to {zone2} of the side, measured from its corner",
                zone=figure(zone[0], "g"),
                zone2=figure(zone[1], "g"),
            )
            yield Fault(f"/module/clamping_zone/{side}", found, say("two shares from 0 to 0.5, the smaller first"))


def _same_names(pointer: str, kind: str, names: list[str]) -> Iterator[Fault]:
    first: dict[str, int] = {}
    for i, name in enumerate(names):
        if name in first:
            yield Fault(
                f"{pointer}/{i}/name",
                say("number {number} has the name {name} too", number=first[name] + 1, name=name),
                say("a name of its own"),
            )
        first.setdefault(name, i)


def _roof_faults(job: Job, i: int, roof: Roof) -> list[Fault]:
    pointer = f"/roofs/{i}"
    faults = list(_rib_faults(pointer, roof))
    faults += _same_names(f"{pointer}/arrays", "array", [array.name for array in roof.arrays])
    grids: dict[int, Grid] = {}
    for j, array in enumerate(roof.arrays):
        place = _Place(job, roof, array, f"{pointer}/arrays/{j}")
        faults += place.extent_faults()
        cell_faults = [*place.cell_faults(), *place.gap_faults()]
        faults += cell_faults
        if not cell_faults:
            grids[j] = grid_of(job.module, array)
            if not grids[j].modules:
                faults.append(Fault(place.pointer, say("every cell is left out"), say("at least one module")))
    return faults + list(_overlaps(pointer, roof, grids))


def _rib_faults(pointer: str, roof: Roof) -> Iterator[Fault]:
    if roof.ribs.spacing_mm < CLOSEST_RIBS_MM:
        yield Fault(
            f"{pointer}/ribs/spacing",
            say("the ribs stand on one another"),
            say("at least {least}", least=figure(CLOSEST_RIBS_MM, "g", " mm", "length")),
        )
    elif not rib_count(roof):
        yield Fault(
            f"{pointer}/ribs/first_at",
            say("no rib lies on roof plane {roof}", roof=roof.name),
            say("the first rib on the plane"),
        )
    elif rib_count(roof) > MOST_RIBS:
        yield Fault(
            f"{pointer}/ribs/spacing",
            say("{count} ribs on one plane", count=rib_count(roof)),
            say("at most {most}", most=MOST_RIBS),
        )


@dataclass(frozen=True, slots=True)
class _Place:
    """One array on its roof, with its pointer."""

    job: Job
    roof: Roof
    array: Array
    pointer: str

    def extent_faults(self) -> Iterator[Fault]:
        """Rows and columns that reach further than the plane is long."""
        w, h = module_extent(self.job.module, self.array.orientation)
        array, roof = self.array, self.roof
        wider = array.left_of(array.columns, w) - array.x_mm - array.columns * (w + array.gap_x_mm)
        yield from self._too_long("columns", array.columns, w, array.gap_x_mm, roof.eave_length_mm, wider)
        wider = array.bottom_of(array.rows, h) - array.y_mm - array.rows * (h + array.gap_y_mm)
        yield from self._too_long("rows", array.rows, h, array.gap_y_mm, roof.slope_length_mm, wider)

    def gap_faults(self) -> Iterator[Fault]:
        """Wider gaps after columns or rows that the array does not have between others, or given twice."""
        array = self.array
        lines = (("column", array.wider_gaps, array.columns), ("row", array.wider_row_gaps, array.rows))
        for line, gaps, count in lines:
            given = [after for after, _ in gaps]
            for number, after in enumerate(given):
                if not 1 <= after < count or after in given[:number]:
                    named: dict[str, str | int] = {"array": array.name, "after": after}
                    found = (
                        say("array {array} has no gap after row {after}, or it is given before", **named)
                        if line == "row"
                        else say("array {array} has no gap after column {after}, or it is given before", **named)
                    )
                    allowed = say("1 to {count}, each once", count=count - 1) if count > 1 else say("none")
                    yield Fault(f"{self.pointer}/wider_gaps", found, allowed)

    def _too_long(
        self, lines: str, count: int, extent: float, gap: float, room: float, wider: float = 0.0
    ) -> Iterator[Fault]:
        reach = count * extent + (count - 1) * gap + wider
        if reach <= room + TOLERANCE_MM:
            return
        along = lines == "columns"
        told = {"array": self.array.name, "roof": self.roof.name, "room": self._mm(room)}
        if extent > room + TOLERANCE_MM:
            side = "width" if along == (self.array.orientation == "portrait") else "length"
            found = (
                say("the module is larger than the roof: {extent} along the eave in array {array}; "
                    "roof plane {roof} is {room} along the eave", extent=self._mm(extent), **told)
                if along
                else say("the module is larger than the roof: {extent} up the slope in array {array}; "
                         "roof plane {roof} is {room} up the slope", extent=self._mm(extent), **told)
            )  # fmt: skip
            yield Fault(f"/module/{side}", found, _at_most(self._mm(room)))
            return
        most = int((room + TOLERANCE_MM + gap - wider) // (extent + gap))
        reached: dict[str, str | int] = {"count": count, "reach": self._mm(reach), **told}
        found = (
            say("{count} columns of array {array} reach {reach}; roof plane {roof} is {room} along the eave", **reached)
            if along
            else say("{count} rows of array {array} reach {reach}; roof plane {roof} is {room} up the slope", **reached)
        )
        yield Fault(f"{self.pointer}/{lines}", found, _at_most(most))

    def cell_faults(self) -> Iterator[Fault]:
        """Arrays without a cell, and cells left out that the array does not have."""
        array = self.array
        for lines, count in (("rows", array.rows), ("columns", array.columns)):
            if count < 1:
                yield Fault(
                    f"{self.pointer}/{lines}",
                    say("array {array} has no rows", array=array.name)
                    if lines == "rows"
                    else say("array {array} has no columns", array=array.name),
                    say("at least {least}", least=1),
                )
        outside = sorted(cell for cell in array.omit if not self._has(*cell))
        if outside:
            named = ", ".join(f"[{row + 1}, {column + 1}]" for row, column in outside[:3])
            found = say(
                "{count} of the cells left out lie outside array {array}: {cells}",
                count=len(outside), array=array.name, cells=named,
            )  # fmt: skip
            allowed = say("rows 1 to {rows}, columns 1 to {columns}", rows=array.rows, columns=array.columns)
            yield Fault(f"{self.pointer}/omit", found, allowed)

    def _has(self, row: int, column: int) -> bool:
        return 0 <= row < self.array.rows and 0 <= column < self.array.columns

    def _mm(self, length: float) -> str:
        return as_text(length, "length", self.job.display_units)


MOST_NAMED = 3
"""Of so many other arrays the modules are named; a stack of hundreds would fill pages."""


def _overlaps(pointer: str, roof: Roof, grids: dict[int, Grid]) -> Iterable[Fault]:
    """One fault for every array that lies on earlier ones, with all its modules that do and those below them."""
    numbers = list(grids)
    over: dict[int, list[Overlap]] = {}
    for each in overlaps(list(grids.values())):
        over.setdefault(numbers[each.later], []).append(each)
    for j, found in over.items():
        names = [roof.arrays[numbers[each.earlier]].name for each in found]
        more = [say("{count} more", count=len(names) - MOST_NAMED)] if len(names) > MOST_NAMED else []
        own = cells_in_words(cell for each in found for cell in each.later_cells)
        below = joined(
            "; ",
            (
                say("on {cells} of {array}", cells=cells_in_words(each.earlier_cells), array=name)
                for each, name in zip(found[:MOST_NAMED], names, strict=False)
            ),
        )
        others = joined(", ", (*names[:MOST_NAMED], *more))
        text = say("array {array} lies on modules of array {others}", array=roof.arrays[j].name, others=others)
        yield Fault(
            f"{pointer}/arrays/{j}",
            say("{text}: {own}; {below}", text=text, own=own, below=below),
            say("modules beside one another"),
        )
