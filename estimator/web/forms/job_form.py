"""A job's form: its fields with values and faults, and the document it stands for once it is sent back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field

from marshmallow import ValidationError
from werkzeug.datastructures import MultiDict

from estimator.contract.requests.posted_job.cells import read_cells
from estimator.contract.requests.posted_job.job import MOST_ROOFS
from estimator.contract.requests.posted_job.roof import MOST_ARRAYS, MOST_OBSTRUCTIONS
from estimator.errors import Fault
from estimator.sentences import say
from estimator.web.forms.entries import Document, FormEntry, find, put
from estimator.web.forms.further import AT, FURTHER, Further, further_lines, further_read, further_text
from estimator.web.forms.job_entries import (
    ARRAY,
    FOLDED,
    MOUNTING,
    NEW_OBSTRUCTION,
    OBSTRUCTION,
    OF_JOB,
    OF_ROOF,
    ROWS_OF_ARRAY,
    ROWS_OF_JOB,
)
from estimator.web.forms.rows import RowsEntry, row_paths, rows_read, rows_sent
from estimator.web.forms.views import FieldView, GroupView, RowsView, RowView

ADDED_ROOFS, ADDED_ON_ROOF = 60, 200
"""The form adds roofs, arrays and obstructions up to these; a job with more comes as a file."""
MOST_AS_FILE = {"roofs": MOST_ROOFS, "arrays": MOST_ARRAYS, "obstructions": MOST_OBSTRUCTIONS}
Faults = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class RoofForm:
    """The fields of one roof."""

    number: int
    path: str
    name: str
    groups: tuple[GroupView, ...]
    arrays: tuple[GroupView, ...]
    obstructions: tuple[GroupView, ...]
    new_obstruction: GroupView


@dataclass(frozen=True, slots=True)
class JobForm:
    """The whole form, and faults that belong to no field of it."""

    groups: tuple[GroupView, ...]
    roofs: tuple[RoofForm, ...]
    mounting: GroupView
    others: tuple[Fault, ...]
    further: str = ""
    further_faults: tuple[Fault, ...] = ()
    full: Mapping[str, str] = field(default_factory=dict)
    """Why the form adds nothing more, by the path of each list that is full."""

    def told(self) -> dict[str, str]:
        """What is wrong, by field; what is wrong with a row as a whole at its first field."""
        every = (row for group in self._groups() for rows in group.rows for row in rows.rows if row.fault)
        whole = {row.fields[0].path: row.fault for row in every}
        return {**whole, **{field.path: field.fault for field in self.fields() if field.fault}}

    def fields(self) -> Iterator[FieldView]:
        """Every field, those in rows among them."""
        for group in self._groups():
            yield from group.fields
            yield from (one for rows in group.rows for row in rows.rows for one in row.fields)

    def _groups(self) -> Iterator[GroupView]:
        yield from (*self.groups, self.mounting)
        for roof in self.roofs:
            yield from (*roof.groups, *roof.arrays, *roof.obstructions)


def job_form(
    document: Document, faults: Sequence[Fault], *, us: bool, typed: Mapping[str, str] | None = None
) -> JobForm:
    """The form of a document. ``typed``: what was typed and is no part of the document, by field."""
    told: dict[str, str] = {}
    for fault in faults:
        words = f"{fault.message}; allowed: {fault.allowed}" if fault.allowed else fault.message
        told.setdefault(fault.pointer.lstrip("/"), words)
    maker = _Maker(document, told, us, typed or {})
    groups = tuple(maker.group(title, entries, "") for title, entries in OF_JOB.items())
    roofs = tuple(maker.roof(number) for number in range(len(_listed(document, "roofs"))))
    mounting = maker.group("", MOUNTING, "")
    others = [fault for fault in faults if fault.pointer.lstrip("/") not in maker.used]
    lines = further_lines(document, covered(document))
    text = (typed or {}).get(FURTHER, further_text(lines))
    own = tuple(fault for fault in others if _is_of(fault, text))
    left = tuple(fault for fault in others if fault not in own)
    return JobForm(groups, roofs, mounting, left, text, own, dict(_full(document)))


def document_of(form: MultiDict[str, str], base: Document, *, us: bool) -> Further:
    """The document that a form stands for: what its fields say, laid over what it was made from.

    What is not touched stays as it is, null and all; what the lines of further fields cannot say is a fault.
    """
    document = deepcopy(base)
    for path, entry in fields_of(base):
        if path in form and not entry.same(form[path], find(base, path), us):
            put(document, path, entry.read(form[path], find(base, path), us))
    for path, rows in rows_of(base):
        if rows_sent(form, rows, path, find(base, path)):
            rows_read(form, document, rows, path, us=us)
    if FURTHER not in form:
        return Further(document)
    known = covered(base)
    return further_read(form[FURTHER], document, further_lines(base, known), known)


def fields_of(document: Document) -> Iterable[tuple[str, FormEntry]]:
    """Every field of a document's form with its path."""
    for entries in (*OF_JOB.values(), MOUNTING):
        yield from ((entry.path, entry) for entry in entries)
    for number in range(len(_listed(document, "roofs"))):
        base = f"roofs/{number}"
        for entries in OF_ROOF.values():
            yield from ((f"{base}/{entry.path}", entry) for entry in entries)
        for name, entries in (("arrays", ARRAY), ("obstructions", OBSTRUCTION)):
            for at in range(len(_listed(document, f"{base}/{name}"))):
                yield from ((f"{base}/{name}/{at}/{entry.path}", entry) for entry in entries)


