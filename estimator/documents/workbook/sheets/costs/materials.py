"""Aluminium against steel, and the other ways where they were compared: side by side, with charts of mass and price."""

from __future__ import annotations

from openpyxl.chart import BarChart, Reference
from openpyxl.chart.series_factory import SeriesFactory
from openpyxl.chart.shapes import GraphicalProperties

from estimator.comparison.records import Side
from estimator.documents.language.words import MATERIALS, option_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.drawings.charts import COLOURS, light_lines, place, quiet_title, show_axes
from estimator.documents.xlsx.looks import CAUTION, COUNT, HEAD, LABEL, MASS, NOTE, PERCENT, TEXT, Look, as_total
from estimator.documents.xlsx.numbers.measures import (
    in_unit,
    keys_of,
    measured,
    measured_heads,
    named_with,
    to_gram,
)
from estimator.documents.xlsx.page import Content, Page, at

TOP = 4
_RIGHT = Look(across="right", rule="below")


def write_materials(draft: Draft) -> None:
    """The two materials as columns, aluminium's saving beside them, what the other ways come to below."""
    t, comparison = draft.t, draft.offer.comparison
    page = draft.page(t("Materials"))
    page.head(
        t("Materials side by side"), t("The whole takeoff run again in the other material, with that material's parts.")
    )
    page.widths(30, 20, 20, 20, 20)
    sides = [side for side in (comparison.aluminium, comparison.steel) if side is not None]
    page.put(TOP, 1, None, HEAD)
    for column, side in enumerate(sides, start=2):
        quoted = side.option == draft.estimate.mounting.material
        name = t(MATERIALS[side.option])
        page.put(TOP, column, t("{name} (quoted)", name=name) if quoted else name, HEAD)
    row = _write_sides(draft, page, sides)
    for said in (*filter(None, (comparison.basis,)), *comparison.why_not):
        why = draft.reader.say(said)
        page.put(row + 1, 1, why, CAUTION)
        page.merge(row + 1, 1, 5)
        page.lines(row + 1, why, 100)
        row += 1
    if len(sides) == 2:
        _charts(draft, page, row + 2)
    if comparison.others:
        _write_others(draft, page, row + 20 if len(sides) == 2 else row + 3)
    print_wide(draft, page, upright=True, one_page=True)


def _rows(draft: Draft, side: Side) -> list[tuple[str, str, Content, Look]]:
    """Key, label, content and look of every row for one side."""
    t, money = draft.t, draft.money.amount
    return [
        ("bracket", t("Bracket"), side.bracket, _RIGHT),
        ("rail", t("Rail"), side.rail, _RIGHT),
        ("attachments", t("Attachments"), side.attachments, COUNT),
        *_mass_rows(draft, "mass", t("Mass of parts (kg)"), side.mass_kg),
        *_mass_rows(draft, "shipped", t("Shipped mass (kg)"), side.shipped_mass_kg),
        ("parts", t("Parts"), side.parts.amount, money),
        ("freight", t("Freight"), side.freight.amount, money),
        ("labour", t("Labour"), side.labour.amount, money),
        ("total", t("Total"), side.total.amount, as_total(money)),
        ("errors", t("Failed checks"), len(side.errors), COUNT),
    ]


def _mass_rows(draft: Draft, key: str, label: str, kg: float) -> list[tuple[str, str, Content, Look]]:
    """A mass in each of the reader's units, a row each, since a material has one column."""
    return [
        (each, named_with(label, "mass", system), in_unit(kg, "mass", system), MASS)
        for each, system in keys_of(key, draft.units)
    ]


def _write_sides(draft: Draft, page: Page, sides: list[Side]) -> int:
    """Every row, and in the fourth column what aluminium saves where both can be built."""
    tables = [_rows(draft, side) for side in sides]
    row = TOP + 1
    for at_row, (key, label, _, _) in enumerate(tables[0] if tables else []):
        page.put(row, 1, label, LABEL)
        for column, table in enumerate(tables, start=2):
            page.put(row, column, table[at_row][2], table[at_row][3])
        if len(sides) == 2:
            _saving(draft, page, row, key)
        row += 1
    return row


