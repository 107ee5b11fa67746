"""The tables of a quote: priced lines by section, totals, other ways, checks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reportlab.platypus import Table

from estimator.documents import style
from estimator.documents.fonts.faces import BOLD, drawable
from estimator.documents.language.formats import price_places
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import colour
from estimator.documents.pdf.parts import Command, fitted, grid, joined, paragraph, right_from
from estimator.documents.quoting.content import ContentLine, QuoteContent

PART_WIDTH = 84.0
NUMBER_WIDTHS = (58.0, 62.0, 52.0, 74.0)
SHORT_TEXT = 500
MOST_ROWS = 300
"""Rows of one table; the library's time to break a table over pages grows with the square of its rows."""
LINE_LOOK: tuple[Command, ...] = (right_from(2), ("LINEBELOW", (0, 1), (-1, -1), 0.25, colour(style.RULE)))
SIZE = style.TYPE.body


def line_tables(content: QuoteContent, reader: Reader, wide: float) -> list[Table]:
    """Every line under its section's name and sum, a long bill in parts. Discounts get a column where there are any."""
    t = reader.texts.t
    lines = [line for section in content.sections for line in section.lines]
    discounted = any(line.discount for line in lines)
    numbers = NUMBER_WIDTHS if discounted else (*NUMBER_WIDTHS[:2], NUMBER_WIDTHS[3])
    text_width = wide - PART_WIDTH - sum(numbers)
    head = [t("Part"), t("Description"), t("Quantity"), t("Unit price"), t("Price")]
    if discounted:
        head.insert(4, t("Discount"))
    places = price_places([line.unit_price for line in lines], content.currency)
    columns = _LineColumns(reader, discounted, text_width, places)
    widths = [PART_WIDTH, text_width, *numbers]
    rows: list[list[Any]] = [head]
    commands: list[Command] = [*LINE_LOOK]
    tables: list[Table] = []
    for section in content.sections:
        commands += _section_look(len(rows), len(section.lines[0].description) < SHORT_TEXT)
        rows.append([drawable(section.title), *[""] * (len(head) - 2), reader.formats.amount(section.subtotal)])
        for line in section.lines:
            rows.append(_line(line, columns))
            if len(rows) > MOST_ROWS:
                tables.append(grid(rows, widths, commands))
                rows, commands = [head], [*LINE_LOOK]
    if len(rows) > 1:
        tables.append(grid(rows, widths, commands))
    return joined(tables)


@dataclass(frozen=True, slots=True)
class _LineColumns:
    """How the lines are written: with or without a discount column, the unit prices with so many decimals."""

    reader: Reader
    discounted: bool
    text_width: float
    places: int


def _section_look(at: int, keep: bool) -> list[Command]:
    """The section's name and sum in blue on a tint, kept with its first line unless that may need a page of its own."""
    return [
        ("FONT", (0, at), (-1, at), BOLD, SIZE),
        ("TEXTCOLOR", (0, at), (-1, at), colour(style.BLUE)),
        ("BACKGROUND", (0, at), (-1, at), colour(style.TINT)),
        *([("NOSPLIT", (0, at), (-1, at + 1))] if keep else []),
    ]


def _line(line: ContentLine, columns: _LineColumns) -> list[Any]:
    formats = columns.reader.formats
    cells: list[Any] = [
        fitted(line.part, PART_WIDTH - 2 * style.SPACING.cell),
        fitted(line.description, columns.text_width - 2 * style.SPACING.cell),
        f"{formats.count(line.quantity)} {drawable(line.unit)}",
        formats.decimal(line.unit_price, columns.places),
    ]
    if columns.discounted:
        cells.append(formats.percent(line.discount) if line.discount else "")
    return [*cells, formats.amount(line.price)]


def totals_table(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """The steps to the total; the amount to pay stands out."""
    amount = 92.0
    label = wide - amount
    rows: list[list[Any]] = []
    commands: list[Command] = [right_from(1)]
    for at, row in enumerate(content.totals):
        money = row.text or (reader.formats.money(row.amount) if row.final else reader.formats.amount(row.amount))
        rows.append([fitted(row.label, label - 6), money])
        if row.interim:
            commands += [("FONT", (0, at), (-1, at), BOLD, SIZE),
                         ("LINEABOVE", (0, at), (-1, at), 0.5, colour(style.INK))]  # fmt: skip
        if row.final:
            commands += [
                ("FONT", (0, at), (-1, at), BOLD, style.TYPE.heading),
                ("BACKGROUND", (0, at), (-1, at), colour(style.BLUE_TINT)),
                ("LINEABOVE", (0, at), (-1, at), 1.0, colour(style.BLUE)),
                ("TOPPADDING", (0, at), (-1, at), 4),
                ("BOTTOMPADDING", (0, at), (-1, at), 5),
            ]
    return grid(rows, [label, amount], commands, head_rows=0)


def options_table(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """The quoted way first, others below it; what keeps a way from being built stands in its row."""
    t, formats = reader.texts.t, reader.formats
    numbers = (64.0, 68.0, 68.0, 84.0)
    room = wide - sum(numbers)
    rows: list[list[Any]] = [[t("Way"), t("Attachments"), t("Shipped mass"), t("Freight"), t("Total")]]
    commands: list[Command] = [right_from(1), ("LINEBELOW", (0, 1), (-1, -1), 0.25, colour(style.RULE))]
    for at, option in enumerate(content.options, start=1):
        name = option.name[:1].upper() + option.name[1:]
        text = f"{name} ({t('as quoted')})" if option.quoted else name
        cells = [paragraph(f"{text}: {option.parts}", "bold" if option.quoted else "body")]
        cells += [paragraph(f"{t('Not possible as it stands')}: {problem}", "muted") for problem in option.problems[:1]]
        if len(option.problems) > 1:
            cells.append(paragraph(t("and {count} more", count=len(option.problems) - 1), "muted"))
        rows.append([cells, formats.count(option.attachments), formats.stacked.mass(option.shipped_mass_kg),
                     formats.amount(option.freight), formats.amount(option.total)])  # fmt: skip
        if option.quoted:
            commands += [("BACKGROUND", (0, at), (-1, at), colour(style.BLUE_TINT)),
                         ("FONT", (1, at), (-1, at), BOLD, SIZE)]  # fmt: skip
    return grid(rows, [room, *numbers], commands)


def checks_table(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """Each failed check; below it the reason of its override, and who overrode it."""
    t, label = reader.texts.t, 92.0
    rows: list[list[Any]] = []
    for check in content.checks:
        cells = [paragraph(check.message, "small")]
        if check.reason:
            by = f" ({check.by})" if check.by else ""
            cells.append(paragraph(f"{t('Reason')}: {check.reason}{by}", "small"))
        rows.append([paragraph(check.severity, "alert"), cells])
    look = [
        ("BACKGROUND", (0, 0), (-1, -1), colour(style.OCHRE_TINT)),
        ("LINEBEFORE", (0, 0), (0, -1), 2.0, colour(style.OCHRE)),
        ("LEFTPADDING", (0, 0), (0, -1), 8),
    ]
    return grid(rows, [label, wide - label], look, head_rows=0)
