"""Checks, the estimator's word where one may stand, heights under the modules, and the cautions."""

from __future__ import annotations

from estimator.documents.language.texts import Reader
from estimator.documents.language.words import check_where
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import Entry
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import CAUTION, HEAD, TEXT, WRAPPED, Look, as_input
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.plain_text import plain
from estimator.errors import NEVER_OVERRIDDEN, Finding
from estimator.job import CheckOverride
from estimator.sentences import figure
from estimator.units import Dimension

_WIDTHS = (16.0, 24.0, 66.0, 16.0, 16.0, 40.0, 18.0)
_WORD = 6
_DIMENSIONS: dict[str, Dimension] = {"mm": "length", "kg": "mass", "N": "force", "Pa": "pressure"}
"""Units of findings that the job may show in others."""


def write_checks(draft: Draft) -> None:
    """Every failed check and what is worth knowing, then heights and cautions."""
    t = draft.t
    page = draft.page(t("Checks and cautions"))
    told = (
        t("A reason in a tinted cell overrides the failed check beside it, by your name.")
        if draft.for_estimator
        else ""
    )
    page.head(t("Checks and cautions"), told)
    page.widths(*_WIDTHS)
    row = _write_checks(draft, page, 3)
    row = _write_heights(draft, page, row + 1)
    page.heading(row, t("Cautions"))
    for at_row, caution in enumerate(draft.estimate.cautions, start=row + 1):
        text = t(caution)
        page.put(at_row, 1, text, CAUTION)
        page.merge(at_row, 1, len(_WIDTHS))
        page.lines(at_row, text, sum(_WIDTHS))
    print_wide(draft, page, heads=4)


def _write_checks(draft: Draft, page: Page, row: int) -> int:
    t, estimate = draft.t, draft.estimate
    page.heading(row, t("Checks"))
    heads = [t("Severity"), t("Place"), t("Check"), t("Found"), t("Allowed")]
    heads += [t("Reason for the override"), t("Overridden by")]
    for column, head in enumerate(heads, start=1):
        page.put(row + 1, column, head, HEAD)
    row += 2
    told = [check for check in estimate.checks if draft.for_estimator or not check.tells_cost]
    words = {(word.code, word.place): word for word in estimate.overridden}
    for check in told:
        _write_check(draft, page, row, check, words.get((check.code, check.place)))
        row += 1
    if not told:
        page.put(row, 1, t("Every check passes."), TEXT)
        page.merge(row, 1, len(_WIDTHS))
        row += 1
    return row


def _write_check(draft: Draft, page: Page, row: int, check: Finding, word: CheckOverride | None) -> None:
    """One check; in the estimator's edition a failed one has a cell for the reason why it is overridden."""
    t = draft.t
    severity = {"error": t("Failed"), "warning": t("Warning"), "note": t("Note")}[check.severity]
    look = CAUTION if check.severity == "error" else WRAPPED
    texts = (
        severity,
        draft.reader.say(check.place) if check.place else "",
        check_where(check, draft.reader),
        _measure(draft.reader, check, check.found),
        _measure(draft.reader, check, check.allowed),
        word.reason if word else "",
        word.by if word else "",
    )
    open_ = draft.for_estimator and check.severity == "error" and check.code not in NEVER_OVERRIDDEN
    for column, text in enumerate(texts, start=1):
        page.put(row, column, text, as_input(WRAPPED) if open_ and column == _WORD else look)
    for text, width in zip(texts, _WIDTHS, strict=True):
        page.lines(row, text, width)
    if open_:
        named = (check.code, check.place)
        draft.entries.append(
            Entry(page.title, at(row, _WORD), "override", held=plain(word.reason) if word else None, check=named)
        )


def _measure(reader: Reader, check: Finding, value: float | str | None) -> str:
    """In the job's units; what has a unit of its own stays in it."""
    if value is None:
        return ""
    dimension = _DIMENSIONS.get(check.unit)
    if dimension is not None and not isinstance(value, str):
        return reader.formats.quantity(value, dimension)
    text = reader.say(value if isinstance(value, str) else figure(value, ".6g"))
    return f"{text} {check.unit}".strip()


def _write_heights(draft: Draft, page: Page, row: int) -> int:
    """Rib, bracket and rail add up to the clearance under the modules."""
    t, length = draft.t, draft.formats.length
    page.heading(row, t("Height under the modules"))
    heads = (t("Roof"), t("Clearance"), t("Rib + bracket + rail"), t("Wanted from"), t("Wanted to"))
    for column, head in enumerate(heads, start=1):
        page.put(row + 1, column, head, HEAD)
    row += 2
    right = Look(across="right", rule="below")
    for each in draft.estimate.clearances:
        terms = (each.rib_height_mm, each.bracket_height_mm, each.rail_height_mm)
        page.put(row, 1, each.roof, TEXT)
        page.put(row, 2, length(each.under_module_mm), right)
        page.put(row, 3, " + ".join(length(term) for term in terms), TEXT)
        page.put(row, 4, length(each.window_mm[0]), right)
        page.put(row, 5, length(each.window_mm[1]), right)
        row += 1
    return row + 1
