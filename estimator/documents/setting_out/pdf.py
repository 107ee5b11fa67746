"""The setting-out sheet as PDF: what the crew measures on the roof, to 1 mm or 1/16 in; no prices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.platypus import CondPageBreak, NextPageTemplate, PageBreak, Table

from estimator.comparison.records import Offer
from estimator.documents import style
from estimator.documents.drawing.plan import plans_of
from estimator.documents.drawing.sheets import plan_pages
from estimator.documents.fonts.faces import drawable
from estimator.documents.header import QuoteHeader
from estimator.documents.language.texts import Reader, mark, reader_for
from estimator.documents.pdf.logo import logo_marks
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import UPRIGHT, PageHead, build_pdf, colour, frame_size
from estimator.documents.pdf.parts import ROW_LINES, Command, fitted, gap, grid, heading, paragraph, right_from
from estimator.documents.quoting.checks import checks_by_kind
from estimator.documents.quoting.sheet_head import BUILDABLE, number_line, sheet_head
from estimator.documents.setting_out.lines import LineGroup, RoofLines, setting_out_of
from estimator.documents.setting_out.words import METHOD, NOT_FOR_BUILDING, fastening, line_name, outline_words, tools
from estimator.estimate import Estimate

EXPANSION = "*"
ACROSS = 3
"""Bracket columns beside one another."""
FLUSH = (
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
)


def write_setting_out(offer: Offer, header: QuoteHeader) -> bytes:
    """The setting-out sheet of an offer. The same offer and head give the same bytes."""
    estimate, job = offer.estimate, offer.estimate.job
    reader = reader_for(header.language, job.customer.address.country, job.display_units, estimate.book.texts)
    country = job.site.address.country or job.customer.address.country
    paper = header.paper or style.paper_for(country)
    wide, _ = frame_size(paper)
    plans = plans_of(estimate)
    story = list(_front(estimate, header, reader, wide))
    story += plan_pages(plans, reader, paper)
    for roof in setting_out_of(estimate):
        story += [NextPageTemplate(UPRIGHT), PageBreak(), *_roof(roof, fastening(estimate, reader), reader, wide)]
    return build_pdf(story, _page_head(estimate, header, reader, paper))


def _page_head(estimate: Estimate, header: QuoteHeader, reader: Reader, paper: str) -> PageHead:
    t = reader.texts.t
    name = t("Setting-out for quote {number}, revision {revision}", number=header.number, revision=header.revision)
    draft = t(NOT_FOR_BUILDING) if header.state not in BUILDABLE else ""
    return sheet_head(estimate, header, reader, paper, name, draft)


def _front(estimate: Estimate, header: QuoteHeader, reader: Reader, wide: float) -> Iterator[Any]:
    """Title, how to measure, tools, cautions, and the checks that do not hold."""
    t, job = reader.texts.t, estimate.job
    left = [*logo_marks(estimate.seller, reader), paragraph(job.title, "bold"), paragraph(job.customer.name, "muted")]
    number = number_line(header, reader)
    right = [paragraph(t("Setting-out"), "title", right=True), paragraph(number, "bold", right=True)]
    rule = ("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE))
    yield grid([[left, right]], [wide * 0.6, wide * 0.4], [*FLUSH, rule], head_rows=0, layout=True)
    if noted := [line for line in job.notes.splitlines() if line.strip()]:
        yield heading(t("Notes"))
        yield from (paragraph(line) for line in noted)
    yield heading(t("How to measure"))
    for number_, sentence in enumerate(METHOD, start=1):
        yield paragraph(f"{number_}. {t(sentence)}")
    yield heading(t("Tools"))
    for tool in tools(estimate, reader):
        yield paragraph(f"– {tool}")
    yield heading(t("Cautions"))
    for caution in estimate.cautions:
        yield paragraph(f"– {t(caution)}")
    failing = [row.message for row in checks_by_kind(estimate, reader)]
    if failing:
        yield heading(t("Checks to be aware of"))
        look = [("BACKGROUND", (0, 0), (-1, -1), colour(style.OCHRE_TINT)),
                ("LINEBEFORE", (0, 0), (0, -1), 2.0, colour(style.OCHRE)),
                ("LEFTPADDING", (0, 0), (0, -1), 8)]  # fmt: skip
        yield grid([[paragraph(message, "small")] for message in failing], [wide], look, head_rows=0)
    note = missing_note((job.title, job.notes, job.customer.name, [roof.name for roof in job.roofs], failing), reader)
    if note:
        yield gap()
        yield paragraph(note, "alert")


def _roof(roof: RoofLines, fastened: tuple[str, ...], reader: Reader, wide: float) -> Iterator[Any]:
    """The roof's ribs and how things are fastened; then every array, from a page of its own on."""
    t, length = reader.texts.t, reader.formats.length
    yield heading(t("Roof {name}", name=roof.name))
    yield paragraph(
        t(
            "{count} ribs; the first stands {first} from the left roof edge, then one every {pitch}.",
            count=reader.formats.count(roof.ribs),
            first=length(roof.first_rib_mm),
            pitch=length(roof.rib_spacing_mm),
        )
    )
    for sentence in fastened:
        yield paragraph(sentence)
    for at, outline in enumerate(roof.outlines):
        if at:
            yield PageBreak()
        yield heading(t("Array {name}", name=outline.array))
        for sentence in outline_words(outline, reader):
            yield paragraph(sentence)
        for group in (each for each in roof.groups if each.number == outline.number):
            yield CondPageBreak(110)
            yield from _group(group, reader, wide)


