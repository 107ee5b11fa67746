"""The calculation sheet of the loads: spans and utilisation by zone, then every step line by line, roof by roof."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from estimator.attachment.load_report import RoofLoads
from estimator.attachment.loaded_records import ZoneSpan, ZoneUse
from estimator.documents.strength_words import BASIS_WORDS, SPOKEN, derivation_words
from estimator.documents.texts import Reader
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.looks import CAUTION, COUNT, HEAD, NOTE, PERCENT, TEXT, WRAPPED, Look
from estimator.documents.workbook.page import Page
from estimator.documents.workbook.printing import print_wide
from estimator.documents.workbook.tables import Column, Row, write_table
from estimator.loads.sheet import LoadSheet
from estimator.loads.steps import DOUBTFUL, MARK_WORDS, Step

_VALUE = Look(number_format="#,##0.0000", across="right", rule="below")
_ONE = Look(number_format="#,##0.0", across="right", rule="below")
_OVER = Look(number_format="0.00%", across="right", rule="below", bold=True, fill=CAUTION.fill)
_COLUMNS = 9


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
    rows: list[Row] = [_row(draft.reader, place, step) for roof in roofs for place, step in _steps(draft, roof)]
    if rows:
        row = write_table(page, row + 1, "Loads", _columns(draft), rows).last
    _cautions(draft, page, row + 2)
    print_wide(draft, page)


def _write_zones(draft: Draft, page: Page, row: int, roof: RoofLoads) -> int:
    """Pressures, spans and the worst utilisation of every zone of one roof."""
    t = draft.t
    page.heading(row, t("Roof {name}: zones", name=roof.name))
    heads = (
        t("Zone"),
        t("Uplift (Pa)"),
        t("Downward (Pa)"),
        t("Along the slope (Pa)"),
        t("Longest span (mm)"),
        t("Longest overhang (mm)"),
        t("What governs"),
        t("Attachments"),
        t("Worst utilisation"),
    )
    for column, head in enumerate(heads, start=1):
        page.put(row + 1, column, head, HEAD)
    page.sheet.row_dimensions[row + 1].height = 28
    uses = {use.zone: use for use in roof.zones}
    row += 2
    for zone in roof.sheet.zones:
        spans = [span for span in roof.spans if span.zone == zone.zone]
        pressures = (zone.uplift.pa, zone.downward.pa, zone.along_slope.pa)
        page.put(row, 1, draft.reader.zone(zone.zone), TEXT)
        for column, pressure in enumerate(pressures, start=2):
            page.put(row, column, _decimal(pressure, 1), _ONE)
        _write_span(draft.reader, page, row, min(spans, key=lambda span: span.span_mm, default=None))
        _write_use(page, row, uses.get(zone.zone))
        row += 1
    return row + 1


def _write_span(reader: Reader, page: Page, row: int, span: ZoneSpan | None) -> None:
    if span is None:
        return
    page.put(row, 5, _decimal(span.span_mm, 0), COUNT)
    page.put(row, 6, _decimal(span.cantilever_mm, 0), COUNT)
    page.put(row, 7, f"{reader.say(span.governs)}; {reader.say(span.cantilever_governs)}", WRAPPED)


def _write_use(page: Page, row: int, use: ZoneUse | None) -> None:
    if use is None:
        return
    page.put(row, 8, use.attachments, COUNT)
    if use.utilisation is not None:
        page.put(row, 9, _decimal(use.utilisation, 4), _OVER if use.utilisation > 1 else PERCENT)


def _write_strengths(draft: Draft, page: Page, row: int, roofs: Sequence[RoofLoads]) -> int:
    """What the bracket holds in each roof's sheet, and how that was found."""
    t = draft.t
    page.heading(row, t("Strength of an attachment"))
    heads = (t("Roof"), t("Direction"), t("Strength (N)"), t("Nominal (N)"), t("Factor"), t("Basis"), t("Derivation"))
    for column, head in enumerate(heads, start=1):
        page.put(row + 1, column, head, HEAD)
    row += 2
    for roof in roofs:
        for each in roof.strength.capacity.strengths if roof.strength else ():
            page.put(row, 1, roof.name, TEXT)
            page.put(row, 2, draft.reader.say(SPOKEN[each.direction]), TEXT)
            page.put(row, 3, _decimal(each.strength_n, 1), _ONE)
            page.put(row, 4, _decimal(each.nominal_n, 1), _ONE)
            page.put(row, 5, _decimal(each.factor, 4), _VALUE)
            page.put(row, 6, draft.reader.say(BASIS_WORDS[each.basis]), TEXT)
            text = derivation_words(each, draft.reader)
            page.put(row, 7, text, NOTE)
            page.merge(row, 7, _COLUMNS)
            page.lines(row, text, 70)
            row += 1
    return row + 1


def _steps(draft: Draft, roof: RoofLoads) -> list[tuple[str, Step]]:
    sheet: LoadSheet = roof.sheet
    common = [(roof.name, step) for step in (*sheet.wind_steps, *sheet.snow_steps, *sheet.dead_steps)]
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
        Column("formula", t("Formula"), 44, WRAPPED),
        Column("clause", t("Clause"), 32, WRAPPED),
        Column("mark", t("Source of the number"), 26, TEXT),
        Column("doubt", t("To be confirmed"), 13, TEXT),
        Column("note", t("Note"), 40, WRAPPED),
    )


def _row(reader: Reader, place: str, step: Step) -> Row:
    value = step.value
    return {
        "place": place,
        "symbol": reader.say(step.symbol),
        "value": value if isinstance(value, str) else Decimal(repr(float(value))),
        "unit": step.unit,
        "formula": reader.formula(step.formula),
        "clause": reader.clause(step.clause),
        "mark": reader.say(MARK_WORDS[step.mark]),
        "doubt": "!" if step.mark in DOUBTFUL else "",
        "note": reader.say(step.note),
    }


def _cautions(draft: Draft, page: Page, row: int) -> None:
    for caution in draft.estimate.cautions[:2]:
        page.put(row, 1, draft.t(caution), NOTE)
        page.merge(row, 1, _COLUMNS)
        row += 1


def _decimal(value: float, places: int) -> Decimal | str:
    """To so many places; a limit that does not exist as a word."""
    return round(Decimal(repr(float(value))), places) if abs(value) < 1e12 else "–"
