"""One field of a form: how a value of a document is shown to somebody, and what is read from what they typed.

What was shown and comes back as it was stays the value it was: showing 1722 mm in inches never changes it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any, Literal, TypeAlias

from estimator.units import Dimension, UnitFault, parse

Document: TypeAlias = Any
Kind = Literal[
    "text",
    "long",
    "lines",
    "quantity",
    "sheet",
    "whole",
    "real",
    "choice",
    "number_choice",
    "yes_no",
    "date",
    "cells",
    "list",
    "named",
    "percent",
    "amount",
]
_COMMA = re.compile(r"([+-]?\d+),(\d{1,2}|\d{4,})(\D*)\Z")
_BARE = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)\Z")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}\Z")
_CELL = re.compile(r"(\d{1,5})\s*[/.:]\s*(\d{1,5})")


@dataclass(frozen=True, slots=True)
class FormEntry:
    """A field: its place below the thing it belongs to, its label, and what kind of value it holds.

    ``units``: what a number without a unit is taken in, by metric and by US readers; ``choices``: value and label.
    """

    path: str
    label: str
    kind: Kind = "text"
    dimension: Dimension | None = None
    units: tuple[str, str] = ("", "")
    choices: tuple[tuple[str, str], ...] = ()
    wide: bool = False

    def unit(self, us: bool) -> str:
        """The unit beside the field."""
        return self.units[1 if us else 0]

    def shown(self, value: Document, us: bool) -> str:
        """The value as the field shows it; nothing for a value that is not there."""
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, list) or (isinstance(value, dict) and self.kind == "named"):
            return self._several(value, us)
        if self.kind == "percent":
            return _percent(value)
        if isinstance(value, (int, float)) and self.kind in {"quantity", "sheet"}:
            return self._number(value, us)
        return f"{value:g}" if isinstance(value, float) else str(value)

    def read(self, typed: str, before: Document, us: bool) -> Document:
        """The value that was typed; None where the field is empty; what cannot be read stays the text it is."""
        if self.same(typed, before, us):
            return before
        text = _plain(typed)
        if not text:
            return None
        return _READERS.get(self.kind, _as_text)(self, text, us)

    def same(self, typed: str, before: Document, us: bool) -> bool:
        """Whether the field came back as it was shown; browsers write line ends their own way."""
        return _plain(typed) == _plain(self.shown(before, us))

    def is_day(self, shown: str) -> bool:
        """Whether a browser's field for a day can hold what is shown; it would show anything else as nothing."""
        return self.kind == "date" and (not shown or _DAY.match(shown) is not None)

    def _number(self, value: float, us: bool) -> str:
        unit = self.unit(us)
        if not unit or self.dimension is None:
            return f"{value:.10g}"
        try:
            return f"{parse(value, self.dimension, into=unit):.7g}"
        except UnitFault:
            return f"{value:.10g}"

    def _several(self, values: Document, us: bool) -> str:
        if isinstance(values, dict):
            return "\n".join(f"{name} = {self.shown(each, us)}" for name, each in values.items())
        return self._listed(values, us)

    def _listed(self, values: Sequence[Document], us: bool) -> str:
        if self.kind == "cells":
            return " ".join(
                f"{each[0]}/{each[1]}" if isinstance(each, list) and len(each) == 2 else "?" for each in values
            )
        shown = [self._number(each, us) if isinstance(each, (int, float)) else str(each) for each in values]
        return ("\n" if self.kind == "lines" else "; ").join(shown)


def _plain(typed: str) -> str:
    return typed.replace("\r\n", "\n").replace("\r", "\n").strip()


def _percent(share: Document) -> str:
    """A share as a percentage; what is no share as it is."""
    try:
        return f"{(Decimal(str(share)) * 100).normalize():f}"
    except InvalidOperation:
        return str(share)


def _as_share(_entry: FormEntry, text: str, _us: bool) -> Document:
    """A percentage as a share, exact; what is no number is left for the contract to refuse."""
    text = _COMMA.sub(r"\1.\2\3", text.rstrip("% \u00a0"))
    return f"{(Decimal(text) / 100).normalize():f}" if _BARE.match(text) and len(text) < 16 else text


