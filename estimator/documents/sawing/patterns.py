"""The patterns of a saw list on paper: every group of bars cut alike, drawn to scale, with its pieces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak

from estimator.cutting.records import TENTHS_PER_MM, BarPattern, CutPlan, Saw
from estimator.documents import style
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.parts import ROW_LINES, fitted, gap, grid, heading, paragraph, right_from
from estimator.documents.sawing.bars import BarDrawing, DrawingWords, stretches
from estimator.documents.sawing.pieces import SawPiece
from estimator.documents.sawing.tables import cut_length, grouped_tables


@dataclass(frozen=True, slots=True)
class Patterns:
    """What is drawn: the plan and its pieces, the saw, and the number of the first pattern."""

    plan: CutPlan
    pieces: Sequence[SawPiece]
    saw: Saw
    first: int = 1


def pattern_sections(asked: Patterns, reader: Reader, wide: float) -> Iterator[Any]:
    """How to read the drawings, then every pattern that is sawn with its drawing and pieces, then bars left whole."""
    t, plan, saw = reader.texts.t, asked.plan, asked.saw
    yield heading(t("Patterns"))
    if not plan.bars:
        yield paragraph(t("Nothing is cut."), "bold")
        return
    longest = max(pattern.stock_length for pattern in plan.bars)
    yield paragraph(
        t(
            "All bars are drawn to one scale, about 1:{scale}. Black: kerf {kerf}, trimmed ends {trim} each. "
            "Crossed: off-cut to keep. Hatched: scrap.",
            scale=reader.formats.count(round(longest / TENTHS_PER_MM / (wide / mm))),
            kerf=cut_length(saw.kerf, reader),
            trim=cut_length(saw.end_trim, reader),
        )
    )
    by_pattern: dict[int, list[SawPiece]] = {}
    for piece in asked.pieces:
        by_pattern.setdefault(piece.pattern, []).append(piece)
    for number, pattern in enumerate(plan.bars, start=asked.first):
        if pattern.cuts:
            yield CondPageBreak(150)
            yield from _pattern(number, pattern, saw, (wide, wide / longest), reader)
            yield from grouped_tables(by_pattern[number], reader, wide)
    yield from _whole([pattern for pattern in plan.bars if not pattern.cuts], reader, wide)


def _whole(patterns: Sequence[BarPattern], reader: Reader, wide: float) -> Iterator[Any]:
    """Bars that no saw touches: how many of which part and length."""
    if not patterns:
        return
    t, count = reader.texts.t, reader.formats.count
    yield CondPageBreak(80)
    yield heading(t("Not cut: these bars stay whole."))
    rows: list[list[Any]] = [[t("Part"), t("Length"), t("Bars")]]
    room = wide * 0.5 - 6
    rows += [
        [fitted(pattern.part, room), cut_length(pattern.stock_length, reader), count(pattern.count)]
        for pattern in patterns
    ]
    yield grid(rows, [wide * 0.5, wide * 0.3, wide * 0.2], [ROW_LINES, right_from(1)])


def _pattern(number: int, pattern: BarPattern, saw: Saw, room: tuple[float, float], reader: Reader) -> Iterator[Any]:
    """One pattern, its pieces below. ``room``: the page's width in points, and points a tenth of a mm."""
    t = reader.texts.t
    named = t("Pattern {number}: {bars}", number=number, bars=_bars(pattern, reader))
    left = _left(pattern, reader)
    yield heading(named)
    yard = f" · {t('off-cut from the yard')}" if pattern.from_yard else ""
    yield paragraph(f"{pattern.part}{yard}", "muted")
    lengths = tuple(cut_length(length, reader) for length in pattern.pieces)
    words = DrawingWords(lengths, (left, cut_length(pattern.offcut, reader)), f"{named}. {' + '.join(lengths)}. {left}")
    drawing = BarDrawing(stretches(pattern, saw), pattern.stock_length, room[1], words)
    yield drawing
    yield gap(style.SPACING.unit)
    cuts = reader.texts.tn("{number} cut a bar", "{number} cuts a bar", pattern.cuts,
                           number=reader.formats.count(pattern.cuts))  # fmt: skip
    yield paragraph(f"{left} · {cuts}", "bold")
    yield gap(style.SPACING.unit)


def _bars(pattern: BarPattern, reader: Reader) -> str:
    return reader.texts.tn("{number} bar of {length}", "{number} bars of {length}", pattern.count,
                           number=reader.formats.count(pattern.count),
                           length=cut_length(pattern.stock_length, reader))  # fmt: skip


def _left(pattern: BarPattern, reader: Reader) -> str:
    t = reader.texts.t
    if not pattern.offcut:
        return t("Nothing is left over")
    fate = t("keep") if pattern.reusable else t("scrap")
    return t("Left over: {length}, {fate}", length=cut_length(pattern.offcut, reader), fate=fate)
