"""The options of a quote side by side, and what may be added to it."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Table

from estimator.documents import style
from estimator.documents.fonts.faces import BOLD, drawable
from estimator.documents.language.formats import price_places
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import colour
from estimator.documents.pdf.parts import Command, broken, fitted, grid, paragraph, right_from
from estimator.documents.quoting.content import QuoteContent

LABEL = 108.0
RULES: tuple[Command, ...] = (("LINEBELOW", (0, 1), (-1, -1), 0.25, colour(style.RULE)),)


def ways_table(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """A column for each option, its letter above, the same facts beside each other; the totals stand out."""
    t, ways = reader.texts.t, content.ways
    each = (wide - LABEL) / len(ways)
    heads = [t("Option {letter}", letter=way.letter) + (f": {way.title}" if way.title else "") for way in ways]
    rows: list[list[Any]] = [["", *(broken(head, each) for head in heads)]]
    totals = {t("Total before tax"), t("Total")}
    commands: list[Command] = [*RULES, right_from(1)]
    for at, facts in enumerate(zip(*(way.facts for way in ways), strict=True), start=1):
        rows.append([paragraph(facts[0].label, "muted"), *(fitted(fact.value, each - 6, right=True) for fact in facts)])
        if facts[0].label in totals:
            commands += [
                ("FONT", (1, at), (-1, at), BOLD, style.TYPE.body),
                ("BACKGROUND", (0, at), (-1, at), colour(style.BLUE_TINT)),
            ]
    return grid(rows, [LABEL, *[each] * len(ways)], commands)


def alternates_table(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """Each thing that may be added, with its price."""
    t, formats = reader.texts.t, reader.formats
    numbers = (62.0, 66.0, 74.0)
    part = 84.0
    text = wide - part - sum(numbers)
    places = price_places([line.unit_price for line in content.alternates], content.currency)
    rows: list[list[Any]] = [[t("Part"), t("Description"), t("Quantity"), t("Unit price"), t("Price")]]
    for line in content.alternates:
        rows.append([
            fitted(line.part, part - 6), fitted(line.description, text - 6),
            f"{formats.count(line.quantity)} {drawable(line.unit)}",
            formats.decimal(line.unit_price, places), formats.amount(line.price),
        ])  # fmt: skip
    return grid(rows, [part, text, *numbers], [*RULES, right_from(2)])
