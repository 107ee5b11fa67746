"""The tables of the calculation pages: steps, pressures, strengths, spans, and what the worst places use."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.platypus import Table

from estimator.attachment.load_report import RoofLoads
from estimator.attachment.under_load.records import AttachmentCheck, FieldCheck, LineCheck
from estimator.documents import style
from estimator.documents.fonts.faces import BOLD
from estimator.documents.language.step_units import in_other_unit
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import colour
from estimator.documents.pdf.parts import ROW_LINES, Command, fitted, grid, paragraph
from estimator.estimate import Estimate
from estimator.loads.actions.steps import DOUBTFUL, MARK_WORDS, Step
from estimator.loads.sheet import Load, LoadSheet, ZoneSheet
from estimator.places import NOWHERE, Place
from estimator.units import PSF_PA, side_by_side

DIGITS = 4
NONE = "–"
MOST_FIELDS = 8


def number(value: float, reader: Reader, digits: int = DIGITS) -> str:
    """A number to so many significant digits, its whole part never cut; a limit that does not exist as a dash.

    >>> from estimator.documents.language.texts import reader_for
    >>> en = reader_for("en", "GB", "metric")
    >>> number(0.58, en), number(123456.7, en), number(0.0004567, en), number(float("inf"), en)
    ('0.58', '123,457', '0.0004567', '–')
    """
    if not math.isfinite(value):
        return NONE
    if value == 0:
        return "0"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    rounded = round(value, places)
    shortest = f"{rounded:.{places}f}".rstrip("0").partition(".")[2]
    return reader.formats.decimal(rounded, len(shortest) if places else 0)


def step_table(steps: Sequence[Step], reader: Reader, wide: float) -> Table:
    """Symbol, value, unit, formula, clause, source; a line that is not confirmed is tinted and marked !."""
    t = reader.texts.t
    widths = [76, 88, 40, 0.0, 166, 74]
    widths[3] = wide - sum(widths)
    rows: list[list[Any]] = [[t("Symbol"), t("Value"), t("Unit"), t("Formula"), t("Clause"), t("Source")]]
    commands: list[Command] = [ROW_LINES]
    for step in steps:
        doubtful = step.mark in DOUBTFUL
        if doubtful:
            commands.append(("BACKGROUND", (0, len(rows)), (-1, len(rows)), colour(style.OCHRE_TINT)))
        value = fitted(step.value, widths[1] - 6) if isinstance(step.value, str) else number(step.value, reader)
        unit = step.unit
        other = in_other_unit(step) if len(reader.formats.systems) > 1 else None
        if other is not None:
            value, unit = f"{value}\n({number(other[0], reader)})", f"{unit}\n({other[1]})"
        formula = [paragraph(reader.formula(step.formula))] if step.formula else []
        formula += [paragraph(reader.say(step.note), "muted")] if step.note else []
        mark = reader.say(MARK_WORDS[step.mark])
        source = f"! {mark}" if doubtful else mark
        rows.append([fitted(reader.say(step.symbol), widths[0] - 6, "bold"), value, unit, formula or "",
                     fitted(reader.say(step.clause), widths[4] - 6), source])  # fmt: skip
    return grid(rows, widths, [*commands, ("FACE", (0, 1), (0, -1), BOLD)])


def pressure_table(sheet: LoadSheet, reader: Reader, wide: float) -> Table:
    """Every zone at its effective area: coefficients, wind, snow, and the design pressures with what governs."""
    t, us = reader.texts.t, sheet.own_unit == "psf"
    own, area = str(sheet.own_unit), "ft²" if us else "m²"
    if len(reader.formats.systems) > 1:
        own, area = f"{own}\n({'Pa' if us else 'psf'})", "ft²\n(m²)" if us else "m²\n(ft²)"
    head = [t("Zone"), f"{t('Area')}, {area}", f"{sheet.coefficient} {t('up')}", f"{sheet.coefficient} {t('down')}",
            "γE", "γa", f"{t('Uplift')}, {own}", t("Governed by"), f"{t('Downward')}, {own}", t("Governed by"),
            f"{t('Along the slope')}, {own}"]  # fmt: skip
    widths = [76, 46, 48, 52, 32, 38, 58, 0.0, 74, 0.0, 96]
    widths[7] = widths[9] = (wide - sum(widths)) / 2
    rows: list[list[Any]] = [head]
    for zone in sheet.zones:
        rows.append([
            fitted(reader.zone(zone.zone), widths[0] - 6), _zone_area(zone, reader), number(zone.c_uplift, reader),
            number(zone.c_downward, reader), number(zone.gamma_e, reader), number(zone.gamma_a, reader),
            _load(zone.uplift, reader), fitted(reader.formula(zone.governing_uplift), widths[7] - 6),
            _load(zone.downward, reader), fitted(reader.formula(zone.governing_downward), widths[9] - 6),
            _load(zone.along_slope, reader),
        ])  # fmt: skip
    return grid(rows, widths, [ROW_LINES])


def _load(load: Load, reader: Reader) -> str:
    """In the standard's own unit, and in that of the other system where both are shown."""
    other = load.pa / PSF_PA if load.own == load.pa else load.pa
    texts = [number(each, reader) for each in (load.own, other)]
    return side_by_side(texts[: len(reader.formats.systems)], "\n")


