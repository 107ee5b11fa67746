"""The tables of strengths on the calculation pages: attachment and clamps, with every conversion they went through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.platypus import Table

from estimator.attachment.capacity.attachment import Capacity
from estimator.attachment.capacity.safety_format import Rated
from estimator.attachment.capacity.strength import Strength
from estimator.documents.calculation.tables import force_text, moment_text, number
from estimator.documents.language.strength_words import BASIS_WORDS, SPOKEN, derivation_words
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.parts import ROW_LINES, grid, paragraph
from estimator.pricebook import Clamp


def strength_table(capacity: Capacity, reader: Reader, wide: float) -> Table:
    """What the bracket holds in each direction, how it was found, and by which tests."""
    t = reader.texts.t
    rows: list[list[Any]] = [[t("Direction"), t("Strength"), t("Nominal"), t("Factor"), t("Basis"), t("Derivation")]]
    widths = [110, 80, 80, 60, 70, wide - 400]
    for each in capacity.strengths:
        text = derivation_words(each, reader)
        factor = f"{'÷' if each.divided else '×'} {number(each.factor, reader)}"
        way, strength = reader.say(SPOKEN[each.direction]), force_text(each.strength_n, reader)
        rows.append([way, strength, force_text(each.nominal_n, reader), factor, reader.say(BASIS_WORDS[each.basis]),
                     paragraph(text)])  # fmt: skip
        rows += _moment_rows(each, capacity.load_height_mm, reader)
    return grid(rows, widths, [ROW_LINES])


def _moment_rows(each: Strength, height_mm: float, reader: Reader) -> Iterator[list[Any]]:
    """The moment that goes with a load along the slope, and what a higher load leaves of the strength."""
    if each.moment_n_mm is None or not height_mm:
        return
    t, length = reader.texts.t, reader.formats.length
    left = force_text(each.at_height_n(height_mm), reader).replace("\n", " ")
    words = t(
        "tested {tested} above the rib, here {height}: {force} along the slope",
        tested=length(each.tested_height_mm or 0.0), height=length(height_mm), force=left,
    )  # fmt: skip
    moment, basis = moment_text(each.moment_n_mm, reader), reader.say(BASIS_WORDS[each.basis])
    yield [t("moment on the bracket"), moment, "", "", basis, paragraph(words)]


def clamp_table(clamps: Sequence[tuple[Clamp, Rated]], reader: Reader, wide: float) -> Table:
    """What each clamp holds under uplift, and how that was found."""
    t = reader.texts.t
    rows: list[list[Any]] = [[t("Clamp"), t("Strength"), t("Nominal"), t("Factor"), t("Derivation")]]
    widths = [110, 80, 80, 60, wide - 330]
    for clamp, found in clamps:
        factor = f"{'÷' if found.divided else '×'} {number(found.factor, reader)}"
        rows.append([clamp.part, force_text(found.value, reader), force_text(found.nominal, reader), factor,
                     paragraph(reader.say(found.how))])  # fmt: skip
    return grid(rows, widths, [ROW_LINES])
