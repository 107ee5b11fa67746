"""The reactions as PDF: what every attachment and every purlin line takes, and what is not checked. No prices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.platypus import CondPageBreak, KeepTogether, Table

from estimator.attachment.reactions import ForceSums, Reactions, RoofReactions, find_reactions
from estimator.comparison.records import Offer
from estimator.documents import style
from estimator.documents.header import QuoteHeader
from estimator.documents.language.texts import Reader, mark, reader_for
from estimator.documents.pdf.logo import logo_marks
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import PageHead, build_pdf, colour, frame_size
from estimator.documents.pdf.parts import ROW_LINES, Command, broken, fitted, gap, grid, heading, paragraph, right_from
from estimator.documents.quoting.sheet_head import number_line, sheet_head
from estimator.estimate import Estimate
from estimator.trial import NOT_OF_THE_BUILDING

FOR_WHOM = mark(
    "For the engineer of the building: the forces that the attachments of the solar array put on the roof. They are "
    "preliminary; a licensed engineer checks them for the site, and the codes in force there come before them."
)
SIGNS = mark(
    "All forces count positive: uplift pulls away from the roof, square to it, downward presses on it, along acts down "
    "the slope. The largest of each kind belong to load combinations of their own and do not act together."
)
SUMS = mark(
    "Per square metre of module surface held: the largest forces of all attachments together over that surface. Over "
    "several zones this is more than acts at once, since wind does not peak in all of them together."
)
LEVER = mark(
    "Every attachment gives the two purlin lines beside it the share of a lever, the sheet between purlins taken as "
    "simply supported; beyond the first and the last purlin all of it. Sheets that run on over several purlins bring "
    "up to a quarter more to some lines."
)
NO_PURLINS = mark("The job gives no purlin spacing (roofs[].purlins), so nothing is told by purlin line.")
PRELIMINARY = mark("Preliminary: to be verified by a licensed engineer.")


def write_reactions(offer: Offer, header: QuoteHeader) -> bytes:
    """The reactions of every roof of an offer. The same offer and head give the same bytes."""
    estimate, job = offer.estimate, offer.estimate.job
    country = job.site.address.country or job.customer.address.country
    reader = reader_for(header.language, job.customer.address.country, job.display_units, estimate.book.texts)
    paper = header.paper or style.paper_for(country)
    wide, _ = frame_size(paper)
    found = find_reactions(job, estimate.loads, estimate.setting_out)
    story = [*_front(estimate, header, found, reader, wide)]
    for roof in found.roofs:
        story += _roof(roof, reader, wide)
    story += _end(estimate, found, reader, wide)
    return build_pdf(story, _page_head(estimate, header, reader, paper))


def _page_head(estimate: Estimate, header: QuoteHeader, reader: Reader, paper: str) -> PageHead:
    t, stands = reader.texts.t, estimate.provenance
    name = t("Reactions for quote {number}, revision {revision}", number=header.number, revision=header.revision)
    more = f" · {stands.pricebook} {stands.edition}, {stands.engine}"
    return sheet_head(estimate, header, reader, paper, name, t(PRELIMINARY), more)


def _front(estimate: Estimate, header: QuoteHeader, found: Reactions, reader: Reader, wide: float) -> Iterator[Any]:
    t, job = reader.texts.t, estimate.job
    number = number_line(header, reader)
    left = [*logo_marks(estimate.seller, reader), paragraph(job.title, "bold"), paragraph(job.customer.name, "muted")]
    right = [paragraph(t("Reactions"), "title", right=True), paragraph(number, "bold", right=True)]
    rule: Command = ("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE))
    flush: list[Command] = [("LEFTPADDING", (0, 0), (0, 0), 0), ("RIGHTPADDING", (-1, 0), (-1, 0), 0),
                            ("VALIGN", (0, 0), (-1, -1), "BOTTOM")]  # fmt: skip
    yield grid([[left, right]], [wide * 0.6, wide * 0.4], [*flush, rule], head_rows=0, layout=True)
    yield gap()
    yield paragraph(t(FOR_WHOM), "alert")
    if found.missing is not None:
        yield gap()
        yield paragraph(reader.say(found.missing), "bold")
        return
    for words in (t(SIGNS), t(SUMS), *(reader.say(each) for each in found.notes)):
        yield gap(style.SPACING.unit)
        yield paragraph(words)
    note = missing_note((job.title, job.customer.name, [roof.name for roof in job.roofs]), reader)
    if note:
        yield gap()
        yield paragraph(note, "alert")


def _roof(roof: RoofReactions, reader: Reader, wide: float) -> Iterator[Any]:
    t = reader.texts.t
    yield CondPageBreak(150)
    yield heading(t("Roof {name}", name=roof.name))
    yield paragraph(reader.say(roof.level))
    yield gap(style.SPACING.unit)
    yield force_table(roof, reader, wide)
    yield CondPageBreak(100)
    yield heading(t("By purlin line"))
    if not roof.purlins:
        yield paragraph(t(NO_PURLINS))
        return
    yield paragraph(t(LEVER))
    yield gap(style.SPACING.unit)
    yield purlin_table(roof, reader, wide)


def force_table(roof: RoofReactions, reader: Reader, wide: float) -> Table:
    """By zone and in all: number of attachments, largest force of one, per square metre."""
    t = reader.texts.t
    head = [t("Zone"), t("Attachments"), t("Surface held"), t("Largest uplift of one"), t("Largest downward of one"),
            t("Largest along of one"), t("Uplift per area"), t("Downward per area"), t("Along per area")]  # fmt: skip
    first = 74.0
    widths = [first, *[(wide - first) / 8] * 8]
    rows = [[fitted(reader.zone(each.zone), first - 6), *_sums(each.sums, reader)] for each in roof.zones]
    rows.append([fitted(t("In all"), first - 6, "bold"), *_sums(roof.total, reader)])
    rule: Command = ("LINEABOVE", (0, -1), (-1, -1), 0.8, colour(style.INK))
    return grid([_heads(head, widths), *rows], widths, [ROW_LINES, rule, right_from(1)])


def _heads(heads: Sequence[str], widths: Sequence[float]) -> list[Any]:
    """Heads broken between their words where they are too long for their column."""
    return [broken(each, width) for each, width in zip(heads, widths, strict=True)]


def _sums(sums: ForceSums, reader: Reader) -> Iterator[str]:
    formats = reader.formats.stacked
    yield reader.formats.count(sums.attachments)
    yield formats.quantity(sums.area_m2, "surface", 1)
    for force in (sums.uplift_n, sums.downward_n, sums.along_n):
        yield formats.quantity(force, "force", 0)
    for pressure in (sums.uplift_pa, sums.downward_pa, sums.along_pa):
        yield formats.quantity(pressure, "pressure")


def purlin_table(roof: RoofReactions, reader: Reader, wide: float) -> Table:
    """What every purlin line takes in all, and on its most loaded metre."""
    t, formats = reader.texts.t, reader.formats.stacked
    head = [t("Purlin line"), t("Up the slope"), t("Uplift in all"), t("Downward in all"), t("Along in all"),
            t("Most uplift per length"), t("Most downward per length"), t("Most along per length")]  # fmt: skip
    first = 52.0
    widths = [first, *[(wide - first) / 7] * 7]
    rows: list[list[Any]] = [_heads(head, widths)]
    for line in roof.purlins:
        forces = (line.uplift_n, line.downward_n, line.along_n)
        spread = (line.uplift_n_m, line.downward_n_m, line.along_n_m)
        rows.append([
            reader.formats.count(line.number), formats.length(line.y_mm),
            *(formats.quantity(force, "force", 0) for force in forces),
            *(formats.quantity(load, "force_per_length", 0) for load in spread),
        ])  # fmt: skip
    return grid(rows, widths, [ROW_LINES, right_from(1)])


def _end(estimate: Estimate, found: Reactions, reader: Reader, wide: float) -> Iterator[Any]:
    """What is not checked, once; the cautions."""
    t = reader.texts.t
    yield CondPageBreak(120)
    yield heading(t("Not checked"))
    rows = [[paragraph(reader.say(each.what), "bold"), paragraph(reader.say(each.how))] for each in found.not_checked]
    yield grid(
        rows, [wide * 0.42, wide * 0.58], [("LINEBELOW", (0, 0), (-1, -1), 0.25, colour(style.RULE))], head_rows=0
    )
    told = (each for each in estimate.cautions if each != NOT_OF_THE_BUILDING)
    yield KeepTogether([heading(t("Cautions")), *(paragraph(f"– {t(caution)}") for caution in told)])