def _zone_area(zone: ZoneSheet, reader: Reader) -> str:
    other = zone.area_m2 / 0.3048**2 if zone.area_own == zone.area_m2 else zone.area_m2
    texts = [number(each, reader) for each in (zone.area_own, other)]
    return side_by_side(texts[: len(reader.formats.systems)], "\n")


def span_table(roof: RoofLoads, reader: Reader, wide: float) -> Table:
    """The longest span and overhang in each zone, and what governs them."""
    t, length = reader.texts.t, reader.formats.stacked.length
    head = [t("Zone"), t("Width carried"), t("Longest span"), t("Ribs"), t("What governs"), t("Longest overhang"),
            t("What governs")]  # fmt: skip
    widths = [90, 76, 76, 40, 0.0, 88, 0.0]
    widths[4] = widths[6] = (wide - sum(widths)) / 2
    rows: list[list[Any]] = [head]
    for span in roof.spans:
        zone = fitted(reader.zone(span.zone), widths[0] - 6)
        rows.append([zone, length(span.tributary_mm), length(span.span_mm),
                     NONE if span.ribs is None else str(span.ribs), fitted(reader.say(span.governs), widths[4] - 6),
                     length(span.cantilever_mm),
                     fitted(reader.say(span.cantilever_governs), widths[6] - 6)])  # fmt: skip
    return grid(rows, widths, [ROW_LINES])


def attachment_table(estimate: Estimate, roof: RoofLoads, reader: Reader, wide: float) -> Table:
    """The worst attachment of each zone: its reaction, area and combination, and the share of its strength used."""
    t = reader.texts.t
    head = [t("Zone"), t("Attachments"), t("Worst at"), t("Normal force"), t("Along the slope"), t("Area"),
            t("Utilisation")]  # fmt: skip
    widths = [90, 70, 0.0, 84, 84, 70, 70]
    widths[2] = wide - sum(widths)
    worst = _worst_by_zone(estimate, roof)
    rows: list[list[Any]] = [head]
    commands: list[Command] = [ROW_LINES]
    for use in roof.zones:
        check = worst.get(use.zone)
        over = use.utilisation is None or use.utilisation > 1
        if over:
            commands.append(("BACKGROUND", (0, len(rows)), (-1, len(rows)), colour(style.OCHRE_TINT)))
        rows.append([
            fitted(reader.zone(use.zone), widths[0] - 6), reader.formats.count(use.attachments),
            fitted(reader.say(use.place) if use.place else "", widths[2] - 6),
            force_text(check.normal_n, reader) if check else NONE, force_text(check.along_n, reader) if check else NONE,
            _area(check, reader),
            utilisation_share(use.utilisation, reader),
        ])  # fmt: skip
    return grid(rows, widths, commands)


def _worst_by_zone(estimate: Estimate, roof: RoofLoads) -> dict[str, AttachmentCheck]:
    found: dict[str, AttachmentCheck] = {}
    for _, line in _lines_of(estimate, roof):
        for check in line.attachments:
            if check.zone not in found or check.utilisation > found[check.zone].utilisation:
                found[check.zone] = check
    return found


