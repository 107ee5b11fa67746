"""The takeoff sheet: from the net count to what is ordered and what it weighs, and why; the derivation a click away."""

from __future__ import annotations

from decimal import Decimal

from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill

from estimator.buying.records import BuyLine
from estimator.documents import style
from estimator.documents.language.words import role_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.workbook.sheets.costs.derivation import DerivationRows
from estimator.documents.xlsx.looks import COUNT, LINE, MASS, STRONG, TEXT, WRAPPED, as_total
from estimator.documents.xlsx.numbers.figures import number
from estimator.documents.xlsx.numbers.measures import (
    in_unit,
    keys_of,
    measured,
    measured_columns,
    measured_heads,
    to_gram,
)
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Heads, Placed, Row, write_table
from estimator.sentences import joined
from estimator.units import DisplayUnits

TOP = 4


def takeoff_heads(draft: Draft) -> Heads:
    """The heads of the takeoff's table."""
    t = draft.t
    heads = {
        "line": t("Line"),
        "part": t("Part"),
        "role": t("Role"),
        "description": t("Description"),
        "net": t("Net"),
        "spare": t("Spare"),
        "required": t("Required"),
        "pack": t("Pack"),
        "packs": t("Packs"),
        "ordered": t("Ordered"),
        **measured_heads("unit_mass", t("Unit mass (kg)"), "mass", draft.units),
        **measured_heads("mass", t("Mass (kg)"), "mass", draft.units),
        "why": t("Why"),
    }
    return Heads("Takeoff", heads)


def write_takeoff(draft: Draft, page: Page, pricing: Heads, derivation: DerivationRows) -> None:
    """One row a line; what is ordered follows the pricing sheet, so that a change there shows here."""
    heads = takeoff_heads(draft)
    lines = [priced.line for priced in draft.bill.lines]
    page.head(draft.t("Takeoff"), draft.t("What the roof needs, line by line. A part's name leads to its derivation."))
    rows = [_row(draft, *each) for each in enumerate(lines, 1)]
    placed = write_table(page, TOP, "Takeoff", _columns(heads, pricing, draft.units), rows)
    for row, line in enumerate(lines, start=placed.first):
        why = _why(draft, line)
        page.lines(row, why, 62)
        page.link(row, placed.columns["part"], line.part, derivation.page, f"A{derivation.first_rows[line.part]}")
    _sum(draft, page, placed, heads)
    _mark_short(page, placed)
    print_wide(draft, page, heads=TOP, across=2, repeated=2)
    page.sheet.freeze_panes = at(TOP + 1, placed.columns["part"] + 1)


def _columns(heads: Heads, pricing: Heads, units: DisplayUnits) -> tuple[Column, ...]:
    head, this = heads.heads, heads.this
    ordered = f"INDEX({pricing.column('quantity')},{this('line')})"
    return (
        Column("line", head["line"], 6, LINE),
        Column("part", head["part"], 19, TEXT),
        Column("role", head["role"], 15, TEXT),
        Column("description", head["description"], 36, WRAPPED),
        Column("net", head["net"], 9, COUNT),
        Column("spare", head["spare"], 8, COUNT),
        Column("required", head["required"], 10, COUNT, f"{this('net')}+{this('spare')}"),
        Column("pack", head["pack"], 8, COUNT),
        Column("packs", head["packs"], 8, COUNT, f"ROUNDUP({this('ordered')}/{this('pack')},0)"),
        Column("ordered", head["ordered"], 10, COUNT, ordered),
        *measured_columns("unit_mass", head, units, 11, MASS),
        *measured_columns("mass", head, units, 12, MASS, lambda end: f"{this('ordered')}*{this('unit_mass' + end)}"),
        Column("why", head["why"], 66, WRAPPED),
    )


def _row(draft: Draft, line_number: int, line: BuyLine) -> Row:
    unit_mass = number(line.unit_mass_kg)
    return {
        "line": line_number,
        "part": line.part,
        "role": role_name(line.role, draft.reader),
        "description": draft.reader.say(line.description),
        "net": line.net,
        "spare": line.spare,
        "required": line.net + line.spare,
        "pack": line.pack_size,
        "packs": line.packs,
        "ordered": line.ordered,
        **measured("unit_mass", unit_mass, "mass", draft.units),
        **measured("mass", unit_mass * line.ordered, "mass", draft.units),
        "why": _why(draft, line),
    }


def _why(draft: Draft, line: BuyLine) -> str:
    return draft.reader.say(joined("; ", line.why))


def _sum(draft: Draft, page: Page, placed: Placed, heads: Heads) -> None:
    row = placed.last + 1
    for column in placed.columns.values():
        page.put(row, column, None, as_total(STRONG))
    page.put(row, placed.columns["part"], draft.t("Mass of all lines"), as_total(STRONG))
    lines = [priced.line for priced in draft.bill.lines]
    mass = sum((number(line.unit_mass_kg) * line.ordered for line in lines), Decimal(0))
    for key, system in keys_of("mass", draft.units):
        total, held = f"ROUND(SUM({heads.column(key)}),3)", to_gram(in_unit(mass, "mass", system))
        page.formula(row, placed.columns[key], total, held, as_total(MASS))


def _mark_short(page: Page, placed: Placed) -> None:
    """Tint a quantity below what is required."""
    ordered, required = (f"${at(placed.first, placed.columns[key])}" for key in ("ordered", "required"))
    tint = PatternFill("solid", bgColor=f"FF{style.OCHRE_TINT}")
    span = placed.span("ordered")
    page.sheet.conditional_formatting.add(span, FormulaRule(formula=[f"{ordered}<{required}"], fill=tint))
