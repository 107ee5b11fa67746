"""The quote as the customer holds it: PDF, letter or A4, the plan to scale at its end. Never cost, never margin."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.platypus import CondPageBreak, KeepTogether, Table

from estimator.comparison.records import Offer
from estimator.documents import style
from estimator.documents.drawing.plan import RoofPlan, plans_of
from estimator.documents.drawing.sheets import plan_pages
from estimator.documents.header import Fact, QuoteHeader
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.logo import logo_marks
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import PageHead, build_pdf, colour, frame_size
from estimator.documents.pdf.parts import BASE, fitted, gap, grid, heading, paragraph
from estimator.documents.quote.tables import checks_table, line_tables, options_table, totals_table
from estimator.documents.quote.ways import alternates_table, ways_table
from estimator.documents.quoting.content import QuoteContent, quote_content, quote_reader

MOST_BESIDE_TOTALS = 800
"""Letters, about, that stand beside the totals without making them longer; 40 for every new line."""
FLUSH = (("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0))


def write_quote(offer: Offer, header: QuoteHeader) -> bytes:
    """The customer's quote as PDF. The same offer and head give the same bytes."""
    reader, content, plans = quote_reader(offer, header), quote_content(offer, header), plans_of(offer.estimate)
    paper = header.paper or style.paper_for(offer.estimate.job.customer.address.country)
    wide, _ = frame_size(paper)
    marks = logo_marks(offer.estimate.seller, reader)
    story = list(_story(content, plans, reader, wide, marks))
    story += plan_pages(plans, reader, paper, further=False)
    return build_pdf(story, page_head(content, reader, paper))


def page_head(content: QuoteContent, reader: Reader, paper: str) -> PageHead:
    """The running head and foot of a quote's pages."""
    t = reader.texts.t
    name = t("Quote {number}, revision {revision}", number=content.number, revision=content.revision)
    return PageHead(
        paper=paper,
        language=reader.texts.locale.replace("_", "-"),
        title=f"{name}: {content.title}",
        author=content.seller.name,
        dated=content.dated,
        foot=f"{name} · {content.provenance}",
        page_of=t("Page {page} of {pages}"),
        marks=tuple(note for note in (content.state_note, content.invented_note) if note),
        subject=content.title,
    )


def _story(
    content: QuoteContent, plans: tuple[RoofPlan, ...], reader: Reader, wide: float, marks: list[Any]
) -> Iterator[Any]:
    t = reader.texts.t
    yield _masthead(content, reader, wide, marks)
    yield gap()
    yield _parties(content, reader, wide)
    yield heading(content.title)
    yield _facts(content.scope, wide)
    if content.notes:
        yield heading(t("Notes"))
        yield from (paragraph(note) for note in content.notes)
    yield heading(t("Prices in {currency}", currency=content.currency))
    yield from line_tables(content, reader, wide)
    yield gap(style.SPACING.unit)
    yield _totals_and_terms(content, reader, wide)
    if content.alternates:
        yield CondPageBreak(60)
        yield heading(t("To be added, not in the total"))
        yield alternates_table(content, reader, wide)
        yield paragraph(t("Before discount, freight and tax."), "small")
    if content.ways:
        yield CondPageBreak(150)
        yield heading(t("Options"))
        yield ways_table(content, reader, wide)
    if content.options or content.options_notes:
        yield CondPageBreak(90)
        yield heading(t("The same job another way"))
        if content.options:
            yield options_table(content, reader, wide)
        for note in content.options_notes:
            yield gap(style.SPACING.unit)
            yield paragraph(note, "small")
    if content.checks:
        yield CondPageBreak(60)
        yield heading(t("Checks to be aware of"))
        yield checks_table(content, reader, wide)
    yield from _closing(content, plans, reader, wide)


def _masthead(content: QuoteContent, reader: Reader, wide: float, marks: list[Any]) -> Table:
    """The house on the left under its logo, what this is on the right, a rule below."""
    t = reader.texts.t
    left = [*marks, paragraph(content.seller.name, "bold"), paragraph(" · ".join(content.seller.lines), "muted")]
    number = t("{number}, revision {revision}", number=content.number, revision=content.revision)
    right = [paragraph(t("Quote"), "title", right=True), paragraph(number, "bold", right=True)]
    rule = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 6),
        ("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE)),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
    ]
    return grid([[left, right]], [wide * 0.62, wide * 0.38], rule, head_rows=0, layout=True)


