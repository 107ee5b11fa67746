"""Sentences that keep their template and values, so that a document can say them in its reader's language.

A ``Sentence`` is its finished English text: JSON, comparisons and logs see a plain text. Beside it stand the template,
which is the key of the documents' catalogues, and its values: names as plain texts, numbers with what they measure
(``Figure``), words and clauses as further sentences.
"""

from __future__ import annotations

import string
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Literal, Protocol, TypeAlias

LANGUAGES = {"en": "English", "de": "Deutsch", "es": "Español", "fr": "Français"}
"""Languages that documents and pages are written in, by their code of ISO 639-1, with what each calls itself."""
Measures = Literal[
    "length",
    "mass",
    "force",
    "pressure",
    "strength",
    "speed",
    "angle",
    "temperature",
    "number",
    "share",
    "money",
    "date",
    "formula",
]
"""What a figure measures; quantities are kept in the inside unit, shares as parts of one; a formula has no value."""


class Worded(Protocol):
    """A fact with words of its own, such as a place: a sentence holds the fact, the reader makes the words."""

    @property
    def words(self) -> Sentence:
        """The fact in words."""


class Figure(str):
    """A number as English writes it, with its value in the inside unit, so that other languages write it their way."""

    __slots__ = ("measures", "value")
    value: float | Decimal | date
    measures: Measures

    def __new__(cls, text: str, value: float | Decimal | date, measures: Measures = "number") -> Figure:
        """The figure ``text``; ``value`` in the inside unit of what it measures."""
        made = super().__new__(cls, text)
        made.value, made.measures = value, measures
        return made

    def __getnewargs__(self) -> tuple[str, float | Decimal | date, Measures]:  # type: ignore[override]
        """What copying and pickling make it of."""
        return str(self), self.value, self.measures


Value: TypeAlias = "str | int | Worded"
"""What fills a place of a template."""


class Sentence(str):
    """A finished English text with its template and the values that fill its places."""

    __slots__ = ("template", "values")
    template: str
    values: tuple[tuple[str, Value], ...]

    def __new__(cls, template: str, values: Iterable[tuple[str, Value]] = ()) -> Sentence:
        """The template with its places filled; without values it stands as it is, braces and all."""
        kept = tuple(values)
        made = super().__new__(cls, template.format(**dict(kept)) if kept else template)
        made.template, made.values = template, kept
        return made

    def __getnewargs__(self) -> tuple[str, tuple[tuple[str, Value], ...]]:  # type: ignore[override]
        """What copying and pickling make it of."""
        return self.template, self.values


def say(template: str, /, **values: Value) -> Sentence:
    """A sentence of the core; the template is a literal, so that it can be collected for the catalogues.

    >>> say("{count} screws, {force} each", count=4, force=Figure("12.5 N", 12.5, "force"))
    '4 screws, 12.5 N each'
    """
    return Sentence(template, values.items())


def figure(value: float | Decimal, spec: str = "", unit: str = "", measures: Measures = "number") -> Figure:
    """A number by a format specification, with its unit behind it.

    >>> figure(0.4555, ".2f", " mm", "length"), figure(0.25, ".1%", measures="share")
    ('0.46 mm', '25.0%')
    """
    return Figure(f"{value:{spec}}{unit}", value, measures)


def amount(value: Decimal, currency: str) -> Figure:
    """An amount of money with the code of its currency."""
    return Figure(f"{value} {currency}", value, "money")


def day(date_: date) -> Figure:
    """A date, in English as ISO 8601 writes it."""
    return Figure(date_.isoformat(), date_, "date")


def percent(share: Decimal) -> Figure:
    """A share in per cent with the decimals it has.

    >>> percent(Decimal("0.025"))
    '2.500 %'
    """
    return Figure(f"{share * 100:f} %", share, "share")


def joined(separator: str, items: Iterable[str | Worded]) -> Sentence:
    """Several texts in one, signs between them; no catalogue is asked for those.

    >>> joined("; ", [say("no spares"), "R-40"])
    'no spares; R-40'
    """
    named = {f"part{number}": item for number, item in enumerate(items)}
    return Sentence(separator.join(f"{{{name}}}" for name in named), named.items())


def noted(what: str, note: str) -> Sentence:
    """A text with another in brackets behind it."""
    return Sentence("{what} ({note})", (("what", what), ("note", note)))


def placed(where: str | Worded, what: str) -> Sentence:
    """A sentence behind its place; without a place the sentence alone."""
    return joined(": ", (where, what) if where else (what,))


def names(sentence: str, fact: Worded) -> bool:
    """Whether a sentence, or one inside it, holds a fact."""
    held = [value for _, value in sentence.values] if isinstance(sentence, Sentence) else []
    return any(value == fact or (isinstance(value, Sentence) and names(value, fact)) for value in held)


def has_words(template: str) -> bool:
    """Whether a template has anything to translate: a letter outside its places.

    >>> has_words("{where}: {what}"), has_words("{count} of them")
    (False, True)
    """
    return any(ch.isalpha() for text, *_ in string.Formatter().parse(template) for ch in text)