def rows_of(document: Document) -> Iterable[tuple[str, RowsEntry]]:
    """Every list of rows of a document's form with its path."""
    for several in ROWS_OF_JOB.values():
        yield from ((rows.path, rows) for rows in several)
    for number in range(len(_listed(document, "roofs"))):
        for at in range(len(_listed(document, f"roofs/{number}/arrays"))):
            yield from ((f"roofs/{number}/arrays/{at}/{rows.path}", rows) for rows in ROWS_OF_ARRAY)


def covered(document: Document) -> frozenset[str]:
    """The paths of all fields, those of rows among them."""
    inside = [path for base, rows in rows_of(document) for path, _ in row_paths(rows, base, find(document, base))]
    return frozenset([*(path for path, _ in fields_of(document)), *inside])


def plain_cells(document: Document) -> Document:
    """A document whose drawn cells are rows, columns and cells left out, as the form has them."""
    document = deepcopy(document)
    for roof in _listed(document, "roofs"):
        for array in _listed(roof, "arrays"):
            drawn = array.get("cells") if isinstance(array, dict) else None
            if isinstance(drawn, list) and drawn and all(isinstance(row, str) for row in drawn):
                try:
                    rows, columns, omit = read_cells({**array, "cells": tuple(drawn)})
                except ValidationError:
                    continue
                del array["cells"]
                array |= {"rows": rows, "columns": columns, "omit": sorted([r + 1, c + 1] for r, c in omit)}
    return document


def added(document: Document, path: str) -> Document:
    """The document with one more roof, array or obstruction at the end of a list; what it shares is copied."""
    document = deepcopy(document)
    kind = path.rpartition("/")[2]
    if find(document, path) is None and kind == "obstructions":
        put(document, path, [])
    things = find(document, path)
    if isinstance(things, list) and no_room(document, path) is None:
        things.append(_another(things, kind))
    return document


def no_room(document: Document, path: str) -> Fault | None:
    """Why the form adds nothing more to a list; None where there is room."""
    kind = path.rpartition("/")[2]
    added, most = (ADDED_ROOFS if kind == "roofs" else ADDED_ON_ROOF), MOST_AS_FILE.get(kind, 0)
    if len(_listed(document, path)) < added:
        return None
    return Fault(
        f"/{path}",
        say(
            "this form adds no more than {added}; a job with more, up to {most}, comes as a file",
            added=added,
            most=most,
        ),
    )


def _full(document: Document) -> Iterator[tuple[str, str]]:
    paths = ["roofs"]
    for number in range(len(_listed(document, "roofs"))):
        paths += [f"roofs/{number}/arrays", f"roofs/{number}/obstructions"]
    found = ((path, no_room(document, path)) for path in paths)
    yield from ((path, fault.message) for path, fault in found if fault is not None)


def removed(document: Document, path: str) -> Document:
    """The document without one roof, array or obstruction."""
    document = deepcopy(document)
    way, _, at = path.rpartition("/")
    things = find(document, way)
    if isinstance(things, list) and at.isdigit() and int(at) < len(things):
        del things[int(at)]
    return document


