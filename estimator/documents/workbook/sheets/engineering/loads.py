"""The calculation sheet of the loads: spans and utilisation by zone, then every step line by line, roof by roof."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from estimator.attachment.load_report import RoofLoads
from estimator.attachment.under_load.records import ZoneSpan, ZoneUse
from estimator.documents.language.step_units import as_spoken, in_other_unit
from estimator.documents.language.strength_words import BASIS_WORDS, SPOKEN, derivation_words
from estimator.documents.language.texts import Reader
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import CAUTION, COUNT, HEAD, NOTE, PERCENT, TEXT, WRAPPED, Look
from estimator.documents.xlsx.numbers.measures import in_unit, measured_heads, named_with
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.tables import Column, Row, write_table
from estimator.loads.actions.steps import DOUBTFUL, MARK_WORDS, Step
from estimator.loads.sheet import LoadSheet, ZoneSheet
from estimator.units import Dimension, System

_VALUE = Look(number_format="#,##0.0000", across="right", rule="below")
_LOOKS = {
    0: COUNT,
    1: Look(number_format="#,##0.0", across="right", rule="below"),
    2: Look(number_format="#,##0.00", across="right", rule="below"),
}
"""By decimals."""
_PRESSURE: dict[System, int] = {"metric": 1, "us": 2}
_LENGTH: dict[System, int] = {"metric": 0, "us": 1}
"""Decimals by system."""
_FIGURES = 6
"""Columns of a zone's name and figures."""
_OVER = Look(number_format="0.00%", across="right", rule="below", bold=True, fill=CAUTION.fill)


def write_loads(draft: Draft) -> None:
    """Nothing where no roof's loads were computed: the job then gives the spans."""
    roofs = [roof for roof in draft.estimate.loads.roofs if roof.sheet.computed]
    if not roofs:
        return
    t = draft.t
    page = draft.page(t("Loads"))
    standard = roofs[0].sheet.standard.upper()
    note = t("{standard}: an aid for the engineer who checks them, line by line.", standard=standard)
    page.head(t("Loads"), note)
    row = 4
    for roof in roofs:
        row = _write_zones(draft, page, row, roof)
    row = _write_strengths(draft, page, row, roofs)
    page.heading(row, t("Calculation"))
    both = len(draft.formats.systems) > 1
    rows: list[Row] = [_row(draft.reader, place, step, both) for roof in roofs for place, step in _steps(draft, roof)]
    heads = row + 1 if rows else 0
    if rows:
        row = write_table(page, heads, "Loads", _columns(draft), rows).last
    _cautions(draft, page, row + 2)
    print_wide(draft, page, heads=heads)


def _write_zones(draft: Draft, page: Page, row: int, roof: RoofLoads) -> int:
    """Pressures, spans and the worst utilisation of every zone of one roof; below them the other system's figures."""
    t = draft.t
    page.heading(row, t("Roof {name}: zones", name=roof.name))
    uses = {use.zone: use for use in roof.zones}
    for system in draft.formats.systems:
        first = system == draft.formats.systems[0]
        heads = _zone_heads(draft, system)
        for column, head in enumerate(heads if first else heads[:_FIGURES], start=1):
            page.put(row + 1, column, head, HEAD)
        page.sheet.row_dimensions[row + 1].height = 28
        row += 2
        for zone in roof.sheet.zones:
            spans = [span for span in roof.spans if span.zone == zone.zone]
            span = min(spans, key=lambda span: span.span_mm, default=None)
            page.put(row, 1, draft.reader.zone(zone.zone), TEXT)
            _write_figures(page, row, system, (zone, span))
            if first and span is not None:
                governs = (draft.reader.say(each) for each in (span.governs, span.cantilever_governs))
                page.put(row, _FIGURES + 1, "; ".join(governs), WRAPPED)
            if first:
                _write_use(page, row, uses.get(zone.zone))
            row += 1
    return row + 1


def _zone_heads(draft: Draft, system: System) -> tuple[str, ...]:
    t = draft.t
    pressures = (t("Uplift (Pa)"), t("Downward (Pa)"), t("Along the slope (Pa)"))
    lengths = (t("Longest span (mm)"), t("Longest overhang (mm)"))
    return (
        t("Zone"),
        *(named_with(name, "pressure", system) for name in pressures),
        *(named_with(name, "length", system) for name in lengths),
        t("What governs"),
        t("Attachments"),
        t("Worst utilisation"),
    )


def _write_figures(page: Page, row: int, system: System, of: tuple[ZoneSheet, ZoneSpan | None]) -> None:
    """A zone's pressures and lengths in one system's units."""
    zone, span = of
    for column, pa in enumerate((zone.uplift.pa, zone.downward.pa, zone.along_slope.pa), start=2):
        page.put(row, column, _measured(pa, "pressure", system, _PRESSURE[system]), _LOOKS[_PRESSURE[system]])
    for column, mm in enumerate((span.span_mm, span.cantilever_mm) if span else (), start=5):
        page.put(row, column, _measured(mm, "length", system, _LENGTH[system]), _LOOKS[_LENGTH[system]])


