"""What is written on the drawing of a roof: dimensions, names, the scale bar; as lines and labels in roof coordinates.

``paper_mm`` is how many millimetres of roof one millimetre of paper shows; every writer draws the same of both. No text
stands on another or on a module: a name without room beside its place goes right of the roof, a line leading to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from estimator.documents.drawing.dimensions import OVERHANG_MM, dimensions, margin_mm
from estimator.documents.drawing.labels import TEXT_MM, FreeRoom, Label, box_of, width_of
from estimator.documents.drawing.plan import Box, NamedBox, Point, RoofPlan
from estimator.documents.language.texts import Reader

BAR_STEPS_MM = tuple(step * 10**power for power in (3, 4, 5) for step in (1, 2, 5))
BAR_STEPS_FT = (1, 2, 5, 10, 20, 50, 100, 200, 500)
BAR_PAPER_MM = 32.0
FOOT_MM = 304.8
LARGEST_SYMBOL_UNIT = 110.0
ABOVE_MM = 3.2
"""Paper above the ridge that names may use."""
BESIDE_MM = 3.0
"""From the right roof edge to the names that lines lead from."""
SLOT_MM = 2.9
MOST_BESIDE_MM = 34.0
"""The longest name beside the roof; a longer one is told in a note."""


@dataclass(frozen=True, slots=True)
class Annotations:
    """Lines (two ends each) and labels; ``right_mm`` of paper beside the roof; names there was no room for.

    ``marked``: whether further sheets are named.
    """

    lines: tuple[Box, ...]
    labels: tuple[Label, ...]
    right_mm: float
    untold: tuple[str, ...]
    marked: bool


@dataclass(frozen=True, slots=True)
class ScaleBar:
    """A bar of so many equal steps; ``text`` names its whole length."""

    length_mm: float
    steps: int
    text: str


@dataclass(frozen=True, slots=True)
class _Name:
    """A name, the places it may stand at, and the point a line leads to where none of them is free."""

    text: str
    candidates: tuple[Label, ...]
    point: Point
    bold: bool = False


def symbol_unit(paper_mm: float) -> float:
    """The millimetre of paper that symbols and fine lines are drawn with, in mm of roof.

    On a large roof they shrink with it instead of covering the modules; whoever zooms in sees them at about true size.

    >>> symbol_unit(50.0), symbol_unit(900.0)
    (50.0, 110.0)
    """
    return min(paper_mm, LARGEST_SYMBOL_UNIT)


def annotate(plan: RoofPlan, paper_mm: float, reader: Reader, marks: Sequence[Label] = ()) -> Annotations:
    """Dimensions left of and below the roof, and the names of edges, arrays, obstructions and zones.

    Args:
        plan: the roof.
        paper_mm: roof shown by a millimetre of paper.
        reader: who reads it.
        marks: labels that stand already, such as those of further sheets.

    """
    left, below = (margin_mm(plan, axis, reader) * paper_mm for axis in ("y", "x"))
    over = OVERHANG_MM * paper_mm
    bounds = (-left - over, -below - over, plan.width_mm + over, plan.height_mm + ABOVE_MM * paper_mm)
    room = FreeRoom(plan.modules, paper_mm, bounds)
    lines: list[Box] = []
    for chain_lines, chain_labels in dimensions(plan, paper_mm, reader):
        lines += chain_lines
        for label in chain_labels:
            room.put(label)
    for label in marks:
        room.put(label)
    t = reader.texts.t
    room.put(Label(t("ridge"), plan.width_mm / 2, plan.height_mm + 1.2 * paper_mm))
    room.put(Label(t("eave"), plan.width_mm / 2, -(TEXT_MM + 0.9) * paper_mm))
    homeless = [name for name in _names(plan, paper_mm, reader) if not room.put_first_free(name.candidates)]
    beside = BESIDE_MM + (
        max((width_of(m.text, m.size_mm, m.bold) for m in marks), default=0.0) + 1.5 if marks else 0.0
    )
    led, told = _lead(homeless, plan, room, beside)
    right = max((box_of(label, paper_mm)[2] for label in told), default=plan.width_mm) - plan.width_mm
    marked = beside if marks else 0.0
    untold = tuple(name.text for name in homeless if name.text not in {label.text for label in told})
    return Annotations((*lines, *led), tuple(room.labels), max(right / paper_mm, marked), untold, bool(marks))


def _lead(names: Sequence[_Name], plan: RoofPlan, room: FreeRoom, beside: float) -> tuple[list[Box], list[Label]]:
    """Names right of the roof, each in the free slot nearest to its place, a line from it to the place."""
    paper = room.paper_mm
    x = plan.width_mm + beside * paper
    slots = [plan.height_mm - (at + 0.5) * SLOT_MM * paper for at in range(int(plan.height_mm / (SLOT_MM * paper)))]
    lines: list[Box] = []
    labels: list[Label] = []
    for name in sorted(names, key=lambda each: -each.point[1]):
        if not slots or width_of(name.text, TEXT_MM, name.bold) > MOST_BESIDE_MM:
            continue
        middle = min(slots, key=lambda slot: abs(slot - name.point[1]))
        slots.remove(middle)
        label = Label(name.text, x, middle - TEXT_MM / 3 * paper, "start", bold=name.bold)
        room.put(label)
        labels.append(label)
        lines.append((x - 0.5 * paper, middle, *name.point))
    return lines, labels


def _names(plan: RoofPlan, paper: float, reader: Reader) -> Iterator[_Name]:
    """Every array, obstruction and piece of a zone with the places its name may stand at, the best first."""
    t = reader.texts.t
    for array in plan.arrays:
        yield _name_of_box(t("Array {name}", name=array.name), array, paper, bold=True)
    for obstruction in plan.obstructions:
        x0, y0, x1, y1 = obstruction.box
        inside = Label(obstruction.name, (x0 + x1) / 2, (y0 + y1) / 2 - TEXT_MM / 3 * paper)
        box = box_of(inside, paper)
        first = (inside,) if box[0] >= x0 and box[2] <= x1 and box[1] >= y0 and box[3] <= y1 else ()
        yield _name_of_box(obstruction.name, obstruction, paper, first=first)
    for zone in plan.zones:
        if zone.points:
            labels = tuple(Label(zone.tag, x, y - TEXT_MM / 3 * paper, bold=True) for x, y in zone.points)
            yield _Name(zone.tag, labels, max(zone.points), bold=True)  # the point nearest to where lines lead


def _name_of_box(text: str, named: NamedBox, paper: float, *, bold: bool = False, first: Iterable[Label] = ()) -> _Name:
    """A name beside a rectangle: above it, below it, left and right of it."""
    x0, y0, x1, y1 = named.box
    above, below = y1 + 0.9 * paper, y0 - (TEXT_MM * 0.78 + 0.9) * paper
    around = (
        Label(text, x0, above, "start", bold=bold), Label(text, x1, above, "end", bold=bold),
        Label(text, x0, below, "start", bold=bold), Label(text, x1, below, "end", bold=bold),
        Label(text, x1 + 0.9 * paper, (y0 + y1) / 2 - TEXT_MM / 3 * paper, "start", bold=bold),
        Label(text, x0 - 0.9 * paper, (y0 + y1) / 2 - TEXT_MM / 3 * paper, "end", bold=bold),
        Label(text, x0 - 0.9 * paper, (y0 + y1) / 2, turned=True, bold=bold),
    )  # fmt: skip
    return _Name(text, (*first, *around), ((x0 + x1) / 2, (y0 + y1) / 2), bold)


def scale_bar(paper_mm: float, reader: Reader) -> ScaleBar:
    """The longest bar of a round length that stays within its place on paper."""
    room, formats = BAR_PAPER_MM * paper_mm, reader.formats
    both = len(formats.systems) > 1
    if formats.systems[0] == "us":
        feet = max((step for step in BAR_STEPS_FT if step * FOOT_MM <= room), default=1)
        also = f" ({formats.decimal(feet * FOOT_MM / 1000, 2)} m)" if both else ""
        return ScaleBar(feet * FOOT_MM, 2 if str(feet)[0] in "24" else 5 if feet > 1 else 1, f"{feet} ft{also}")
    length = max((step for step in BAR_STEPS_MM if step <= room), default=1000)
    also = f" ({formats.decimal(length / FOOT_MM, 1)} ft)" if both else ""
    return ScaleBar(float(length), 2 if str(length)[0] == "2" else 5, f"{formats.decimal(length / 1000, 0)} m{also}")
