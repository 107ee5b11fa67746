"""What the array puts on the building: by zone, in all, by purlin line; and what is not checked."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from estimator.attachment.reactions import ForceSums, RoofReactions, find_reactions
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, HEAD, NOTE, TEXT, WRAPPED, Look
from estimator.documents.xlsx.numbers.measures import in_unit, named_with
from estimator.documents.xlsx.page import Page
from estimator.units import Dimension

_FIGURE = Look(number_format="#,##0.0", across="right", rule="below")
_LAST = 9
"""Columns of the widest table with one system of units."""


def write_reactions(draft: Draft) -> None:
    """Nothing where no roof's loads were computed: the loads sheet is left out then as well."""
    estimate = draft.estimate
    found = find_reactions(estimate.job, estimate.loads, estimate.setting_out)
    if not found.roofs:
        return
    t = draft.t
    page = draft.page(t("Reactions"))
    page.head(t("Reactions"), t("What the array puts on the building, for its engineer; all forces count positive."))
    page.widths(24, *[15] * 14)
    row = 4
    for roof in found.roofs:
        row = _write_roof(draft, page, row, roof)
    page.heading(row, t("Not checked"))
    row += 1
    for each in found.not_checked:
        what, how = draft.reader.say(each.what), draft.reader.say(each.how)
        page.put(row, 1, what, WRAPPED)
        page.merge(row, 1, 3)
        page.put(row, 4, how, NOTE)
        page.merge(row, 4, _LAST)
        page.lines(row, what, 24 + 2 * 15)
        row += 1
    for caution in estimate.cautions[:2]:
        page.put(row + 1, 1, t(caution), NOTE)
        page.merge(row + 1, 1, _LAST)
        row += 1
    print_wide(draft, page, heads=0)


def _write_roof(draft: Draft, page: Page, row: int, roof: RoofReactions) -> int:
    t = draft.t
    page.heading(row, t("Roof {name}", name=roof.name))
    page.put(row + 1, 1, draft.reader.say(roof.level), NOTE)
    page.merge(row + 1, 1, _LAST)
    heads: list[tuple[str, Dimension]] = [
        (t("Surface held (m2)"), "surface"), (t("Largest uplift of one (N)"), "force"),
        (t("Largest downward of one (N)"), "force"), (t("Largest along of one (N)"), "force"),
        (t("Uplift per area (Pa)"), "pressure"), (t("Downward per area (Pa)"), "pressure"),
        (t("Along per area (Pa)"), "pressure"),
    ]  # fmt: skip
    rows = [(draft.reader.zone(each.zone), each.sums.attachments, _figures(each.sums)) for each in roof.zones]
    rows.append((t("In all"), roof.total.attachments, _figures(roof.total)))
    row = _table(draft, page, row + 2, (t("Zone"), t("Attachments")), heads, rows)
    if not roof.purlins:
        return row + 1
    lines: list[tuple[str, Dimension]] = [
        (t("Up the slope (mm)"), "length"), (t("Uplift in all (N)"), "force"), (t("Downward in all (N)"), "force"),
        (t("Along in all (N)"), "force"), (t("Most uplift per length (N/m)"), "force_per_length"),
        (t("Most downward per length (N/m)"), "force_per_length"),
        (t("Most along per length (N/m)"), "force_per_length"),
    ]  # fmt: skip
    taken = [
        ("", each.number, (each.y_mm, each.uplift_n, each.downward_n, each.along_n, each.uplift_n_m, each.downward_n_m,
                           each.along_n_m))
        for each in roof.purlins
    ]  # fmt: skip
    return _table(draft, page, row + 1, (t("By purlin line"), t("Purlin line")), lines, taken) + 1


def _figures(sums: ForceSums) -> tuple[float, ...]:
    return (
        sums.area_m2, sums.uplift_n, sums.downward_n, sums.along_n, sums.uplift_pa, sums.downward_pa, sums.along_pa
    )  # fmt: skip


def _table(
    draft: Draft,
    page: Page,
    row: int,
    first: tuple[str, str],
    heads: Sequence[tuple[str, Dimension]],
    rows: Sequence[tuple[str, int, Sequence[float]]],
) -> int:
    """A table with the figures of every system of units beside one another; the row after it."""
    systems = draft.formats.systems
    names = [named_with(name, dimension, system) for system in systems for name, dimension in heads]
    for column, name in enumerate((*first, *names), start=1):
        page.put(row, column, name, HEAD)
    page.sheet.row_dimensions[row].height = 28
    for name in names:
        page.lines(row, name, 15 * 0.9)  # bold letters are wider
    for at, (name, count, figures) in enumerate(rows, start=row + 1):
        page.put(at, 1, name, TEXT)
        page.put(at, 2, count, COUNT)
        told: list[Decimal] = [
            in_unit(figure, dimension, system).quantize(Decimal("0.1"))
            for system in systems
            for figure, (_, dimension) in zip(figures, heads, strict=True)
        ]
        for column, figure in enumerate(told, start=3):
            page.put(at, column, figure, _FIGURE)
    return row + 1 + len(rows)
