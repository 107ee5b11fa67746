"""The form in which a quote is adjusted: rates, validity, what is built how, options, and the lines of its parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from werkzeug.datastructures import MultiDict

from estimator.errors import Fault
from estimator.web.forms.choice_entries import (
    DISCOUNT,
    FIELDS,
    GROUPS,
    MOST_LINES,
    NEW_LINES,
    ORDERED,
    PART,
    REASON,
    ROWS,
    UNIT_PRICE,
)
from estimator.web.forms.entries import Document, FormEntry, find, put
from estimator.web.forms.rows import RowsEntry, rows_read, rows_sent
from estimator.web.forms.views import FieldView, GroupView, RowsView, rows_view


@dataclass(frozen=True, slots=True)
class LineFields:
    """The fields of one line: what may be changed of a part; ``part`` is a field itself on lines that are new."""

    number: int
    part: str
    fields: dict[str, FieldView]
    struck: bool = False
    fault: str = ""


@dataclass(frozen=True, slots=True)
class ChoicesForm:
    """The whole form; ``others``: faults that belong to no field of it."""

    groups: tuple[GroupView, ...]
    rows: dict[str, RowsView]
    lines: tuple[LineFields, ...]
    new: tuple[LineFields, ...]
    others: tuple[Fault, ...]
    parts: int = 0
    """How many parts the quote has; the form shows the first of them, and all that were changed."""

    def fields(self) -> Iterator[FieldView]:
        """Every field, those of rows and lines among them."""
        yield from (one for group in self.groups for one in group.fields)
        yield from (one for rows in self.rows.values() for row in rows.rows for one in row.fields)
        yield from (one for line in (*self.lines, *self.new) for one in line.fields.values())


@dataclass(slots=True)
class _Faults:
    """Faults by their pointers, and which were told at a field."""

    faults: Sequence[Fault]
    used: set[Fault] = field(default_factory=set)

    def at(self, *pointers: str) -> str:
        for fault in self.faults:
            if fault.pointer in pointers:
                self.used.add(fault)
                return f"{fault.message}; allowed: {fault.allowed}" if fault.allowed else fault.message
        return ""


def choices_form(choices: Document, parts: Sequence[str], faults: Sequence[Fault], *, us: bool) -> ChoicesForm:
    """The form of choices, with a line for every part of the quote and a few for parts that come in addition."""
    told = _Faults(faults)
    changes = {each.get("part"): (at, each) for at, each in enumerate(choices.get("line_changes") or [])}
    first = parts[:MOST_LINES]
    listed = [*first, *(part for part in changes if part and part not in first)]
    lines = tuple(_line(number, part, changes.get(part), choices, told) for number, part in enumerate(listed))

    def one(entry: FormEntry, path: str) -> FieldView:
        return FieldView(path, entry, entry.unit(us), entry.shown(find(choices, path), us), told.at(f"/{path}"))

    groups = tuple(GroupView(title, tuple(one(each, each.path) for each in group)) for title, group in GROUPS.items())
    rows = {each.path: rows_view(each, choices.get(each.path), told.at, us=us) for each in ROWS}
    new = tuple(
        LineFields(
            at, "", {e.path: _view(e, f"new/{at}/{e.path}", None, "") for e in (PART, ORDERED, UNIT_PRICE, REASON)}
        )
        for at in range(NEW_LINES)
    )
    return ChoicesForm(groups, rows, lines, new, tuple(fault for fault in faults if fault not in told.used), len(parts))


def choices_of(form: MultiDict[str, str], before: Document, *, us: bool) -> Document:
    """The choices that a form stands for, laid over those it was made from."""
    choices: dict[str, Any] = deepcopy(before) if isinstance(before, dict) else {}
    for entry in FIELDS:
        now = find(before, entry.path)
        if entry.path in form and not entry.same(form[entry.path], now, us):
            put(choices, entry.path, entry.read(form[entry.path], now, us))
    for each in ROWS:
        _rows(form, choices, each, us)
    changes = {each.get("part"): dict(each) for each in choices.get("line_changes") or []}
    discounts = dict(choices.get("line_discounts") or {})
    for number in range(MOST_LINES + len(changes)):
        part = form.get(f"line/{number}/part", "")
        if part:
            _change(form, f"line/{number}", part, changes, discounts)
    for number in range(NEW_LINES):
        part = form.get(f"new/{number}/part", "").strip()
        if part:
            _change(form, f"new/{number}", part, changes, discounts)
    choices["line_changes"] = [each for each in changes.values() if each]
    choices["line_discounts"] = discounts
    return {name: value for name, value in choices.items() if value not in ([], {})}


def _rows(form: MultiDict[str, str], choices: dict[str, Any], rows: RowsEntry, us: bool) -> None:
    if rows_sent(form, rows, rows.path, choices.get(rows.path)):
        rows_read(form, choices, rows, rows.path, us=us)


def _change(
    form: MultiDict[str, str], base: str, part: str, changes: dict[Any, dict[str, Any]], discounts: dict[str, Any]
) -> None:
    """One line's fields as a change of it, or as none where nothing is said."""
    before = changes.get(part) or {}
    said = {
        "ordered": ORDERED.read(form.get(f"{base}/ordered", ""), before.get("ordered"), us=False),
        "unit_price": UNIT_PRICE.read(form.get(f"{base}/unit_price", ""), before.get("unit_price"), us=False),
        "struck": form.get(f"{base}/struck") == "yes"
        or (before.get("struck") if before.get("struck") is False else None),
    }
    reason = form.get(f"{base}/reason", "").strip()
    kept = {name: value for name, value in said.items() if value is not None}
    changes[part] = {"part": part, **kept, **({"reason": reason} if reason else {})} if any(kept.values()) else {}
    if f"{base}/discount" in form:
        share = DISCOUNT.read(form[f"{base}/discount"], discounts.get(part), us=False)
        discounts.pop(part, None)
        if share is not None:
            discounts[part] = share


def _line(number: int, part: str, change: tuple[int, Document] | None, choices: Document, told: _Faults) -> LineFields:
    at, said = change if change else (-1, {})
    base, pointer = f"line/{number}", f"/line_changes/{at}"
    share = (choices.get("line_discounts") or {}).get(part)
    fields = {e.path: _view(e, f"{base}/{e.path}", said.get(e.path), told.at(f"{pointer}/{e.path}"))
              for e in (ORDERED, UNIT_PRICE, REASON)}  # fmt: skip
    fields["discount"] = _view(DISCOUNT, f"{base}/discount", share, told.at(f"/line_discounts/{part}"))
    return LineFields(number, part, fields, bool(said.get("struck")), told.at(pointer, f"{pointer}/part"))


def _view(entry: FormEntry, path: str, value: Document, fault: str) -> FieldView:
    return FieldView(path, entry, entry.unit(us=False), entry.shown(value, us=False), fault)
