"""The figures of the saw list: lengths as the saw is set, totals of the plan, what it saved; never a price."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from reportlab.platypus import Table

from estimator.cutting.records import TENTHS_PER_MM, CutPlan, PlainMethod
from estimator.documents import style
from estimator.documents.language.lengths import feet_and_inches
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import colour
from estimator.documents.pdf.parts import ROW_LINES, Command, fitted, grid, paragraph, right_from
from estimator.documents.sawing.grouped import grouped
from estimator.documents.sawing.pieces import SawPiece

JOB_SHARES = (0.08, 0.17, 0.09, 0.25, 0.41)
OWN_SHARES = (0.08, 0.24, 0.1, 0.58)
MOST_PLACES = 40
"""Places in one row, so that none grows taller than a page."""


def cut_length(tenths: int, reader: Reader) -> str:
    r"""A length as the saw is set: millimetres to the tenth, feet and inches to 1/16 in beside them where wanted.

    >>> from estimator.documents.language.texts import reader_for
    >>> cut_length(17_225, reader_for("en", "GB", "metric")) == "1,722.5" + chr(0xA0) + "mm"
    True
    """
    formats = reader.formats
    figure = formats.decimal(tenths / TENTHS_PER_MM, 1 if tenths % TENTHS_PER_MM else 0)
    metric = f"{figure}\u00a0mm"
    return metric if formats.units == "metric" else f"{metric} ({feet_and_inches(tenths / TENTHS_PER_MM)})"


def long_length(tenths: int, reader: Reader) -> str:
    """A length of many bars, in metres or feet."""
    return reader.formats.long_length(tenths / TENTHS_PER_MM)


def _stacked(reader: Reader) -> Reader:
    """The reader of narrow columns."""
    return replace(reader, formats=reader.formats.stacked)


def bars_table(plan: CutPlan, reader: Reader, wide: float) -> Table:
    """Bars to fetch, by part and length."""
    t, count = reader.texts.t, reader.formats.count
    rows: list[list[Any]] = [[t("Part"), t("Length"), t("Bars")]]
    room = wide * 0.5 - 6
    yard = {bar.part for bar in plan.bars if bar.from_yard}
    named = {part: f"{part} · {t('off-cut from the yard')}" for part in yard}
    rows += [
        [fitted(named.get(b.part, b.part), room), cut_length(b.length, reader), count(b.count)]
        for b in plan.bars_by_length
    ]
    rows.append([t("Sum"), long_length(plan.bought_length, reader), count(bar_count(plan))])
    total: Command = ("BACKGROUND", (0, -1), (-1, -1), colour(style.BLUE_TINT))
    return grid(rows, [wide * 0.5, wide * 0.3, wide * 0.2], [ROW_LINES, right_from(1), total])


def totals_table(plan: CutPlan, mass_kg_per_m: float, reader: Reader, wide: float) -> Table:
    """Pieces, cuts, splices, what is kept and what is waste."""
    t, count = reader.texts.t, reader.formats.count
    waste = long_length(plan.waste_length, reader), mass_of(plan.waste_length, mass_kg_per_m, reader)
    kept = long_length(plan.reusable_length, reader), mass_of(plan.reusable_length, mass_kg_per_m, reader)
    rows = [
        [t("Pieces to cut"), count(sum(len(bar.pieces) * bar.count for bar in plan.bars if bar.cuts)), ""],
        [t("Bars that stay whole"), count(sum(bar.count for bar in plan.bars if not bar.cuts)), ""],
        [t("Saw cuts"), count(plan.cuts), ""],
        [t("Splices"), count(plan.splices), ""],
        [t("Expansion splices"), count(plan.expansion_splices), ""],
        [t("Off-cuts kept"), *kept],
        [t("Waste, kerf and trimmed ends included"), *waste],
    ]
    lines: Command = ("LINEBELOW", (0, 0), (-1, -1), 0.25, colour(style.RULE))
    return grid(rows, [wide * 0.5, wide * 0.3, wide * 0.2], [lines, right_from(1)], head_rows=0)


def saved_table(plan: CutPlan, mass_kg_per_m: float, reader: Reader, wide: float) -> Table:
    """Bars, rail and splices of the two plain ways, and how much more than the plan each takes.

    What is bought is compared: off-cuts from the yard are no bars of the plan, and the plain ways use none.
    """
    reader = _stacked(reader)
    t, count = reader.texts.t, reader.formats.count
    rows: list[list[Any]] = [
        [t("Way of buying"), t("Bars"), t("Length"), t("Splices"), t("Bars saved"), t("Rail saved"), t("Mass saved")],
        [fitted(t("This plan"), wide), count(plan.bars_to_buy), long_length(plan.length_to_buy, reader),
         count(plan.splices), "", "", ""],
    ]  # fmt: skip
    named = (
        (plan.against_rounded_up, t("Length divided by the bar, rounded up")),
        (plan.against_full_bars, t("Full bars and a rest, run by run")),
    )
    shares = (0.28, 0.08, 0.15, 0.11, 0.1, 0.15, 0.13)
    for way, name in named:
        rows.append(_against(plan, way, fitted(name, wide * shares[0] - 6), mass_kg_per_m, reader))
    return grid(rows, [share * wide for share in shares], [ROW_LINES, right_from(1)])


def _against(plan: CutPlan, way: PlainMethod, name: Any, mass_kg_per_m: float, reader: Reader) -> list[Any]:  # noqa: ANN401
    if not way.possible:
        return [name, "–", "–", "–", "–", "–", "–"]
    count, more = reader.formats.count, way.length - plan.length_to_buy
    return [
        name,
        count(way.bars),
        long_length(way.length, reader),
        count(way.splices),
        count(way.bars - plan.bars_to_buy),
        ("−" if more < 0 else "") + long_length(abs(more), reader),
        ("−" if more < 0 else "") + mass_of(abs(more), mass_kg_per_m, reader),
    ]


def grouped_tables(pieces: Sequence[SawPiece], reader: Reader, wide: float) -> tuple[Table, ...]:
    """The pieces of a pattern's bars by cut, equal ones in one row: how many, and the places they are for.

    Where pieces are of several jobs, those of each stand apart, with the job's name.
    """
    t, count = reader.texts.t, reader.formats.count
    jobs = any(piece.quote for piece in pieces)
    shares = JOB_SHARES if jobs else OWN_SHARES
    rows: list[list[Any]] = [[t("Cut"), t("Length"), t("Pieces"), *([t("Job")] if jobs else []), t("Places")]]
    commands: list[Command] = [("ALIGN", (0, 0), (2, -1), "RIGHT"), ("LEFTPADDING", (3, 0), (3, -1), 12)]
    cut = 0
    for group in grouped(pieces):
        piece = group.first
        if piece.cut != cut and len(rows) > 1:
            commands.append(("LINEABOVE", (0, len(rows)), (-1, len(rows)), 0.4, colour(style.MUTED)))
        length = cut_length(round(piece.length_mm * TENTHS_PER_MM), reader)
        own = [count(piece.cut) if piece.cut != cut else "", length, count(group.count)]
        own += [paragraph(whose(piece))] if jobs else []
        for at in range(0, len(group.places), MOST_PLACES):
            places = "; ".join(reader.say(place) for place in group.places[at : at + MOST_PLACES])
            rows.append([*(own if not at else [""] * len(own)), paragraph(places)])
        cut = piece.cut
    return (grid(rows, [share * wide for share in shares], commands),)


def whose(piece: SawPiece) -> str:
    """Job and quote of a piece."""
    return " · ".join(part for part in (piece.job, piece.quote) if part)


def bar_count(plan: CutPlan) -> int:
    """All bars of the plan."""
    return sum(pattern.count for pattern in plan.bars)


def mass_of(tenths: int, mass_kg_per_m: float, reader: Reader) -> str:
    """The mass of so much rail."""
    return reader.formats.mass(tenths / TENTHS_PER_MM / 1000 * mass_kg_per_m)
