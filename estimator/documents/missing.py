"""Which characters of a document's texts the fonts cannot draw, gathered from its records and said in a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

from estimator.documents.fonts import MISSING_SIGN, missing_glyphs
from estimator.documents.texts import Reader

MOST_NAMED = 12


def texts_in(record: object) -> Iterator[str]:
    """Every text of a record, its fields and their members, depth first; numbers are skipped at once."""
    if isinstance(record, str):
        yield record
    elif is_dataclass(record):
        for field in fields(record):
            yield from texts_in(getattr(record, field.name))
    elif isinstance(record, Mapping):
        for value in record.values():
            yield from texts_in(value)
    elif isinstance(record, (tuple, list, frozenset)) and not (record and isinstance(next(iter(record)), (int, float))):
        for member in record:
            if not isinstance(member, (int, float)):
                yield from texts_in(member)


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
