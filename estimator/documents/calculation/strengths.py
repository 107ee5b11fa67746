"""The tables of strengths on the calculation pages: attachment and clamps, with every conversion they went through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.platypus import Table

from estimator.attachment.capacity.attachment import Capacity
from estimator.attachment.capacity.safety_format import Rated
from estimator.attachment.capacity.strength import Strength
from estimator.attachment.under_load.checks.splices import SpliceCheck
from estimator.attachment.under_load.records import RoofStrength
from estimator.documents.calculation.tables import (
    NONE,
    force_text,
    in_systems,
    moment_text,
    number,
    utilisation_share,
)
from estimator.documents.language.strength_words import BASIS_WORDS, SPOKEN, derivation_words
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.parts import ROW_LINES, fitted, grid, paragraph
from estimator.pricebook import Clamp, Rail
from estimator.units import PSI_PA


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


def rail_strength_table(rail: Rail, strength: RoofStrength, reader: Reader, wide: float) -> Table:
    """The rail's limiting stress and, for each axis that is checked, its section and limiting moment."""
    t = reader.texts.t
    head = [
        t("Axis"),
        t("Section modulus"),
        t("Inertia"),
        t("Limiting stress"),
        t("Limiting moment"),
        t("What governs"),
    ]
    widths = [120, 90, 90, 100, 100, wide - 500]
    axes = [(t("square to the roof"), rail.section_modulus_mm3, rail.inertia_mm4, strength.moment_n_mm)]
    if strength.both_axes:
        weak = strength.weak_moment_n_mm
        axes.append((t("along the slope"), rail.weak_section_modulus_mm3 or 0.0, rail.weak_inertia_mm4 or 0.0, weak))
    rows: list[list[Any]] = [head]
    for name, modulus, inertia, moment in axes:
        stress = in_systems(reader, (moment / modulus, "N/mm²"), (moment / modulus / (PSI_PA / 1000), "ksi"))
        rows.append([name, in_systems(reader, (modulus, "mm³"), (modulus / 25.4**3, "in³")),
                     in_systems(reader, (inertia, "mm⁴"), (inertia / 25.4**4, "in⁴")), stress,
                     moment_text(moment, reader), paragraph(reader.say(strength.bending_governs))])  # fmt: skip
    return grid(rows, widths, [ROW_LINES])


def splice_table(check: SpliceCheck, reader: Reader, wide: float) -> Table:
    """The splice that uses most: moment and shear there, beside what it may take."""
    t = reader.texts.t
    head = [t("Splice"), t("Splices"), t("Worst at"), t("Place"), t("Moment"), t("Limiting moment"), t("Shear"),
            t("Limiting shear"), t("Utilisation")]  # fmt: skip
    widths = [90, 44, 0.0, 70, 82, 82, 70, 76, 60]
    widths[2] = wide - sum(widths)
    limits = (check.moment_limit_n_mm, check.shear_limit_n)
    row = [
        check.part, reader.formats.count(check.count), fitted(reader.say(check.place), widths[2] - 6),
        reader.formats.stacked.length(check.at_mm), moment_text(check.moment_n_mm, reader),
        NONE if limits[0] is None else moment_text(limits[0], reader), force_text(check.shear_n, reader),
        NONE if limits[1] is None else force_text(limits[1], reader), utilisation_share(check.utilisation, reader),
    ]  # fmt: skip
    return grid([head, row], widths, [ROW_LINES])
