"""The words of the setting-out sheet: how to measure, tools, the names of lines. Source: common practice, no source."""

from __future__ import annotations

from estimator.documents.language.texts import Reader, mark
from estimator.documents.setting_out.lines import Kind, StringLine
from estimator.estimate import Estimate

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
    """What the crew needs at hand for this sheet."""
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
        return t("column {column}, rail {rail}", column=line.row, rail=line.rail)
    return t("row {row}, rail {rail}", row=line.row, rail=line.rail)