def _as_amount(_entry: FormEntry, text: str, _us: bool) -> Document:
    """An amount; 1,234 may mean two things and is left for the contract to refuse.

    >>> [_as_amount(FormEntry("", ""), typed, False) for typed in ("4,1", "4.125", "1,234", "0,1875")]
    ['4.1', '4.125', '1,234', '0.1875']
    """
    return _COMMA.sub(r"\1.\2\3", text)


def _as_text(_entry: FormEntry, text: str, _us: bool) -> Document:
    return text


def _as_quantity(entry: FormEntry, text: str, us: bool) -> Document:
    """A number without a unit is in the unit beside the field; the inside unit needs none."""
    text = _COMMA.sub(r"\1.\2\3", text)
    if not _BARE.match(text):
        return text
    unit = entry.unit(us)
    inside = entry.units[0] if not unit or unit in {"mm", "kg", "Pa", "m/s", "deg", "W", "MPa", "K", ""} else ""
    number = float(text)
    plain = int(number) if number.is_integer() and abs(number) < 1e15 else number
    return plain if not unit or (unit == inside) or unit in {"deg", "W", "K"} else f"{text} {unit}"


def _as_whole(_entry: FormEntry, text: str, _us: bool) -> Document:
    return int(text) if text.isascii() and text.lstrip("-").isdigit() and len(text) < 16 else text


def _as_real(_entry: FormEntry, text: str, _us: bool) -> Document:
    text = _COMMA.sub(r"\1.\2\3", text)
    return float(text) if _BARE.match(text) else text


def _as_yes_or_no(_entry: FormEntry, text: str, _us: bool) -> Document:
    return {"yes": True, "no": False}.get(text, text)


def _as_lines(_entry: FormEntry, text: str, _us: bool) -> Document:
    return [line.strip() for line in text.split("\n") if line.strip()]


def _as_cells(_entry: FormEntry, text: str, _us: bool) -> Document:
    """Pairs row/column; anything else beside them is left for the contract to refuse."""
    rest = _CELL.sub(" ", text).replace(",", " ").replace(";", " ").strip()
    pairs = [[int(row), int(column)] for row, column in _CELL.findall(text)]
    return [*pairs, rest] if rest else pairs


def _as_list(entry: FormEntry, text: str, us: bool) -> Document:
    return [_as_quantity(entry, each.strip(), us) for each in text.split(";") if each.strip()]


def _as_named(_entry: FormEntry, text: str, _us: bool) -> Document:
    """A number for each name, one on a line with = between; what is no number is left for the contract to refuse."""
    named = {}
    for line in _as_lines(_entry, text, _us):
        name, _, value = line.partition("=")
        named[name.strip()] = _as_real(_entry, value.strip(), _us)
    return named


_READERS = {
    "quantity": _as_quantity, "sheet": _as_quantity, "whole": _as_whole, "real": _as_real, "yes_no": _as_yes_or_no,
    "lines": _as_lines, "cells": _as_cells, "list": _as_list, "percent": _as_share,
    "named": _as_named, "number_choice": _as_whole, "amount": _as_amount,
}  # fmt: skip


def find(document: Document, path: str) -> Document:
    """What stands at a path ("roofs/0/ribs/spacing"); None where nothing does."""
    for step in path.split("/"):
        if isinstance(document, dict):
            document = document.get(step)
        elif isinstance(document, list) and step.isdigit() and int(step) < len(document):
            document = document[int(step)]
        else:
            return None
    return document


def put(document: Document, path: str, value: Document) -> None:
    """Set what stands at a path, or take it away; lists are never lengthened, objects on the way are made."""
    *way, last = path.split("/")
    for step, after in zip(way, [*way[1:], last], strict=False):
        if isinstance(document, list):
            if not (step.isdigit() and int(step) < len(document)):
                return
            document = document[int(step)]
        elif isinstance(document, dict):
            if not isinstance(document.get(step), (dict, list)):
                if value is None or after.isdigit():
                    return
                document[step] = {}
            document = document[step]
        else:
            return
    if isinstance(document, dict):
        if value is None:
            document.pop(last, None)
        else:
            document[last] = value
    elif isinstance(document, list) and last.isdigit() and int(last) < len(document) and value is not None:
        document[int(last)] = value
