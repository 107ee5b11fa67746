"""The saw list as PDF: what the shop cuts, pattern by pattern, drawn to scale, equal pieces together; no prices."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from estimator.comparison.records import Offer
from estimator.cutting.records import CutPlan
from estimator.documents import style
from estimator.documents.header import QuoteHeader
from estimator.documents.language.texts import Reader, mark, reader_for
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import PageHead, build_pdf, colour, frame_size
from estimator.documents.pdf.parts import Command, gap, grid, heading, paragraph
from estimator.documents.quoting.sheet_head import BUILDABLE, number_line, sheet_head
from estimator.documents.sawing.patterns import Patterns, pattern_sections
from estimator.documents.sawing.pieces import saw_pieces
from estimator.documents.sawing.tables import bars_table, cut_length, saved_table, totals_table
from estimator.documents.sawing.words import AT_THE_SAW
from estimator.estimate import Estimate
from estimator.pricebook import Rail
from estimator.pricing.rail_offers import saw_for

DRAFT = mark("Draft: do not cut from this list.")
ALIKE = mark("Equal pieces of bars cut alike stand together: mark as many of them as are listed, with the places.")
NO_RAILS = mark("This job has no rails: the modules are clamped to brackets, and there is nothing to cut.")


def write_saw_list(offer: Offer, header: QuoteHeader) -> bytes:
    """The saw list of an offer. The same offer and head give the same bytes."""
    estimate, job = offer.estimate, offer.estimate.job
    reader = reader_for(header.language, job.customer.address.country, job.display_units, estimate.book.texts)
    paper = header.paper or style.paper_for(job.site.address.country or job.customer.address.country)
    wide, _ = frame_size(paper)
    story: list[Any] = list(_front(estimate, header, reader, wide))
    plan, rail = estimate.cut_plan, estimate.mounting.rail
    if plan is None or rail is None:
        story += [gap(), paragraph(reader.texts.t(NO_RAILS), "bold")]
    else:
        story += _figures(plan, rail, reader, wide)
        pieces = tuple(saw_pieces(plan))
        story += pattern_sections(Patterns(plan, pieces, saw_for(rail, estimate.book)), reader, wide)
    return build_pdf(story, _page_head(estimate, header, reader, paper))


def _page_head(estimate: Estimate, header: QuoteHeader, reader: Reader, paper: str) -> PageHead:
    t = reader.texts.t
    name = t("Saw list for quote {number}, revision {revision}", number=header.number, revision=header.revision)
    draft = t(DRAFT) if header.state not in BUILDABLE else ""
    return sheet_head(estimate, header, reader, paper, name, draft)


def _front(estimate: Estimate, header: QuoteHeader, reader: Reader, wide: float) -> Iterator[Any]:
    """Title, cautions, how to work at the saw, and what could not be printed."""
    t, job = reader.texts.t, estimate.job
    left = [paragraph(job.title, "bold"), paragraph(" · ".join(p for p in (job.reference, job.customer.name) if p))]
    number = number_line(header, reader)
    right = [paragraph(t("Saw list"), "title", right=True), paragraph(number, "bold", right=True)]
    look: list[Command] = [("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE)),
                           ("LEFTPADDING", (0, 0), (0, 0), 0), ("RIGHTPADDING", (-1, 0), (-1, 0), 0),
                           ("VALIGN", (0, 0), (-1, -1), "BOTTOM")]  # fmt: skip
    yield grid([[left, right]], [wide * 0.6, wide * 0.4], look, head_rows=0, layout=True)
    if estimate.cut_plan is not None:
        yield heading(t("At the saw"))
        for sentence in AT_THE_SAW:
            yield paragraph(f"– {t(sentence)}")
        yield paragraph(f"– {t(ALIKE)}")
    yield heading(t("Cautions"))
    for caution in estimate.cautions:
        yield paragraph(f"– {t(caution)}")
    places = estimate.cut_plan.run_places if estimate.cut_plan else ()
    note = missing_note((job.title, job.reference, job.customer.name, places), reader)
    if note:
        yield gap()
        yield paragraph(note, "alert")


def _figures(plan: CutPlan, rail: Rail, reader: Reader, wide: float) -> Iterator[Any]:
    """Bars to fetch, totals, what was saved, and the runs that cannot be made."""
    t = reader.texts.t
    if plan.refused:
        yield heading(t("Not in this list"))
        for refusal in plan.refused:
            length = cut_length(refusal.length, reader)
            words = t("{run}, {length}: no bars and joints that the rules allow can make this run.",
                      run=reader.say(refusal.place), length=length)  # fmt: skip
            yield paragraph(words, "alert")
    yield heading(t("Bars"))
    yield paragraph(reader.say(rail.name), "bold")
    yield bars_table(plan, reader, wide)
    yield heading(t("Totals"))
    yield totals_table(plan, rail.mass_kg_per_m, reader, wide)
    yield heading(t("What the plan saved"))
    yield saved_table(plan, rail.mass_kg_per_m, reader, wide)
    if not (plan.against_rounded_up.possible and plan.against_full_bars.possible):
        yield paragraph(f"–: {t('not possible under these rules')}", "muted")
    if plan.expansion_splices:
        number = reader.formats.count(plan.expansion_splices)
        words = t("Expansion splices come on top, the same in every way of buying: {number}.", number=number)
        yield paragraph(words, "muted")
