"""The saw list of an order as PDF: rails of several quotes cut from common bars, drawn to scale; never a price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from reportlab.platypus import PageBreak, Table

from estimator.documents import style
from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import INVENTED
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import PageHead, build_pdf, colour, frame_size
from estimator.documents.pdf.parts import ROW_LINES, Command, fitted, gap, grid, heading, paragraph, right_from
from estimator.documents.sawing.common_rails import SawnRail, sawn_rails
from estimator.documents.sawing.common_words import ALIKE, MOVED, OWN_LISTS, saw_paper, saw_reader
from estimator.documents.sawing.patterns import Patterns, pattern_sections
from estimator.documents.sawing.pieces import SawPiece
from estimator.documents.sawing.tables import (
    bars_table,
    cut_length,
    long_length,
    mass_of,
    totals_table,
    whose,
)
from estimator.documents.sawing.words import AT_THE_SAW
from estimator.orders import CommonCut, QuoteSite
from estimator.trial import CAUTIONS

TENTHS_PER_MM = 10


@dataclass(frozen=True, slots=True)
class _Paper:
    rails: tuple[SawnRail, ...]
    header: OrderHeader
    reader: Reader
    wide: float
    towns: Mapping[str, str]


def write_order_saw_list(together: Sequence[CommonCut], header: OrderHeader, sites: Sequence[QuoteSite] = ()) -> bytes:
    """The saw list of an order, a page for each rail to begin on; the same plans and head give the same bytes.

    ``sites`` tell where each quote's pieces go. Equal pieces of bars cut alike stand together, for each job.
    Refuses (Conflict) an order with nothing cut together.
    """
    rails = sawn_rails(together)
    reader, size = saw_reader(rails, header), saw_paper(rails, header)
    towns = {site.quote: site.address.town for site in sites}
    paper = _Paper(rails, header, reader, frame_size(size)[0], towns)
    story: list[Any] = list(_front(paper))
    for at, rail in enumerate(rails):
        story += [PageBreak()] if at else []
        story += _rail(rail, paper)
    return build_pdf(story, _page_head(paper, size))


def _page_head(paper: _Paper, size: str) -> PageHead:
    t, house = paper.reader.texts.t, paper.rails[0].sheet.house
    title = t("Saw list for order {number}", number=paper.header.number)
    invented = any(rail.sheet.invented for rail in paper.rails)
    return PageHead(
        paper=size,
        language=paper.reader.texts.locale.replace("_", "-"),
        title=title,
        author=house.name,
        dated=paper.header.dated,
        foot=f"{title} · {house.name}",
        page_of=t("Page {page} of {pages}"),
        marks=(t(INVENTED),) if invented else (),
    )


def _front(paper: _Paper) -> Iterator[Any]:
    """Title, how to work at the saw, cautions, and what could not be printed."""
    t, wide, house = paper.reader.texts.t, paper.wide, paper.rails[0].sheet.house
    left = [paragraph(house.name, "bold"), paragraph(paper.reader.formats.date(paper.header.dated), "muted")]
    right = [paragraph(t("Saw list"), "title", right=True), paragraph(paper.header.number, "bold", right=True)]
    look: list[Command] = [("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE)),
                           ("LEFTPADDING", (0, 0), (0, 0), 0), ("RIGHTPADDING", (-1, 0), (-1, 0), 0),
                           ("VALIGN", (0, 0), (-1, -1), "BOTTOM")]  # fmt: skip
    yield grid([[left, right]], [wide * 0.6, wide * 0.4], look, head_rows=0, layout=True)
    yield heading(t("At the saw"))
    for sentence in AT_THE_SAW:
        yield paragraph(f"– {t(sentence)}")
    yield heading(t("Cautions"))
    for caution in CAUTIONS:
        yield paragraph(f"– {t(caution)}")
    yield gap()
    yield paragraph(t(ALIKE))
    yield paragraph(t(OWN_LISTS), "muted")
    note = missing_note([(r.sheet.profile, r.sheet.jobs, r.common.plan.run_places) for r in paper.rails], paper.reader)
    if note:
        yield gap()
        yield paragraph(note, "alert")


def _rail(rail: SawnRail, paper: _Paper) -> Iterator[Any]:
    """One rail: whose it is, bars to fetch, totals, what cutting together saves, patterns."""
    reader, wide, plan, sheet = paper.reader, paper.wide, rail.common.plan, rail.sheet
    t = reader.texts.t
    yield heading(t("Rail {rail}: {profile}", rail=rail.common.rail, profile=reader.say(sheet.profile)))
    if rail.common.joints_moved:
        yield paragraph(t(MOVED), "alert")
    yield _quotes_table(rail, paper)
    yield heading(t("Pieces by job"))
    yield _lengths_table(rail, paper)
    yield heading(t("Bars"))
    yield bars_table(plan, reader, wide)
    yield heading(t("Totals"))
    yield totals_table(plan, sheet.mass_kg_per_m, reader, wide)
    yield heading(t("What cutting together saves"))
    yield _saved_table(rail, paper)
    pieces = tuple(each.piece for each in rail.pieces)
    yield from pattern_sections(Patterns(plan, pieces, sheet.saw, rail.first_pattern), reader, wide)


def _quotes_table(rail: SawnRail, paper: _Paper) -> Table:
    """The quotes with their jobs and sites, how many pieces are sawn for each, and how many bars it gets whole."""
    t, number = paper.reader.texts.t, paper.reader.formats.count
    rows: list[list[Any]] = [[t("Quote"), t("Job"), t("Site"), t("Pieces to cut"), t("Bars that stay whole")]]
    widths = [share * paper.wide for share in (0.2, 0.26, 0.22, 0.14, 0.18)]
    cuts = [pattern.cuts for pattern in rail.common.plan.bars]
    for quote, job in zip(rail.common.quotes, rail.sheet.jobs, strict=True):
        own = [bool(cuts[each.piece.pattern - rail.first_pattern]) for each in rail.pieces if each.quote == quote]
        sawn, whole = own.count(True), own.count(False)
        named = (quote, job, paper.towns.get(quote, ""))
        texts = [fitted(text, width - 6) for text, width in zip(named, widths, strict=False)]
        rows.append([*texts, number(sawn), number(whole)])
    return grid(rows, widths, [ROW_LINES, right_from(3)])


def _lengths_table(rail: SawnRail, paper: _Paper) -> Table:
    """How many pieces of each length every job gets from the saw, the longest first, and which patterns give them."""
    t, number = paper.reader.texts.t, paper.reader.formats.count
    cuts = [pattern.cuts for pattern in rail.common.plan.bars]
    found: dict[tuple[str, int], list[SawPiece]] = {}
    for each in rail.pieces:
        if cuts[each.piece.pattern - rail.first_pattern]:
            found.setdefault((each.quote, -_tenths(each.piece.length_mm)), []).append(each.piece)
    rows: list[list[Any]] = [[t("Job"), t("Length"), t("Pieces"), t("Patterns")]]
    widths = [share * paper.wide for share in (0.36, 0.24, 0.1, 0.3)]
    order = {quote: at for at, quote in enumerate(rail.common.quotes)}
    for (_, length), pieces in sorted(found.items(), key=lambda item: (order[item[0][0]], item[0][1])):
        patterns = ", ".join(map(number, dict.fromkeys(piece.pattern for piece in pieces)))
        rows.append([
            fitted(whose(pieces[0]), widths[0] - 6), cut_length(-length, paper.reader),
            number(len(pieces)), paragraph(patterns),
        ])  # fmt: skip
    return grid(rows, widths, [ROW_LINES, ("ALIGN", (1, 0), (2, -1), "RIGHT"), ("LEFTPADDING", (3, 0), (3, -1), 12)])


def _saved_table(rail: SawnRail, paper: _Paper) -> Table:
    """Bars, rail, its mass and splices: together, each quote apart, and the difference."""
    reader = replace(paper.reader, formats=paper.reader.formats.stacked)
    t, count = reader.texts.t, reader.formats.count
    common, mass = rail.common, rail.sheet.mass_kg_per_m
    rows: list[list[Any]] = [["", t("Bars"), t("Length"), t("Mass"), t("Off-cuts kept"), t("Splices")]]
    for name, way in ((t("Cut together"), common.together), (t("Each quote apart"), common.apart)):
        length, kept = _tenths(way.length_mm), _tenths(way.reusable_mm)
        figures = [long_length(length, reader), mass_of(length, mass, reader)]
        rows.append([name, count(way.bars), *figures, long_length(kept, reader), count(way.splices)])
    saved = _tenths(common.length_saved_mm)
    figures = [_signed(saved, long_length(abs(saved), reader)),
               _signed(saved, mass_of(abs(saved), mass, reader))]  # fmt: skip
    rows.append([t("Saved"), count(common.bars_saved), *figures, "", ""])
    shares = (0.25, 0.11, 0.17, 0.17, 0.18, 0.12)
    total: Command = ("BACKGROUND", (0, -1), (-1, -1), colour(style.BLUE_TINT))
    return grid(rows, [share * paper.wide for share in shares], [ROW_LINES, right_from(1), total])


def _tenths(length_mm: float) -> int:
    return round(length_mm * TENTHS_PER_MM)


def _signed(value: int, text: str) -> str:
    return f"−{text}" if value < 0 else text
