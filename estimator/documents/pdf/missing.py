"""Which characters of a document's texts the fonts cannot draw, gathered from its records and said in a sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING

from estimator.documents.fonts.faces import MISSING_SIGN, missing_glyphs
from estimator.documents.language.texts import Reader

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

MOST_NAMED = 12


_NOT_TEXT = (int, float, Decimal, type(None))


@lru_cache(maxsize=256)
def _names(kind: type[DataclassInstance]) -> tuple[str, ...]:
    """The names of a record's fields, found once for each kind of record."""
    return tuple(field.name for field in fields(kind))


def texts_in(record: object) -> Iterator[str]:
    """Every text of a record, its fields and their members, depth first; numbers are skipped at once."""
    if isinstance(record, str):
        yield record
        return
    for member in _members(record):
        if isinstance(member, str):
            yield member
        elif not isinstance(member, _NOT_TEXT):
            yield from texts_in(member)


def _members(record: object) -> Iterable[object]:
    if is_dataclass(record) and not isinstance(record, type):
        return [getattr(record, name) for name in _names(type(record))]
    if isinstance(record, Mapping):
        return record.values()
    if isinstance(record, (tuple, list, frozenset)) and not (record and isinstance(next(iter(record)), (int, float))):
        return record
    return ()


def missing_in(record: object) -> tuple[str, ...]:
    """The characters no font has, each once, in the order they are met."""
    found: dict[str, None] = {}
    for text in texts_in(record):
        if not (text.isascii() and text.isprintable()):
            found.update(dict.fromkeys(missing_glyphs(text)))
    return tuple(found)


def missing_note(record: object, reader: Reader) -> str:
    """A sentence that names what could not be printed; empty where everything could."""
    missing = missing_in(record)
    if not missing:
        return ""
    named = ", ".join(f"U+{ord(ch):04X}" for ch in missing[:MOST_NAMED]) + (", …" if len(missing) > MOST_NAMED else "")
    return reader.texts.tn(
        "One character cannot be printed with the fonts at hand and stands as {sign}: {named}.",
        "{count} characters cannot be printed with the fonts at hand and stand as {sign}: {named}.",
        len(missing),
        sign=MISSING_SIGN,
        named=named,
    )
