"""The derivation sheet: for every part, each rule with its basis and what it asked, place by place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from estimator.documents.language.words import basis_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import NOTE, STRONG, TEXT, WRAPPED, Look
from estimator.documents.xlsx.numbers.measures import basis_figure, basis_head
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.tables import Column, Row, write_table
from estimator.sentences import joined
from estimator.takeoff.records import RuleShare

TOP = 4
_QUANTITY = Look(number_format="#,##0.###", across="right", rule="below")


@dataclass(frozen=True, slots=True)
class DerivationRows:
    """The sheet, and the first row of each part on it."""

    page: Page
    first_rows: Mapping[str, int]


def write_derivation(draft: Draft, page: Page) -> DerivationRows:
    """One row for each rule of each part, and one for each place that shares in it."""
    t = draft.t
    page.head(t("Derivation"), t("Each line of the takeoff, rule by rule and place by place."))
    columns = (
        Column("part", t("Part"), 20, TEXT),
        Column("rule", t("Rule"), 26, WRAPPED),
        Column("place", t("Place"), 30, TEXT),
        Column("count", t("Count"), 9, _QUANTITY),
        Column("for_each", t("for each"), 18, TEXT),
        Column("per", t("per"), 10, _QUANTITY),
        Column("basis", t("Basis"), 12, _QUANTITY),
        Column("asked", t("Asked for"), 12, _QUANTITY),
        Column("note", t("Note"), 50, WRAPPED),
    )
    rows: list[Row] = []
    first_rows: dict[str, int] = {}
    for priced in draft.bill.lines:
        first_rows[priced.line.part] = TOP + 1 + len(rows)
        rows += _rows_of(draft, priced.line.part, priced.line.shares, priced.line.why)
    placed = write_table(page, TOP, "Derivation", columns, rows)
    for row in first_rows.values():
        page.put(row, placed.columns["part"], str(rows[row - placed.first]["part"]), STRONG)
    page.put(
        placed.last + 2, 1, t("Asked = count × basis / per; rounded up to whole parts once, over all rules."), NOTE
    )
    page.merge(placed.last + 2, 1, len(columns))
    print_wide(draft, page, heads=TOP)
    page.sheet.freeze_panes = f"B{TOP + 1}"
    return DerivationRows(page, first_rows)


def _rows_of(draft: Draft, part: str, shares: tuple[RuleShare, ...], why: tuple[str, ...]) -> list[Row]:
    if not shares:
        return [{"part": part, "rule": draft.t("no rule"), "note": _said(draft, why)}]
    rows: list[Row] = []
    for share in shares:
        rows.append(_row_of(draft, part, share))
        if len(share.places) > 1 or (share.places and share.places[0][0]):
            rows += [
                {
                    "part": part,
                    "rule": draft.reader.say(share.rule),
                    "place": draft.reader.say(place),
                    "asked": _figure(asked),
                }
                for place, asked in share.places
            ]
    rows.append({"part": part, "rule": draft.t("sum and rounding"), "note": _said(draft, why[len(shares) :])})
    return rows


def _row_of(draft: Draft, part: str, share: RuleShare) -> Row:
    basis, formats = _figure(share.basis), draft.formats
    return {
        "part": part,
        "rule": draft.reader.say(share.rule),
        "count": _figure(share.count),
        "for_each": basis_head(basis_name(share.for_each, draft.reader), basis, share.for_each, formats),
        "per": basis_figure(share.per, share.for_each, formats),
        "basis": basis_figure(basis, share.for_each, formats),
        "asked": _figure(share.asked),
        "note": draft.reader.say(share.note),
    }


def _said(draft: Draft, why: tuple[str, ...]) -> str:
    return draft.reader.say(joined("; ", why))


def _figure(value: Fraction) -> Decimal | int:
    """A fraction as a cell holds it: whole where it is whole, else to fifteen digits."""
    if value.denominator == 1:
        return value.numerator
    return round(Decimal(value.numerator) / Decimal(value.denominator), 9)
