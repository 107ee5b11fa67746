"""The cut plan: what the bars cost and what is proven of it, then every pattern with its count and its drawing."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from estimator.cutting.records import TENTHS_PER_MM, BarPattern, CutPlan
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.drawings.pattern import draw_pattern, prepare_drawing
from estimator.documents.xlsx.looks import COUNT, HEAD, LABEL, NOTE, PERCENT, STRONG, TEXT, Look, as_total
from estimator.documents.xlsx.numbers.measures import in_unit, length_looks, long_figure, long_head, measured_heads
from estimator.documents.xlsx.page import Page
from estimator.pricing.rail_offers import kept_places

_LENGTHS = length_looks(Look(across="right", rule="below"))
_LONG = Look(number_format="#,##0.00", across="right", rule="below")
_BESIDE = Look(across="left", colour=LABEL.colour, rule="below")
HEADS_FROM = 4


def write_cut_plan(draft: Draft) -> None:
    """Figures above, patterns below; nothing where the job has no rails."""
    plan, t = draft.estimate.cut_plan, draft.t
    if plan is None:
        return
    page = draft.page(t("Cut plan"))
    page.head(t("Cut plan"), t("Bars, pieces and off-cuts; every bar at the price of the number ordered."))
    page.widths(11, 9, 20, *[13] * (2 * len(draft.formats.systems)), 13, 13, 10)
    row = _write_figures(draft, page, plan)
    row = _write_findings(draft, page, plan, row + 1)
    page.heading(row, t("Patterns"))
    row += 1
    lengths = [
        measured_heads("", name, "length", draft.units).values() for name in (t("Bar (mm)"), t("Left over (mm)"))
    ]
    named = (head for each in lengths for head in each)
    heads = (
        t("Pattern"), t("Bars"), t("Part"), *named, t("Off-cut"), t("Price of a bar"), t("Price holds from"),
    )  # fmt: skip
    for column, head in enumerate(heads, start=1):
        page.put(row, column, head, HEAD)
    page.sheet.row_dimensions[row].height = 28
    head_row = row
    prepare_drawing(page, row, t("Pieces in cutting order (mm)"), draft.formats.systems)
    longest = max((pattern.stock_length for pattern in plan.bars), default=1)
    for number, pattern in enumerate(plan.bars, start=1):
        row += 1
        _write_pattern(draft, page, (row, number), pattern)
        draw_pattern(page, row, pattern, longest, draft.formats.systems)
    page.put(row + 1, 1, t("Sum"), as_total(STRONG))
    page.put(row + 1, 2, sum(pattern.count for pattern in plan.bars), as_total(COUNT))
    print_wide(draft, page, heads=head_row)


def _kept_from(draft: Draft, plan: CutPlan) -> str:
    """How much of it is the plan of the revision before."""
    t = draft.t
    said = {
        "none": "",
        "part": t("bars of the earlier revision where they still fit; the rest is planned again"),
        "whole": t("the cut plan of the earlier revision, at today's prices"),
    }
    return said[plan.kept]


def _write_figures(draft: Draft, page: Page, plan: CutPlan) -> int:
    t, places = draft.t, kept_places(draft.book)
    money = draft.money.unit_price
    proof = t("proven the least") if plan.proven_optimal else t("not proven; a plan could be cheaper by at most this")
    plain = {"rounded_up": plan.against_rounded_up, "full_bars": plan.against_full_bars}
    rows: list[tuple[str, Decimal | int | None, Look, str]] = [
        (t("Cost of the plan"), _money(plan.cost, places), money, _kept_from(draft, plan)),
        (t("Lower bound"), _money(plan.lower_bound, places), money, t("no plan under the same rules can cost less")),
        (t("Gap"), _money(plan.gap, places), money, proof),
        (t("Bars"), _money(plan.bar_cost, places), money, ""),
        (t("Splices"), _money(plan.splice_cost, places), money, t("{count} splices", count=plan.splices)),
        (
            t("Expansion splices"),
            _money(plan.expansion_cost, places),
            money,
            t("{count}, fixed by the rule of equal parts: the same in every plan", count=plan.expansion_splices),
        ),
        (t("Value of off-cuts kept"), _money(plan.offcut_value, places), money, ""),
        (t("Pieces"), plan.pieces, COUNT, t("{count} cuts", count=plan.cuts)),
        *_lengths(draft, t("Length bought (m)"), plan.length_to_buy),
        *_lengths(draft, t("Waste (m)"), plan.waste_length),
        (t("Waste, share"), Decimal(repr(round(plan.waste_share, 4))), PERCENT, ""),
        *_lengths(draft, t("Off-cuts kept, m"), plan.reusable_length),
    ]
    for name, label in (
        ("rounded_up", t("Length divided by the bar, rounded up")),
        ("full_bars", t("Full bars and a rest, run by run")),
    ):
        way = plain[name]
        note = t("{bars} bars, {splices} splices", bars=way.bars, splices=way.splices)
        cost = _money(way.cost, places) if way.possible else None
        rows.append((label, cost, money, note if way.possible else t("not possible under these rules")))
    for row, (label, value, look, note) in enumerate(rows, start=HEADS_FROM):
        page.put(row, 1, label, LABEL)
        page.merge(row, 1, 3)
        page.put(row, 4, value, look)
        page.put(row, 5, note, _BESIDE)
    return HEADS_FROM + len(rows)


def _write_findings(draft: Draft, page: Page, plan: CutPlan, row: int) -> int:
    for finding in plan.findings:
        text = draft.reader.say(finding.message)
        page.put(row, 1, text, NOTE)
        page.merge(row, 1, 7)
        page.lines(row, text, 110)
        row += 1
    return row


def _write_pattern(draft: Draft, page: Page, place: tuple[int, int], pattern: BarPattern) -> None:
    row, number = place
    page.put(row, 1, number, COUNT)
    page.put(row, 2, pattern.count, COUNT)
    page.put(row, 3, pattern.part, TEXT)
    column = 4
    for tenths in (pattern.stock_length, pattern.offcut):
        for system in draft.formats.systems:
            length = in_unit(Decimal(tenths) / TENTHS_PER_MM, "length", system)
            page.put(row, column, length, _LENGTHS[system])
            column += 1
    left = draft.t("keep") if pattern.reusable else draft.t("scrap")
    page.put(row, column, left if pattern.offcut else "", TEXT)
    page.put(row, column + 1, _money(pattern.price, kept_places(draft.book)), draft.money.unit_price)
    page.put(row, column + 2, max(1, pattern.price_from), COUNT)
    page.sheet.row_dimensions[row].height = 18


def _money(units: int, places: int) -> Decimal:
    return Decimal(units).scaleb(-places)


def _lengths(draft: Draft, name: str, tenths: int) -> Iterator[tuple[str, Decimal, Look, str]]:
    """The length of many bars in metres, in feet, or a row for each."""
    for system in draft.formats.systems:
        yield long_head(name, system), long_figure(Decimal(tenths) / TENTHS_PER_MM, system), _LONG, ""