def _write_use(page: Page, row: int, use: ZoneUse | None) -> None:
    if use is None:
        return
    page.put(row, _FIGURES + 2, use.attachments, COUNT)
    if use.utilisation is not None:
        page.put(row, _FIGURES + 3, _decimal(use.utilisation, 4), _OVER if use.utilisation > 1 else PERCENT)


def _write_strengths(draft: Draft, page: Page, row: int, roofs: Sequence[RoofLoads]) -> int:
    """What the bracket holds in each roof's sheet, and how that was found."""
    t, systems = draft.t, draft.formats.systems
    page.heading(row, t("Strength of an attachment"))
    forces = [measured_heads("", name, "force", draft.units).values() for name in (t("Strength (N)"), t("Nominal (N)"))]
    named = (head for each in forces for head in each)
    heads = (t("Roof"), t("Direction"), *named, t("Factor"), t("Basis"), t("Derivation"))
    for column, head in enumerate(heads, start=1):
        page.put(row + 1, column, head, HEAD)
    row += 2
    for roof in roofs:
        for each in roof.strength.capacity.strengths if roof.strength else ():
            page.put(row, 1, roof.name, TEXT)
            page.put(row, 2, draft.reader.say(SPOKEN[each.direction]), TEXT)
            figures = [_measured(n, "force", s, 1) for n in (each.strength_n, each.nominal_n) for s in systems]
            for column, figure in enumerate(figures, start=3):
                page.put(row, column, figure, _LOOKS[1])
            after = 3 + len(figures)
            page.put(row, after, _decimal(each.factor, 4), _VALUE)
            page.put(row, after + 1, draft.reader.say(BASIS_WORDS[each.basis]), TEXT)
            text = derivation_words(each, draft.reader)
            page.put(row, after + 2, text, NOTE)
            if after + 2 < _last(draft):
                page.merge(row, after + 2, _last(draft))
            page.lines(row, text, 70)
            row += 1
    return row + 1


def _steps(draft: Draft, roof: RoofLoads) -> list[tuple[str, Step]]:
    sheet: LoadSheet = roof.sheet
    steps = (*sheet.wind_steps, *sheet.snow_steps, *as_spoken(sheet.dead_steps, sheet.own_unit, draft.formats.systems))
    common = [(roof.name, step) for step in steps]
    named = draft.t("zone {zone}", zone="{zone}")
    zones = [
        (f"{roof.name}, {named.format(zone=draft.reader.zone(zone.zone))}", step)
        for zone in sheet.zones
        for step in zone.steps
    ]
    return [*common, *zones]


def _columns(draft: Draft) -> tuple[Column, ...]:
    t = draft.t
    return (
        Column("place", t("Place"), 20, TEXT),
        Column("symbol", t("Symbol"), 16, TEXT),
        Column("value", t("Value"), 15, _VALUE),
        Column("unit", t("Unit"), 13, TEXT),
        *(_other_columns(draft) if len(draft.formats.systems) > 1 else ()),
        Column("formula", t("Formula"), 44, WRAPPED),
        Column("clause", t("Clause"), 32, WRAPPED),
        Column("mark", t("Source of the number"), 26, TEXT),
        Column("doubt", t("To be confirmed"), 13, TEXT),
        Column("note", t("Note"), 40, WRAPPED),
    )


def _other_columns(draft: Draft) -> tuple[Column, ...]:
    """The value in the other system's unit, which the formula does not speak."""
    t = draft.t
    return (
        Column("other_value", t("Value, other system"), 15, _VALUE),
        Column("other_unit", t("Unit, other system"), 13, TEXT),
    )


def _row(reader: Reader, place: str, step: Step, both: bool) -> Row:
    value, other = step.value, in_other_unit(step) if both else None
    return {
        "place": place,
        "symbol": reader.say(step.symbol),
        "value": value if isinstance(value, str) else Decimal(repr(float(value))),
        "unit": step.unit,
        "other_value": Decimal(repr(other[0])) if other else None,
        "other_unit": other[1] if other else None,
        "formula": reader.formula(step.formula),
        "clause": reader.say(step.clause),
        "mark": reader.say(MARK_WORDS[step.mark]),
        "doubt": "!" if step.mark in DOUBTFUL else "",
        "note": reader.say(step.note),
    }


def _cautions(draft: Draft, page: Page, row: int) -> None:
    for caution in draft.estimate.cautions[:2]:
        page.put(row, 1, draft.t(caution), NOTE)
        page.merge(row, 1, _last(draft))
        row += 1


def _last(draft: Draft) -> int:
    """The last column of the sheet's table."""
    return len(_columns(draft))


def _measured(value: float, dimension: Dimension, system: System, places: int) -> Decimal | str:
    """In a system's unit, to so many places; a limit that does not exist as a word."""
    return round(in_unit(value, dimension, system), places) if abs(value) < 1e12 else "–"


def _decimal(value: float, places: int) -> Decimal | str:
    """To so many places; a limit that does not exist as a word."""
    return round(Decimal(repr(float(value))), places) if abs(value) < 1e12 else "–"
