"""The words around the drawing: its title, its legend with the counts, its notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from estimator.documents.drawing.plan import OpenGap, RoofPlan
from estimator.documents.drawing.zones import zone_key
from estimator.documents.language.texts import Reader, mark


@dataclass(frozen=True, slots=True)
class LegendItem:
    """A layer of the drawing and what it shows."""

    layer: str
    text: str


def roof_title(plan: RoofPlan, reader: Reader) -> str:
    """The roof's name, size and slope in a line."""
    formats = reader.formats
    slope = f"{formats.decimal(plan.slope_deg, 0 if plan.slope_deg == round(plan.slope_deg) else 1)}°"
    size = f"{formats.long_length(plan.width_mm)} × {formats.long_length(plan.height_mm)}"
    return reader.texts.t("{roof}: {size}, slope {slope}", roof=plan.name, size=size, slope=slope)


COUNTED: tuple[tuple[str, str, str], ...] = (
    ("modules", mark("modules"), mark("modules: {count}")),
    ("attachments", mark("attachments"), mark("attachments: {count}")),
    ("rails", mark("rail runs"), mark("rail runs: {count}")),
    ("splices", mark("splices"), mark("splices: {count}")),
    ("expansion_splices", mark("expansion splices"), mark("expansion splices: {count}")),
)


def legend(plan: RoofPlan, reader: Reader, counted: bool = True) -> tuple[LegendItem, ...]:
    """Every layer that has something on it, with how many."""
    t = reader.texts.t
    items = []
    for layer, plain, with_count in COUNTED:
        number = len(getattr(plan, layer))
        if number:
            text = t(with_count, count=reader.formats.count(number)) if counted else t(plain)
            items.append(LegendItem(layer, text))
    pitch, first = reader.formats.length(plan.rib_spacing_mm), reader.formats.length(plan.first_rib_mm)
    items.append(LegendItem("ribs", t("ribs every {pitch}, the first at {first}", pitch=pitch, first=first)))
    if plan.strips:
        items.append(LegendItem("keep_clear", t("strip kept clear")))
    if plan.obstructions:
        items.append(LegendItem("obstructions", t("obstruction")))
    if plan.zones:
        items.append(LegendItem("zones", t("border of a load zone")))
    return tuple(items)


def notes(plan: RoofPlan, reader: Reader, untold: Sequence[str] = ()) -> tuple[str, ...]:
    """How to read the drawing, what the letters of its load zones stand for, and what there was no room to name."""
    how = reader.texts.t(
        "Seen from above; x runs along the eave from the left roof edge for someone who looks up the slope. "
        "North is not given in the job."
    )
    told = [how, *open_gap_words(plan.open_gaps, reader), *zone_key(plan.zones, reader)]
    if untold:
        told.append(reader.texts.t("Not named in the drawing, for lack of room: {names}.", names=", ".join(untold)))
    return tuple(told)


def open_gap_words(gaps: Sequence[OpenGap], reader: Reader) -> tuple[str, ...]:
    """The gaps that are wider than the others, array by array and width by width."""
    t, told = reader.texts.t, []
    for key, some in groupby(gaps, lambda gap: (gap.array, gap.line, gap.width_mm)):
        array, line, width = key
        after = ", ".join(str(gap.after) for gap in some)
        text = (
            mark("Array {array}: modules stand {gap} apart after column {numbers}.")
            if line == "column"
            else mark("Array {array}: modules stand {gap} apart after row {numbers}.")
        )
        told.append(t(text, array=array, gap=reader.formats.length(width), numbers=after))
    return tuple(told)


def described(plan: RoofPlan, reader: Reader) -> str:
    """The drawing in a sentence, for those who do not see it."""
    counts = ", ".join(item.text for item in legend(plan, reader))
    return f"{roof_title(plan, reader)}: {counts}."
