"""The form in which a quote is adjusted: rates, validity, what is built how, and the lines of its parts."""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from werkzeug.datastructures import MultiDict

from estimator.documents.language.texts import mark
from estimator.errors import Fault
from estimator.web.forms.entries import Document, FormEntry, put
from estimator.web.forms.job_form import FieldView

MOST_LINES, NEW_LINES = 400, 3
BOOK = ("", mark("as the pricebook says"))
JOB = ("", mark("as the job says, else the tool chooses"))
RATES = (
    FormEntry("margin", mark("Margin"), "percent", units=("%", "%")),
    FormEntry("discount", mark("Discount on the parts"), "percent", units=("%", "%")),
    FormEntry("contingency", mark("Contingency"), "percent", units=("%", "%")),
    FormEntry("validity_days", mark("Valid for so many days"), "whole"),
)
WAYS = (
    FormEntry("freight", mark("Freight"), "yes_no", choices=(BOOK, ("yes", mark("charged")), ("no", mark("left out")))),
    FormEntry("labour", mark("Labour"), "yes_no", choices=(BOOK, ("yes", mark("charged")), ("no", mark("left out")))),
    FormEntry("arrangement", mark("Arrangement"), "choice", choices=(
        JOB, ("rail_on_side", mark("rail on the side of the bracket")),
        ("rail_on_top", mark("rail on top of the bracket")),
        ("direct", mark("without rail, the module clamped on the bracket")))),
    FormEntry("material", mark("Material"), "choice",
          choices=(JOB, ("aluminium", mark("aluminium")), ("steel", mark("steel")))),
    FormEntry("notes", mark("Notes that the quote prints"), "long", wide=True),
)  # fmt: skip
ORDERED = FormEntry("ordered", mark("Quantity"), "whole")
UNIT_PRICE = FormEntry("unit_price", mark("Unit price"))
DISCOUNT = FormEntry("discount", mark("Discount"), "percent")
REASON = FormEntry("reason", mark("Reason"))
PART = FormEntry("part", mark("Part number"))


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
    """The whole form."""

    rates: tuple[FieldView, ...]
    ways: tuple[FieldView, ...]
    lines: tuple[LineFields, ...]
    new: tuple[LineFields, ...]
    others: tuple[Fault, ...]


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


def choices_form(choices: Document, parts: Sequence[str], faults: Sequence[Fault]) -> ChoicesForm:
    """The form of choices, with a line for every part of the quote and a few for parts that come in addition."""
    told = _Faults(faults)
    changes = {each.get("part"): (at, each) for at, each in enumerate(choices.get("line_changes") or [])}
    listed = [*parts[:MOST_LINES], *(part for part in changes if part and part not in parts)]
    lines = tuple(_line(number, part, changes.get(part), choices, told) for number, part in enumerate(listed))
    rates = tuple(_view(entry, entry.path, choices.get(entry.path), told.at(f"/{entry.path}")) for entry in RATES)
    ways = tuple(_view(entry, entry.path, choices.get(entry.path), told.at(f"/{entry.path}")) for entry in WAYS)
    new = tuple(
        LineFields(
            at, "", {e.path: _view(e, f"new/{at}/{e.path}", None, "") for e in (PART, ORDERED, UNIT_PRICE, REASON)}
        )
        for at in range(NEW_LINES)
    )
    return ChoicesForm(rates, ways, lines, new, tuple(fault for fault in faults if fault not in told.used))


def choices_of(form: MultiDict[str, str], before: Document) -> Document:
    """The choices that a form stands for, laid over those it was made from."""
    choices: dict[str, Any] = deepcopy(before) if isinstance(before, dict) else {}
    for entry in (*RATES, *WAYS):
        if entry.path in form:
            put(choices, entry.path, entry.read(form[entry.path], choices.get(entry.path), us=False))
    changes = {each.get("part"): dict(each) for each in choices.get("line_changes") or []}
    discounts = dict(choices.get("line_discounts") or {})
    for number in range(MOST_LINES):
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


def _change(
    form: MultiDict[str, str], base: str, part: str, changes: dict[Any, dict[str, Any]], discounts: dict[str, Any]
) -> None:
    """One line's fields as a change of it, or as none where nothing is said."""
    before = changes.get(part) or {}
    said = {
        "ordered": ORDERED.read(form.get(f"{base}/ordered", ""), before.get("ordered"), us=False),
        "unit_price": UNIT_PRICE.read(
            form.get(f"{base}/unit_price", "").replace(",", "."), before.get("unit_price"), us=False
        ),
        "struck": form.get(f"{base}/struck") == "yes",
    }
    reason = form.get(f"{base}/reason", "").strip()
    kept = {name: value for name, value in said.items() if value not in (None, False)}
    changes[part] = {"part": part, **kept, **({"reason": reason} if reason else {})} if kept else {}
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
