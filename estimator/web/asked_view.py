"""What was asked for, as differences tell it: a place by the label of its field, a value as whoever looks reads it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any, TypeAlias

from estimator.documents.language.texts import Reader, mark
from estimator.web.forms.choice_entries import FIELDS, ROWS
from estimator.web.forms.entries import FormEntry, find
from estimator.web.forms.job_form import fields_of, rows_of
from estimator.web.forms.rows import row_paths
from estimator.web.labels import FIELD_WORDS

Document: TypeAlias = Any
NOTHING = "–"
LONGEST = 200
OF_LINES = {"line_changes": mark("Lines"), "line_discounts": mark("discount of the line")}
INSIDE = {"roofs": mark("Roof"), "arrays": mark("Array"), "obstructions": mark("Obstruction")}


class Asked:
    """The fields of a quote's job and choices, as far as either of two revisions has them."""

    def __init__(self, jobs: Iterable[Document], choices: Iterable[Document], reader: Reader) -> None:
        self.reader, self.us = reader, reader.formats.systems[0] == "us"
        self.jobs = [each for each in jobs if isinstance(each, dict)]
        self.of_job: dict[str, FormEntry] = {}
        self.of_choices: dict[str, FormEntry] = {entry.path: entry for entry in FIELDS}
        for job in self.jobs:
            self.of_job.update(fields_of(job))
            for base, rows in rows_of(job):
                self.of_job.update(row_paths(rows, base, find(job, base)))
        for each in choices:
            for rows in ROWS:
                self.of_choices.update(row_paths(rows, rows.path, find(each, rows.path)))

    def label(self, place: str) -> str:
        """What a place is called: its field with the roof and array that it belongs to, else the place itself."""
        path = place.removeprefix("/")
        t = self.reader.texts.t
        entry = self._entry(path)
        first, _, rest = path.partition("/")
        if entry is not None:
            return ", ".join([*self._inside(path), t(entry.label)])
        if first in OF_LINES:
            words = FIELD_WORDS.get(rest.rpartition("/")[2], "")
            name = rest if first == "line_discounts" else ""
            return " ".join(part for part in (t(OF_LINES[first]), name, f"({t(words)})" if words else "") if part)
        title = next((rows.title for rows in ROWS if rows.path == first), "")
        return t(title) if title else place

    def told(self, place: str, value: Document) -> str:
        """A value of that place."""
        path = place.removeprefix("/")
        if path.startswith("line_changes/") and isinstance(value, dict):
            text = self._line(value)
        elif path.startswith("line_discounts/"):
            text = self._share(value)
        else:
            text = self._value(self._entry(path), value)
        return text if len(text) <= LONGEST else text[:LONGEST] + " …"

    def _entry(self, path: str) -> FormEntry | None:
        """The field of a path, or the one whose list the path is an entry of."""
        found = self.of_choices.get(path) or self.of_job.get(path)
        above = path.rpartition("/")
        if found is None and above[2].isdigit():
            found = self.of_job.get(above[0])
        return found

    def _inside(self, path: str) -> Iterable[str]:
        steps = path.split("/")
        for at, step in enumerate(steps[:-1]):
            if step in INSIDE and steps[at + 1].isdigit():
                place = "/".join(steps[: at + 2])
                names = (find(job, f"{place}/name") for job in reversed(self.jobs))
                name = next((str(each) for each in names if each), str(int(steps[at + 1]) + 1))
                yield f"{self.reader.texts.t(INSIDE[step])} {name}"

    def _value(self, entry: FormEntry | None, value: Document) -> str:
        t = self.reader.texts.t
        named = dict(entry.choices) if entry else {}
        shown = entry.shown(value, self.us) if entry else ""
        if value is None:
            return NOTHING
        if shown in named and shown:
            return t(named[shown])
        if entry is not None and entry.kind == "percent":
            return self._share(value)
        if entry is not None and entry.kind == "date":
            return self._day(shown)
        if entry is not None and not isinstance(value, (int, float)):
            return shown
        unit = entry.unit(self.us) if entry else ""
        return (
            f"{self._plain(shown if entry and not isinstance(value, bool) else value)}{chr(160) + unit if unit else ''}"
        )

    def _plain(self, value: Document) -> str:
        """A value that no field knows: numbers as the language writes them."""
        if isinstance(value, bool):
            return self.reader.texts.t("yes" if value else "no")
        if isinstance(value, Mapping):
            return ", ".join(f"{name}: {self._plain(each)}" for name, each in value.items())
        if isinstance(value, (list, tuple)):
            return "; ".join(self._plain(each) for each in value)
        number = _number(value)
        return str(value) if number is None else self.reader.formats.exact(number)

    def _share(self, value: Document) -> str:
        number = _number(value)
        if value is None:
            return NOTHING
        return str(value) if number is None else self.reader.formats.exact_percent(number)

    def _day(self, text: str) -> str:
        try:
            return self.reader.formats.date(date.fromisoformat(text))
        except ValueError:
            return text

    def _line(self, change: Mapping[str, Document]) -> str:
        t = self.reader.texts.t
        said = [t(FIELD_WORDS["struck"])] if change.get("struck") else []
        said += [
            f"{t(FIELD_WORDS[name])} {self._plain(change[name])}"
            for name in ("ordered", "unit_price")
            if change.get(name) is not None
        ]
        said += [f"{t(FIELD_WORDS['reason'])}: {change['reason']}"] if change.get("reason") else []
        return f"{change.get('part', '')}: {', '.join(said)}"


def _number(value: Document) -> Decimal | None:
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return None
    return number if number.is_finite() else None