def _group(group: LineGroup, reader: Reader, wide: float) -> Iterator[Any]:
    """The string lines, the rail's ends and splices, the brackets."""
    t, length = reader.texts.t, reader.formats.length
    yield heading(t("Array {name}", name=group.array) + ": " + _lines_named(group, reader))
    yield _string_lines(group, reader, wide)
    if group.ends_mm is not None:
        start, end = (length(place) for place in group.ends_mm)
        whole = length(group.ends_mm[1] - group.ends_mm[0])
        yield gap(style.SPACING.unit)
        yield paragraph(t("Rail from {start} to {end}, {length} long.", start=start, end=end, length=whole), "bold")
    yield gap(style.SPACING.unit)
    if group.brackets:
        yield _brackets(group, reader, wide)
    else:
        yield paragraph(t("No bracket could be placed here; see the checks."), "alert")


def _lines_named(group: LineGroup, reader: Reader) -> str:
    """How many lines share the table, and of what kind."""
    words = {
        "across": (mark("{count} rail across the ribs"), mark("{count} rails across the ribs")),
        "along": (mark("{count} rail along the ribs"), mark("{count} rails along the ribs")),
        "seam": (mark("{count} seam line"), mark("{count} seam lines")),
    }
    one, many = words[group.kind]
    return reader.texts.tn(one, many, len(group.lines))


def _string_lines(group: LineGroup, reader: Reader, wide: float) -> Table:
    """The lines' distances from the eave (from the left edge for rails along the ribs), and where their rails join."""
    t, length = reader.texts.t, reader.formats.length
    along, at = group.kind == "along", reader.formats.stacked.length
    head = [t("String line"), *([t("Rib")] if along else []), t("From left") if along else t("From eave")]
    cells = [
        [line_name(line, group.kind, reader), *([str(line.rib or "?")] if along else []), at(line.at_mm)]
        for line in group.lines
    ]
    if not any(line.splices for line in group.lines):
        return _in_columns(head, cells, (0.52, 0.14, 0.34) if along else (0.6, 0.4), wide, _across(head, reader))
    shares = (0.27, 0.07, 0.13, 0.53) if along else (0.27, 0.13, 0.60)
    if len(reader.formats.systems) > 1:  # lengths in two systems
        shares = (0.27, 0.06, 0.17, 0.50) if along else (0.27, 0.17, 0.56)
    widths = [share * wide for share in shares]
    where = t("Splices, from eave") if along else t("Splices, from left")
    rows: list[list[Any]] = [[*head, f"{where} ({EXPANSION} {t('expansion splice')})"]]
    for line, cell in zip(group.lines, cells, strict=True):
        places = [length(s.from_edge_mm) + (EXPANSION if s.kind == "expansion" else "") for s in line.splices]
        rows.append([*cell, fitted("; ".join(places), widths[-1] - 14)])
    apart: Command = ("LEFTPADDING", (-1, 0), (-1, -1), 10)
    return grid(rows, widths, [("ALIGN", (1, 0), (-2, -1), "RIGHT"), apart, ROW_LINES])


