"""What was asked for, what was chosen and why, and what the numbers stand on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal

from estimator.documents.language.words import SUBJECTS, option_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import HEAD, LABEL, TEXT, WRAPPED
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.tables import Column, Row, write_table
from estimator.sentences import joined

_LONGEST_LIST = 200


def write_inputs(draft: Draft) -> None:
    """Provenance and choices above, every field of the job below."""
    t = draft.t
    page = draft.page(t("Inputs"))
    page.head(t("Inputs and provenance"), t("What the numbers are based on; the same inputs give the same quote."))
    row = _write_provenance(draft, page, 4)
    row = _write_choices(draft, page, row + 1)
    page.heading(row, t("The job as posted, in mm, kg, N, Pa and degrees; what was left open is not listed"))
    rows: list[Row] = [{"field": field, "value": value} for field, value in flattened(draft.estimate.job, "") if value]
    columns = (Column("field", t("Field"), 42, TEXT), Column("value", t("Value"), 60, WRAPPED))
    write_table(page, row + 1, "Inputs", columns, rows)
    page.widths(42, 60, 20, 40)
    print_wide(draft, page)


def _write_provenance(draft: Draft, page: Page, row: int) -> int:
    t, stands, header, book = draft.t, draft.estimate.provenance, draft.header, draft.book
    facts = (
        (t("Quote"), f"{header.number}, {t('revision {revision}', revision=header.revision)}"),
        (t("Pricebook"), f"{stands.pricebook}, {book.title}"),
        (t("Edition"), f"{stands.edition}, {book.valid_from} – {book.valid_until}"),
        (t("SHA-256 of the edition"), stands.sha256),
        (t("SHA-256 of the input"), stands.input_sha256),
        (t("Engine"), stands.engine),
        (t("Priced on"), draft.formats.date(stands.priced_on)),
        (t("Valid until"), draft.formats.date(stands.valid_until)),
    )
    page.heading(row, t("Provenance"))
    for at_row, (label, value) in enumerate(facts, start=row + 1):
        page.put(at_row, 1, label, LABEL)
        page.put(at_row, 2, value, TEXT)
    return row + 1 + len(facts)


def _write_choices(draft: Draft, page: Page, row: int) -> int:
    """Each choice with its reason, and every option that was tried with its total or what fails in it."""
    t = draft.t
    page.heading(row, t("Choices"))
    for column, head in enumerate((t("Subject and option"), t("Why"), t("Total"), t("Failed checks")), start=1):
        page.put(row + 1, column, head, HEAD)
    row += 2
    told = draft.reader.say

    def option(subject: str, code: str) -> str:
        return option_name("" if subject in SUBJECTS else subject, code, draft.reader)

    for choice in draft.estimate.decisions:
        page.put(
            row,
            1,
            f"{told(SUBJECTS.get(choice.subject, choice.subject))}: {option(choice.subject, choice.chosen)}",
            TEXT,
        )
        page.put(row, 2, told(choice.why), WRAPPED)
        row += 1
        for other in choice.alternatives:
            page.put(row, 1, f"    {t('not')} {option(choice.subject, other.option)}", LABEL)
            page.put(row, 2, told(other.not_planned.message) if other.not_planned else None, WRAPPED)
            page.put(row, 3, other.total.amount if other.total else None, draft.money.amount)
            page.put(row, 4, told(joined("; ", other.errors)), WRAPPED)
            row += 1
    return row + 1


def flattened(value: object, path: str) -> Iterator[tuple[str, str]]:
    """Every field of nested records as a path and a text.

    >>> from estimator.job import KeepClear
    >>> list(flattened(KeepClear(), "roof"))[0]
    ('roof.eave_mm', '0.0')
    """
    if is_dataclass(value) and not isinstance(value, type):
        for each in fields(value):
            yield from flattened(getattr(value, each.name), f"{path}.{each.name}" if path else each.name)
    elif isinstance(value, tuple) and value and any(is_dataclass(each) for each in value):
        for number, each in enumerate(value, start=1):
            yield from flattened(each, f"{path}[{number}]")
    else:
        yield path, _text(value)


def _text(value: object) -> str:
    if value is None or value in ((), frozenset()):
        return ""
    if isinstance(value, (frozenset, tuple)):
        items = sorted(value) if isinstance(value, frozenset) else list(value)
        more = f" … (+{len(items) - _LONGEST_LIST})" if len(items) > _LONGEST_LIST else ""
        return ", ".join(str(item) for item in items[:_LONGEST_LIST]) + more
    if isinstance(value, (Decimal, date, bool, int, float)):
        return str(value)
    return str(value)
