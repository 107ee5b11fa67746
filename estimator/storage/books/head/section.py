"""One section of ``book.toml``: its values read by kind, each fault kept with its key."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.errors import Fault, FilePlace
from estimator.sentences import Sentence, say
from estimator.storage.books.files import HEAD
from estimator.storage.books.rows import cells
from estimator.storage.books.rows.cells import CellFault
from estimator.storage.books.rows.row import Reading

NAME = re.compile(r"[a-z0-9][a-z0-9._-]{0,39}\Z")


@dataclass(frozen=True, slots=True)
class TomlSection:
    """A table of the TOML file; ``path`` leads to it. A value at fault is noted and answered by a stand-in."""

    path: str
    values: Mapping[str, Any]
    reading: Reading

    def fault(self, key: str, message: Sentence, allowed: str = "") -> None:
        """Note a fault of this section."""
        place = ".".join(part for part in (self.path, key) if part)
        self.reading.faults.append(Fault(FilePlace(HEAD, column=place), message, allowed))

    def only(self, known: Collection[str]) -> None:
        """Refuse keys that nothing reads."""
        for key in self.values:
            if key not in known:
                self.fault(key, say("unknown key {key}", key=repr(key)), ", ".join(sorted(known)))

    def section(self, key: str, known: Collection[str] | None = None) -> TomlSection:
        """A section within this one; empty where it is left out."""
        inner = self.values.get(key, {})
        if not isinstance(inner, Mapping):
            self.fault(key, say("{key} is a section", key=repr(key)), say("[{key}] with its keys below", key=key))
            inner = {}
        found = TomlSection(".".join(part for part in (self.path, key) if part), inner, self.reading)
        if known is not None:
            found.only(known)
        return found

    def text(self, key: str, default: str | None = None) -> str:
        """A text; without a default it must be given."""
        value = self.values.get(key, default)
        if value is None:
            self.fault(key, say("{key} is missing", key=repr(key)), say("a text"))
            return ""
        if not isinstance(value, str):
            self.fault(key, say("{value} is no text", value=repr(value)), say("a text in quotation marks"))
            return ""
        try:
            return cells.plain_text(value)
        except CellFault as fault:
            self.fault(key, fault.message, fault.allowed)
            return ""

    def name(self, key: str) -> str:
        """A short name that can stand in an address or a file's name."""
        value = self.text(key)
        if value and not NAME.match(value):
            self.fault(
                key,
                say("{value} is no name", value=repr(value)),
                say("up to 40 small letters, figures, points, hyphens, underscores"),
            )
        return value

    def country(self, key: str) -> str:
        """A country's two-letter code, or nothing."""
        value = self.text(key, "")
        if value and not re.fullmatch("[A-Z]{2}", value):
            self.fault(
                key, say("{value} is no country code", value=repr(value)), say("two capital letters of ISO 3166-1")
            )
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; empty where it is left out."""
        values = self.values.get(key, [])
        if not isinstance(values, list):
            self.fault(key, say("{key} is a list of texts", key=repr(key)), say('["...", "..."]'))
            return ()
        listed = TomlSection(f"{self.path}.{key}".lstrip("."), {str(i): v for i, v in enumerate(values)}, self.reading)
        return tuple(listed.text(index) for index in listed.values)

    def sections(self, key: str) -> tuple[TomlSection, ...]:
        """A list of sections; empty where it is left out."""
        values = self.values.get(key, [])
        if not isinstance(values, list) or not all(isinstance(each, Mapping) for each in values):
            self.fault(
                key,
                say("{key} is a list of sections", key=repr(key)),
                say("[[{path}.{key}]] with its keys below, once for each", path=self.path, key=key),
            )
            return ()
        return tuple(
            TomlSection(f"{self.path}.{key}.{at}", each, self.reading) for at, each in enumerate(values, start=1)
        )

    def one_of(self, key: str, allowed: Collection[str], default: str | None = None) -> str:
        """One word of a few."""
        value = self.text(key, default)
        if value and value not in allowed:
            self.fault(key, say("{value} is not known here", value=repr(value)), ", ".join(allowed))
        return value

    def flag(self, key: str) -> bool:
        """True or false; false where it is left out."""
        value = self.values.get(key, False)
        if not isinstance(value, bool):
            self.fault(key, say("{value} is neither true nor false", value=repr(value)), say("true, false"))
        return value is True

    def whole(self, key: str, ends: tuple[int, int], default: int | None = None) -> int:
        """A whole number within both ends."""
        value = self.values.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or not ends[0] <= value <= ends[1]:
            self.fault(
                key,
                say("{shown} is no whole number within bounds", shown=_shown(value)),
                say("{ends} to {ends2}", ends=ends[0], ends2=ends[1]),
            )
            return ends[0]
        return value

    def decimal(self, key: str, default: Decimal | None = None) -> Decimal:
        """An exact number, not negative, as a number or a text."""
        return self._read(key, default, cells.decimal)

    def share(self, key: str, default: Decimal | None = None) -> Decimal:
        """A share from 0 to 1, as a number or a text such as "30 %"."""
        return self._read(key, default, cells.share)

    def _read(self, key: str, default: Decimal | None, read: Callable[[str], Decimal]) -> Decimal:
        value = self.values.get(key, default)
        if isinstance(value, bool) or not isinstance(value, (int, str, Decimal)):
            self.fault(key, say("{shown} is no number", shown=_shown(value)), say("a number, such as 0.30"))
            return Decimal(0)
        try:
            plain = isinstance(value, Decimal) and value.is_finite() and abs(value.adjusted()) < 20
            text = f"{value:f}" if plain else str(value).strip()
            return read(text)
        except CellFault as fault:
            self.fault(key, fault.message, fault.allowed)
            return Decimal(0)

    def length(self, key: str, default_mm: float) -> float:
        """A length with a unit or in the book's unit, mm."""
        if key not in self.values:
            return default_mm
        try:
            return cells.quantity(str(self.values[key]), "length", self.reading.units, zero=True)
        except CellFault as fault:
            self.fault(key, fault.message, fault.allowed)
            return default_mm

    def date(self, key: str) -> datetime.date:
        """A day, written as TOML writes it: 2026-09-01."""
        value = self.values.get(key)
        if isinstance(value, datetime.datetime) or not isinstance(value, datetime.date):
            self.fault(
                key,
                say("{shown} is no date", shown=_shown(value)),
                say("a day such as 2026-09-01, without quotation marks"),
            )
            return datetime.date.min if key.endswith("from") else datetime.date.max
        return value


def _shown(value: object) -> str:
    return "nothing" if value is None else repr(str(value))
