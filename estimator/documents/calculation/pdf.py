"""The load calculation as PDF pages an engineer can follow line by line; symbols as the standard writes them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.platypus import CondPageBreak, NextPageTemplate, PageBreak

from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.safety_format import Rated
from estimator.attachment.load_report import RoofLoads
from estimator.attachment.under_load.checks.clamps import rated_clamp
from estimator.comparison.records import Offer
from estimator.documents import style
from estimator.documents.calculation.strengths import clamp_table, rail_strength_table, splice_table, strength_table
from estimator.documents.calculation.tables import (
    attachment_table,
    pressure_table,
    rail_table,
    span_table,
    step_table,
)
from estimator.documents.calculation.zones import zone_tables
from estimator.documents.header import QuoteHeader
from estimator.documents.language.step_units import as_spoken
from estimator.documents.language.texts import Reader, mark, reader_for
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import LYING, UPRIGHT, PageHead, build_pdf, colour, frame_size
from estimator.documents.pdf.parts import Command, gap, grid, heading, paragraph
from estimator.documents.quoting.sheet_head import number_line, sheet_head
from estimator.estimate import Estimate
from estimator.loads.actions.coverage import coverage
from estimator.loads.actions.steps import MARK_WORDS, Mark, Step
from estimator.pricebook import Clamp

MARKS: tuple[tuple[Mark, str], ...] = (
    ("found", mark("confirmed in public records of the standard")),
    ("found once", mark("one transcription only: compare with the printed standard")),
    ("from memory", mark("not confirmed: compare with the printed standard")),
    ("computed", mark("follows from the formula beside it")),
    ("given", mark("the job's own value")),
    ("assumed", mark("not given in the job; the default was used")),
)
"""The marks of ``estimator.loads.actions.steps`` in the words of the page."""
ENGINEER = mark(
    "This sheet is preliminary. A licensed engineer verifies every line for the site, and the codes in force there "
    "come before it. Lines marked ! are not confirmed against the printed standard."
)
PRELIMINARY = mark("Preliminary: to be verified by a licensed engineer.")
BOTH_AXES = mark(
    "Bending used is |M| over its limiting moment, summed over both axes at one place and in one combination. Twisting "
    "of the rail by a load beside its axis is not checked."
)
BOTH_SHARES = mark("Utilisation is |M| over its limiting moment plus |V| over its limiting shear, in one combination.")
ASSUMED_TO_RUN_THROUGH = mark(
    "The splice has no tested strengths in the pricebook: the rail is assumed to run through it, which is not checked."
)
NOT_COMPUTED = mark("No loads were computed: the job gives its spans and overhangs, and they were taken as given.")


def write_calculation(offer: Offer, header: QuoteHeader) -> bytes:
    """The calculation of every roof of an offer. The same offer and head give the same bytes."""
    estimate, job = offer.estimate, offer.estimate.job
    country = job.site.address.country or job.customer.address.country
    reader = reader_for(header.language, job.customer.address.country, job.display_units, estimate.book.texts)
    paper = header.paper or style.paper_for(country)
    wide, _ = frame_size(paper, lying=True)
    story: list[Any] = list(_front(estimate, header, reader, frame_size(paper)[0]))
    for roof in estimate.loads.roofs:
        if roof.sheet.computed:
            story += [NextPageTemplate(LYING), PageBreak(), *_roof(estimate, roof, reader, wide)]
    return build_pdf([NextPageTemplate(UPRIGHT), *story], _page_head(estimate, header, reader, paper))


def _page_head(estimate: Estimate, header: QuoteHeader, reader: Reader, paper: str) -> PageHead:
    t, stands = reader.texts.t, estimate.provenance
    name = t("Calculation for quote {number}, revision {revision}", number=header.number, revision=header.revision)
    more = f" · {stands.pricebook} {stands.edition}, {stands.engine}"
    return sheet_head(estimate, header, reader, paper, name, t(PRELIMINARY), more)


def _front(estimate: Estimate, header: QuoteHeader, reader: Reader, wide: float) -> Iterator[Any]:
    """Title, cautions, what the marks mean, and the checks that do not hold."""
    t, job = reader.texts.t, estimate.job
    number = number_line(header, reader)
    left = [paragraph(job.title, "bold"), paragraph(job.customer.name, "muted")]
    right = [paragraph(t("Calculation"), "title", right=True), paragraph(number, "bold", right=True)]
    rule: Command = ("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE))
    flush: list[Command] = [("LEFTPADDING", (0, 0), (0, 0), 0), ("RIGHTPADDING", (-1, 0), (-1, 0), 0)]
    bottom: Command = ("VALIGN", (0, 0), (-1, -1), "BOTTOM")
    yield grid([[left, right]], [wide * 0.6, wide * 0.4], [*flush, bottom, rule], head_rows=0, layout=True)
    yield gap()
    yield paragraph(t(ENGINEER), "alert")
    yield heading(t("Cautions"))
    for caution in estimate.cautions:
        yield paragraph(f"– {t(caution)}")
    computed = [roof for roof in estimate.loads.roofs if roof.sheet.computed]
    if not computed:
        yield heading(t("Loads"))
        yield paragraph(t(NOT_COMPUTED))
    else:
        yield heading(t("Where each number comes from"))
        rows = [[paragraph(reader.say(MARK_WORDS[name]), "bold"), paragraph(t(words))] for name, words in MARKS]
        yield grid(rows, [90, wide - 90], head_rows=0)
    yield heading(t("What is checked and what is not"))
    yield _coverage(estimate, reader, wide)
    failing = [
        reader.say(check.message) for check in estimate.checks if check.severity != "note" and not check.tells_cost
    ]
    if failing:
        yield heading(t("Checks to be aware of"))
        look = [("BACKGROUND", (0, 0), (-1, -1), colour(style.OCHRE_TINT)),
                ("LINEBEFORE", (0, 0), (0, -1), 2.0, colour(style.OCHRE))]  # fmt: skip
        yield grid([[paragraph(message, "small")] for message in failing], [wide], look, head_rows=0)
    note = missing_note((job.title, job.customer.name, [roof.name for roof in job.roofs], failing), reader)
    if note:
        yield gap()
        yield paragraph(note, "alert")


def _coverage(estimate: Estimate, reader: Reader, wide: float) -> Any:  # noqa: ANN401
    """Every load and effect somebody might expect, those that are checked first."""
    t = reader.texts.t
    rows = [
        [paragraph(t("checked") if each.checked else t("not checked"), "body" if each.checked else "bold"),
         paragraph(reader.say(each.what), "bold"), paragraph(reader.say(each.how))]
        for each in coverage(estimate.job.site.loads.standard)
    ]  # fmt: skip
    return grid(rows, [70, (wide - 70) * 0.42, (wide - 70) * 0.58], [("LINEBELOW", (0, 0), (-1, -1), 0.25,
                                                                    colour(style.RULE))], head_rows=0)  # fmt: skip


def _roof(estimate: Estimate, roof: RoofLoads, reader: Reader, wide: float) -> Iterator[Any]:
    """One roof from the factors down to the worst attachment of each zone."""
    t, sheet = reader.texts.t, roof.sheet
    yield heading(t("Roof {name}", name=roof.name))
    names = {"asd": t("allowable strength design"), "lrfd": t("load and resistance factor design"),
             "en": t("limit states")}  # fmt: skip
    method = names.get(sheet.method if sheet.own_unit == "psf" else "en", sheet.method)
    yield paragraph(f"{sheet.standard.upper()}, {method}")
    parts: tuple[tuple[str, Sequence[Step]], ...] = (
        (t("Wind"), sheet.wind_steps),
        (t("Snow"), sheet.snow_steps),
        (t("Dead load"), as_spoken(sheet.dead_steps, sheet.own_unit, reader.formats.systems)),
    )
    for title, steps in parts:
        if steps:
            yield from _block(title, step_table(steps, reader, wide))
    yield from _block(t("Design pressures by zone"), pressure_table(sheet, reader, wide))
    for title, table in zone_tables(sheet.zones, reader, wide):
        yield from _block(title, table)
    yield from _strengths(estimate, roof, reader, wide)
    if roof.spans:
        yield from _block(t("Longest spans by zone"), span_table(roof, reader, wide))
    if roof.zones:
        yield from _block(t("Worst attachment of each zone"), attachment_table(estimate, roof, reader, wide))
    rails = rail_table(estimate, roof, reader, wide)
    if rails is not None:
        yield from _block(t("Most used stretches of rail"), rails)
    for check in estimate.loads.splices:
        if check.roof == roof.roof:
            yield from _block(t("Rigid splices"), splice_table(check, reader, wide))
            untested = check.utilisation is None
            yield paragraph(t(ASSUMED_TO_RUN_THROUGH if untested else BOTH_SHARES), "small")


def _strengths(estimate: Estimate, roof: RoofLoads, reader: Reader, wide: float) -> Iterator[Any]:
    """What attachment, clamps and rail may take."""
    t, rail = reader.texts.t, estimate.mounting.rail
    if roof.strength is None:
        return
    if roof.strength.capacity.strengths:
        title = t("Strength of an attachment ({bracket})", bracket=roof.strength.capacity.bracket)
        yield from _block(title, strength_table(roof.strength.capacity, reader, wide))
        clamps = _clamps(estimate, roof.strength.capacity.method)
        if clamps:
            yield from _block(t("Strength of a clamp under uplift"), clamp_table(clamps, reader, wide))
    if rail is not None:
        title = t("Strength of the rail ({rail})", rail=rail.rail)
        yield from _block(title, rail_strength_table(rail, roof.strength, reader, wide))
        if roof.strength.both_axes:
            yield paragraph(t(BOTH_AXES), "small")


def _clamps(estimate: Estimate, method: Method) -> list[tuple[Clamp, Rated]]:
    """The clamps that have a strength, each once."""
    every = dict.fromkeys((estimate.mounting.mid_clamp, estimate.mounting.end_clamp))
    found = [(clamp, rated_clamp(clamp, method)) for clamp in every]
    return [(clamp, strength) for clamp, strength in found if strength is not None]


def _block(title: str, table: Any) -> Iterator[Any]:  # noqa: ANN401
    yield CondPageBreak(80)
    yield heading(title)
    yield table
