"""The texts of a book in further languages: terms, descriptions, names and notes, each beside its translation."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from estimator.pricebook import Book
from estimator.sentences import say
from estimator.storage.books.rows.row import Row
from estimator.storage.books.rows.table import TableShape

TEXTS = TableShape("texts.csv", ("text", "language", "translation"), (), ("text", "language"))
_LANGUAGE = re.compile(r"[a-z]{2}\Z")


def texts_of(rows: Sequence[Row], book: Book) -> dict[str, dict[str, str]]:
    """Translation by language and text; a text that the book does not have is a fault, so that none goes stale.

    Where the book's other files hold faults, what seems missing may be the row at fault, and is not told.
    """
    known, found = frozenset(_texts(book)), dict[str, dict[str, str]]()
    sound = not any(row.reading.faults for row in rows[:1])
    for row in rows:
        text, language, translation = (row.needed(column) for column in TEXTS.required)
        if sound and text and text not in known:
            row.fault(
                "text",
                say("no text of this book reads {text}", text=repr(text)),
                say("a term, description, name or note as it stands"),
            )
        if language and not _LANGUAGE.match(language):
            row.fault(
                "language",
                say("{language} is no language", language=repr(language)),
                say("two small letters of ISO 639-1"),
            )
        found.setdefault(language, {})[text] = translation
    return found


def _texts(book: Book) -> Iterator[str]:
    """Every text of a book that its documents show."""
    yield from (*book.terms, book.tax.name, *(rule.note for rule in book.tax.rules), *book.quote_terms.texts)
    for part in book.parts.values():
        yield from (part.description, part.note, part.role.replace("_", " "))
    for bracket in book.brackets.values():
        yield bracket.name
        yield from (test.source for test in bracket.tests)
    yield from (rail.name for rail in book.rails.values())
    yield from (rule.note for rule in book.rules)
    yield from (activity.description for activity in book.labour)