def an_empty_job(*, language: str, units: str) -> Document:
    """What a new job's form begins with: one roof with one array, everything else still to be said."""
    display = {"us": "us", "metric": "metric"}.get(units, "both")
    roof = {"name": "", "ribs": {}, "sheet": {}, "arrays": [{"name": "A"}]}
    return {"reference": "", "language": language, "display_units": display, "roofs": [roof], "module": {}}


def _another(things: Sequence[Document], kind: str) -> Document:
    last = things[-1] if things and isinstance(things[-1], dict) else {}
    kept = {
        "roofs": ("slope", "ribs", "sheet", "keep_clear", "eave_length", "slope_length"),
        "arrays": ("orientation", "gap_x", "gap_y", "rows", "columns", "y"),
    }.get(kind, ())
    made = {name: deepcopy(last[name]) for name in kept if name in last}
    if kind == "roofs":
        return {"name": "", "ribs": {}, "sheet": {}, **made, "arrays": [{"name": "A"}]}
    return {"name": chr(ord("A") + len(things) % 26) if kind == "arrays" else "", **made}


def _is_of(fault: Fault, text: str) -> bool:
    """Whether a fault belongs to one of the further fields, or is a line's that cannot be read."""
    steps = fault.pointer.split("/")
    above = ["/".join(steps[:upto]) for upto in range(2, len(steps) + 1)]
    return fault.pointer == AT or any(line.partition(" ")[0] in above for line in text.splitlines())


def _listed(document: Document, path: str) -> list[Document]:
    found = find(document, path)
    return found if isinstance(found, list) else []


@dataclass(slots=True)
class _Maker:
    """Makes the views of fields, and remembers which faults have found theirs."""

    document: Document
    faults: Faults
    us: bool
    typed: Mapping[str, str]
    used: set[str] = field(default_factory=set)

    def group(self, title: str, entries: Iterable[FormEntry], base: str, path: str = "") -> GroupView:
        fields = tuple(self.one(entry, f"{base}{entry.path}") for entry in entries)
        inside = ROWS_OF_JOB.get(title, ()) if not path else ROWS_OF_ARRAY if "/arrays/" in path else ()
        rows = tuple(self.rows(each, f"{base}{each.path}") for each in inside)
        said = any(one.value or one.fault for one in fields) or any(each.said for each in rows)
        name = str(find(self.document, f"{path}/name") or "") if path else ""
        return GroupView(title, fields, path, name, rows, folded=title in FOLDED and not said)

    def rows(self, rows: RowsEntry, path: str) -> RowsView:
        made = []
        for at in range(rows.count(find(self.document, path))):
            base, whole = f"{path}/{at}", self.exactly(f"{path}/{at}")
            fields = tuple(self.one(entry, f"{base}/{entry.path}") for entry in rows.entries)
            made.append(RowView(at + 1, fields, whole))
        return RowsView(rows.title, tuple(made), rows.hint)

    def one(self, entry: FormEntry, path: str) -> FieldView:
        shown = self.typed.get(path)
        value = entry.shown(find(self.document, path), self.us) if shown is None else shown
        return FieldView(path, entry, entry.unit(self.us), value, self.fault(path))

    def fault(self, path: str) -> str:
        """What is wrong at the field, inside it (an entry of a list), or with the thing whose first field it is."""
        for pointer, words in self.faults.items():
            whole = path.startswith(f"{pointer}/") and pointer not in self.used and not path[len(pointer) + 1].isdigit()
            if pointer == path or pointer.startswith(f"{path}/") or (whole and pointer):
                self.used.add(pointer)
                return words
        return ""

    def exactly(self, path: str) -> str:
        """What is wrong with a thing as a whole."""
        if path in self.faults:
            self.used.add(path)
        return self.faults.get(path, "")

    def roof(self, number: int) -> RoofForm:
        base = f"roofs/{number}"
        return RoofForm(
            number=number,
            path=base,
            name=str(find(self.document, f"{base}/name") or ""),
            groups=tuple(self.group(title, entries, f"{base}/") for title, entries in OF_ROOF.items()),
            arrays=self.things(f"{base}/arrays", ARRAY),
            obstructions=self.things(f"{base}/obstructions", OBSTRUCTION),
            new_obstruction=self.group("", NEW_OBSTRUCTION, f"new/{number}/"),
        )

    def things(self, path: str, entries: Sequence[FormEntry]) -> tuple[GroupView, ...]:
        count = len(_listed(self.document, path))
        return tuple(self.group("", entries, f"{path}/{at}/", f"{path}/{at}") for at in range(count))
