"""The words of the setting-out sheet: how to measure, tools, the names of lines. Source: common practice, no source."""

from __future__ import annotations

from estimator.documents.drawing.words import open_gap_words
from estimator.documents.language.texts import Reader, mark
from estimator.documents.setting_out.lines import ArrayOutline, Kind, StringLine
from estimator.estimate import Estimate
from estimator.pricebook.lookups import splice_for

METHOD = (
    mark(
        "Left and right are those of someone who stands at the eave and looks up the slope; "
        "rib 1 is the first from the left roof edge."
    ),
    mark(
        "Check first that the eave is straight and square to the ribs, and that the first and the last rib stand where "
        "this sheet says. If not, stop and ask the estimator."
    ),
    mark("Snap the string lines at their distances from the eave, measured up the slope on the roof's surface."),
    mark(
        "Measure every bracket from the roof edge, not from the bracket before it, so that errors do not add up; "
        "the spacing is the check."
    ),
    mark(
        "A bracket belongs on the middle of a rib's crown. Where the rib of that number does not stand within half a "
        "crown of the distance given, stop and ask the estimator."
    ),
)
NOT_FOR_BUILDING = mark("Draft: do not build from this sheet.")


def tools(estimate: Estimate, reader: Reader) -> tuple[str, ...]:
    """What the crew needs for this sheet."""
    t = reader.texts.t
    longest = max((max(roof.eave_length_mm, roof.slope_length_mm) for roof in estimate.job.roofs), default=0.0)
    always = [
        t("fall protection for everybody on the roof"),
        t("tape measure of at least {length}", length=reader.formats.long_length(longest)),
        t("string line and a marker that does not harm the coating"),
        t("screw gun with depth stop and the driver for the screws supplied"),
        t("torque wrench for nuts and clamps"),
    ]
    if estimate.mounting.rail is not None:
        always.append(t("saw for the rails, file, spirit level"))
    return tuple(always)


def line_name(line: StringLine, kind: Kind, reader: Reader) -> str:
    """One line by its row and rail, its column and rib, or its seam."""
    t = reader.texts.t
    if kind == "seam":
        return t("seam {seam}", seam=line.row)
    if kind == "along":
        if line.part is not None:
            return t("column {column}, part {part}, rail {rail}", column=line.row, part=line.part, rail=line.rail)
        return t("column {column}, rail {rail}", column=line.row, rail=line.rail)
    if line.part is not None:
        return t("row {row}, part {part}, rail {rail}", row=line.row, part=line.part, rail=line.rail)
    return t("row {row}, rail {rail}", row=line.row, rail=line.rail)


def outline_words(outline: ArrayOutline, reader: Reader) -> tuple[str, ...]:
    """Where an array begins, how large it is, and how its corners are proved square."""
    t, length = reader.texts.t, reader.formats.length
    return (
        t("The first module's lower left corner stands {x} from the left roof edge and {y} up from the eave.",
          x=length(outline.x_mm), y=length(outline.y_mm)),
        t("The array's outline is {width} by {height}; it is square where both its diagonals measure {diagonal}.",
          width=length(outline.width_mm), height=length(outline.height_mm), diagonal=length(outline.diagonal_mm)),
        t("Modules stand {across} apart along the eave and {up} apart up the slope.",
          across=length(outline.gaps_mm[0]), up=length(outline.gaps_mm[1])),
        *open_gap_words(outline.open_gaps, reader),
    )  # fmt: skip


def fastening(estimate: Estimate, reader: Reader) -> tuple[str, ...]:
    """How many screws go into a bracket, and the gap that an expansion splice is left with."""
    t, brackets = reader.texts.t, estimate.counts.counts.attachments
    told = []
    for line in (priced.line for priced in estimate.bill.lines):
        if line.role == "screw" and brackets and line.net and line.net % brackets == 0:
            each, name = line.net // brackets, reader.say(line.description)
            told.append(t("Screws in each bracket: {count} × {part} {name}.", count=each, part=line.part, name=name))
    rail = estimate.mounting.rail
    if any(run.wide_gaps or run.joined for run in estimate.setting_out.runs):
        told.append(
            t("Where modules stand further apart than the others, every rail takes two end clamps and no mid clamp.")
        )
    splice = splice_for(estimate.book, rail.rail, "expansion_splice") if rail else None
    if splice is not None and splice.gap_mm and estimate.counts.counts.expansion_splices:
        told.append(t("Gap to leave between the rails at every expansion splice: {gap}.",
                      gap=reader.formats.length(splice.gap_mm)))  # fmt: skip
    return tuple(told)