def _brackets(group: LineGroup, reader: Reader, wide: float) -> Table:
    """Every bracket: number, rib, distance from the edge, distance from the one before."""
    t, length = reader.texts.t, reader.formats.stacked.length
    edge = t("From eave") if group.kind == "along" else t("From left")
    head = [t("No."), edge, t("Spacing")]
    if group.kind != "along":
        head.insert(1, t("Rib"))
    clamped = any(bracket.clamp for bracket in group.brackets)
    clamps = {"mid_clamp": t("mid"), "end_clamp": t("end")}
    if clamped:
        head.append(t("Clamp"))
    cells = []
    for bracket in group.brackets:
        before = "" if bracket.from_previous_mm is None else length(bracket.from_previous_mm)
        row = [str(bracket.number), length(bracket.from_edge_mm), before]
        if group.kind != "along":
            row.insert(1, str(bracket.rib or "?"))
        if clamped:
            row.append(clamps[bracket.clamp])
        cells.append(row)
    shares = {3: (0.16, 0.44, 0.40), 4: (0.13, 0.19, 0.36, 0.32), 5: (0.13, 0.13, 0.28, 0.26, 0.20)}[len(head)]
    if len(reader.formats.systems) > 1:
        shares = {3: (0.12, 0.44, 0.44), 4: (0.12, 0.15, 0.38, 0.35), 5: (0.13, 0.13, 0.28, 0.26, 0.20)}[len(head)]
    return _in_columns(head, cells, shares, wide, _across(head, reader))


def _across(head: Sequence[str], reader: Reader) -> int:
    """How many columns of a list stand beside one another; lengths in two systems need room."""
    return ACROSS - (len(head) > 4) - (len(reader.formats.systems) > 1)


def _in_columns(
    head: Sequence[str], cells: Sequence[Sequence[str]], shares: Sequence[float], wide: float, across: int
) -> Table:
    """A long narrow list as a table of several columns, read downwards, a narrow gap between them."""
    per_column = -(-len(cells) // across)
    columns = [cells[at : at + per_column] for at in range(0, len(cells), per_column)]
    between = 10.0
    room = (wide - between * (across - 1)) / across
    widths: list[float] = []
    rows: list[list[str]] = [[] for _ in range(per_column + 1)]
    commands: list[tuple[Any, ...]] = [right_from(0)]
    for number in range(len(columns)):
        if number:
            widths.append(between)
            for row in rows:
                row.append("")
            gap_column = len(widths) - 1
            commands.append(("BACKGROUND", (gap_column, 0), (gap_column, 0), colour(style.PAPER)))
        first = len(widths)
        widths += [share * room for share in shares]
        rows[0] += [drawable(text) for text in head]
        for at in range(per_column):
            rows[at + 1] += columns[number][at] if at < len(columns[number]) else [""] * len(head)
        used = len(columns[number])
        commands.append(("LINEBELOW", (first, 1), (len(widths) - 1, used), 0.25, colour(style.RULE)))
        commands.append(("ALIGN", (first, 0), (first, -1), "LEFT"))
    return grid(rows, widths, commands)