def _lines_of(estimate: Estimate, roof: RoofLoads) -> Iterator[tuple[Place, LineCheck]]:
    """The distinct lines checked on one roof, each with the first run it stands for."""
    loads, runs = estimate.loads, estimate.setting_out.runs
    with_rail = estimate.mounting.rail is not None
    owners = [run.roof for run in runs] if with_rail else [edge[0] for edge in loads.edges]
    places = [run.place for run in runs] if with_rail else [NOWHERE] * len(owners)
    seen: set[int] = set()
    for owner, place, at in zip(owners, places, loads.check_of, strict=False):
        if owner == roof.roof and at not in seen:
            seen.add(at)
            yield place, loads.checks[at]


def rail_table(estimate: Estimate, roof: RoofLoads, reader: Reader, wide: float) -> Table | None:
    """The stretches of rail whose bending or deflection uses most of its limit; None without a rail."""
    if estimate.mounting.rail is None:
        return None
    t, length = reader.texts.t, reader.formats.stacked.length
    fields = [(place, field) for place, line in _lines_of(estimate, roof) for field in line.fields]
    fields.sort(key=lambda each: -max(each[1].bending, each[1].deflection))
    head = [t("Run"), t("Stretch"), t("Begins at"), t("Ends at"), t("Moment"), t("Moment along the slope"),
            t("Bending used"), t("Deflection"), t("Deflection used")]  # fmt: skip
    widths = [0.0, 60, 70, 70, 82, 82, 66, 70, 70]
    widths[0] = wide - sum(widths)
    rows: list[list[Any]] = [head]
    for place, field in fields[:MOST_FIELDS]:
        name = t("overhang") if field.cantilever else t("span")
        rows.append([fitted(reader.say(place), widths[0] - 6), name, length(field.start_mm), length(field.end_mm),
                     moment_text(field.moment_n_mm, reader), moment_text(field.weak_moment_n_mm, reader),
                     utilisation_share(field.bending, reader),
                     _deflection(field, reader), utilisation_share(field.deflection, reader)])  # fmt: skip
    return grid(rows, widths, [ROW_LINES]) if fields else None


def _stacked(reader: Reader, metric: str, us: str) -> str:
    """In the reader's systems, of two the second below the first."""
    return side_by_side([us if system == "us" else metric for system in reader.formats.systems], "\n")


def in_systems(reader: Reader, metric: tuple[float, str], us: tuple[float, str]) -> str:
    """A figure with its unit, in the reader's systems."""
    texts = [f"{number(value, reader)} {unit}" for value, unit in (metric, us)]
    return _stacked(reader, *texts)


def _deflection(field: FieldCheck, reader: Reader) -> str:
    mm = math.copysign(math.hypot(field.deflection_mm, field.weak_deflection_mm), field.deflection_mm)
    return _stacked(reader, f"{number(mm, reader, 3)} mm", f"{number(mm / 25.4, reader, 3)} in")


def force_text(newtons: float, reader: Reader) -> str:
    """In the reader's systems, one below the other."""
    if not math.isfinite(newtons):
        return NONE
    return reader.formats.stacked.quantity(newtons, "force", 0 if abs(newtons) >= 100 else 1)


def _area(check: AttachmentCheck | None, reader: Reader) -> str:
    if check is None:
        return NONE
    decimal = reader.formats.decimal
    return _stacked(reader, f"{decimal(check.area_m2, 2)} m²", f"{decimal(check.area_m2 / 0.3048**2, 2)} ft²")


def moment_text(moment: float, reader: Reader) -> str:
    """N m, or lbf in in the United States."""
    us = f"{number(moment / (4.4482216152605 * 25.4), reader)} lbf·in"
    return _stacked(reader, f"{number(moment / 1000, reader)} N·m", us)


def utilisation_share(utilisation: float | None, reader: Reader) -> str:
    """A utilisation with two decimals, rounded up, so that 1.001 never reads as 1.00."""
    if utilisation is None or not math.isfinite(utilisation):
        return NONE
    return reader.formats.decimal(math.ceil(utilisation * 100 - 1e-9) / 100, 2)