def _parties(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """The customer left, the quote's facts right."""
    label, half = 82.0, wide / 2
    customer = [paragraph(reader.texts.t("For"), "muted"), paragraph(content.customer.name, "bold")]
    customer += [paragraph(line) for line in content.customer.lines]
    facts = _pairs(content.facts, label, half - label)
    return grid([[customer, facts]], [half, half], FLUSH, head_rows=0, layout=True)


def _facts(facts: tuple[Fact, ...], wide: float) -> Table:
    label = 82.0
    return _pairs(facts, label, wide - label)


def _pairs(facts: tuple[Fact, ...], label: float, value: float) -> Table:
    rows = [[paragraph(fact.label, "muted"), fitted(fact.value, value - 6)] for fact in facts] or [["", ""]]
    close = [("LEFTPADDING", (0, 0), (0, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 0.6),
             ("BOTTOMPADDING", (0, 0), (-1, -1), 1.2)]  # fmt: skip
    return grid(rows, [label, value], close, head_rows=0)


def _terms(content: QuoteContent, reader: Reader) -> list[Any]:
    """Validity and terms of sale."""
    t = reader.texts.t
    until = reader.formats.date(content.valid_until)
    holds = paragraph(t("This quote holds until {day}.", day=until), "small")
    return [heading(t("Terms")), holds, *(paragraph(term, "small") for term in content.terms)]


def _cautions(content: QuoteContent, reader: Reader) -> list[Any]:
    listed = (paragraph(f"– {caution}", "small") for caution in content.cautions)
    return [heading(reader.texts.t("Cautions")), *listed]


def _beside_totals(texts: tuple[str, ...]) -> bool:
    """Whether texts are short enough to stand beside the totals without making them longer."""
    return sum(len(text) + 40 for text in texts) <= MOST_BESIDE_TOTALS


def _totals_and_terms(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """The totals right; left of them the terms, and the cautions too, where they fit there."""
    half = wide * 0.47
    left: list[Any] = []
    if _beside_totals(content.terms):
        left += _terms(content, reader)
    if _beside_totals((*content.terms, *content.cautions)):
        left += _cautions(content, reader)
    table = grid(
        [[left, "", totals_table(content, reader, half)]], [wide - half - 18, 18, half], FLUSH, head_rows=0, layout=True
    )
    table.splitInRow = 0
    return table


def _closing(content: QuoteContent, plans: tuple[RoofPlan, ...], reader: Reader, wide: float) -> Iterator[Any]:
    """Terms and cautions unless they stand above already; what the fonts lack; the signatures."""
    if not _beside_totals(content.terms):
        yield from _terms(content, reader)
    below = not _beside_totals((*content.terms, *content.cautions))
    parts: list[Any] = _cautions(content, reader) if below else []
    named = tuple((plan.name, plan.arrays, plan.obstructions, plan.zones) for plan in plans)
    note = missing_note((content, named), reader)
    parts += [gap(), paragraph(note, "alert")] if note else []
    yield KeepTogether([*parts, gap(style.SPACING.section), _signatures(content, reader, wide)])


def _signatures(content: QuoteContent, reader: Reader, wide: float) -> Table:
    """Two lines to sign on."""
    t = reader.texts.t
    half = wide / 2 - 12
    hand = t("Name, date, signature")
    letters = "     ".join(f"\N{BALLOT BOX} {way.letter}" for way in content.ways)
    choice = [["", "", paragraph(t("Accepted option: {letters}", letters=letters), "small")]] if content.ways else []
    below = len(choice)
    rows = [
        [paragraph(t("Offered by {name}", name=content.seller.name), "small"), "",
         paragraph(t("Accepted for {name}", name=content.customer.name), "small")],
        *choice,
        ["", "", ""],
        [paragraph(hand, "muted"), "", paragraph(hand, "muted")],
    ]  # fmt: skip
    lines = [
        *BASE[:1],
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("LINEABOVE", (0, 2 + below), (0, 2 + below), 0.5, colour(style.INK)),
        ("LINEABOVE", (2, 2 + below), (2, 2 + below), 0.5, colour(style.INK)),
        ("BOTTOMPADDING", (0, 1 + below), (-1, 1 + below), 16),
    ]
    return grid(rows, [half, 24, half], lines, head_rows=0, layout=True)