def _saving(draft: Draft, page: Page, row: int, key: str) -> None:
    """Steel less aluminium."""
    comparison, money = draft.offer.comparison, draft.money.amount
    aluminium, steel = comparison.aluminium, comparison.steel
    if aluminium is None or steel is None:
        return
    page.put(TOP, 4, draft.t("Saved by aluminium"), HEAD)
    page.put(TOP, 5, draft.t("Share of steel"), HEAD)
    amounts = {
        "parts": steel.parts - aluminium.parts,
        "freight": steel.freight - aluminium.freight,
        "labour": steel.labour - aluminium.labour,
        "total": steel.total - aluminium.total,
    }
    masses = {
        each: (in_unit(of_steel, "mass", system), in_unit(of_aluminium, "mass", system))
        for name, of_steel, of_aluminium in (
            ("mass", steel.mass_kg, aluminium.mass_kg),
            ("shipped", steel.shipped_mass_kg, aluminium.shipped_mass_kg),
        )
        for each, system in keys_of(name, draft.units)
    }
    less = f"{at(row, 3)}-{at(row, 2)}"
    if key in amounts:
        page.formula(row, 4, less, amounts[key].amount, as_total(money) if key == "total" else money)
    elif key in masses:
        saved = masses[key][0] - masses[key][1]
        page.formula(row, 4, f"ROUND({less},3)", to_gram(saved), MASS)
        if masses[key][0]:
            share = round(saved / masses[key][0], 4)
            page.formula(row, 5, f"ROUND(({less})/{at(row, 3)},4)", share, PERCENT)


def _charts(draft: Draft, page: Page, row: int) -> None:
    """Mass on the left, price on the right: one bar for each material."""
    systems = draft.formats.systems
    shipped = TOP + 4 + len(systems)
    total = shipped + len(systems) + 3
    mass = named_with(draft.t("Shipped mass (kg)"), "mass", systems[0])
    for cell, title, source in (("A", mass, shipped), ("D", draft.t("Total"), total)):
        chart = BarChart()
        chart.type = "col"
        chart.style = 10
        chart.gapWidth = 80
        chart.varyColors = False
        series = SeriesFactory(Reference(page.sheet, min_col=2, max_col=3, min_row=source))
        series.graphicalProperties = GraphicalProperties(solidFill=COLOURS[0])
        chart.series.append(series)
        chart.set_categories(Reference(page.sheet, min_col=2, max_col=3, min_row=TOP))
        show_axes(chart)
        quiet_title(chart, title)
        chart.y_axis.scaling.min = 0
        chart.y_axis.number_format = "#,##0"
        chart.y_axis.majorGridlines = light_lines()
        chart.legend = None
        place(page, chart, f"{cell}{row}", 11.0, 7.5)


def _write_others(draft: Draft, page: Page, row: int) -> None:
    """The other arrangements and brackets, one a row."""
    t = draft.t
    page.heading(row, t("Other ways"))
    masses = measured_heads("shipped", t("Shipped mass (kg)"), "mass", draft.units).values()
    for column, head in enumerate((t("Way"), t("Attachments"), *masses, t("Total"), t("Checks")), start=1):
        page.put(row + 1, column, head, HEAD)
    for at_row, side in enumerate(draft.offer.comparison.others, start=row + 2):
        page.put(at_row, 1, option_name(side.subject, side.option, draft.reader), TEXT)
        page.put(at_row, 2, side.attachments, COUNT)
        held = measured("shipped", side.shipped_mass_kg, "mass", draft.units).values()
        for column, mass in enumerate(held, start=3):
            page.put(at_row, column, mass, MASS)
        after = 3 + len(held)
        page.put(at_row, after, side.total.amount, draft.money.amount)
        page.put(at_row, after + 1, len(side.errors), COUNT)
        for error in side.errors:
            page.put(at_row, after + 2, draft.reader.say(error), NOTE)
