"""The core's own sentences in the reader's language: template from the catalogue, values in the reader's formats."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal

from estimator.documents.language.formats import Formats
from estimator.documents.language.reworded import in_words_of_today
from estimator.money import Money
from estimator.sentences import Figure, Sentence, Value, has_words
from estimator.units import FACTORS, Dimension, System, shown, side_by_side

Look = Callable[[str], str]
_NUMBER = re.compile(r"-?\d+(?:\.(\d+))?(?![\d.e])")
_DECIMAL = re.compile(r"(?<![\d.])\d+\.(\d+)(?![\d.])")
_ONE = Decimal("0.01")
_SPACE = "\u00a0"
_DIMENSIONS: dict[str, Dimension] = {dimension: dimension for dimension in FACTORS if dimension != "angle"}


def tell(text: Value, look: Look, formats: Formats, of_book: Mapping[str, str]) -> str:
    """A text of the core as this reader reads it: sentences, figures and places translated, any other text as it is.

    Args:
        text: a sentence, a figure, a place, or a plain text: a name, or the English of an offer kept long ago.
        look: gives the reader's text for an English one.
        formats: how this reader writes numbers.
        of_book: the pricebook's texts in the reader's language, by the text as the book has it.

    """
    if isinstance(text, int):
        return formats.count(text)
    if not isinstance(text, str):
        text = text.words
    if isinstance(text, Sentence):
        return _told(in_words_of_today(text), look, formats, of_book)
    if isinstance(text, Figure):
        return _written(text, formats)
    return of_book.get(text) or text


def _told(sentence: Sentence, look: Look, formats: Formats, of_book: Mapping[str, str]) -> str:
    template = look(sentence.template) if has_words(sentence.template) else _signs(sentence.template, look)
    if not sentence.values:
        return template
    return template.format(**{name: tell(value, look, formats, of_book) for name, value in sentence.values})


def _signs(template: str, look: Look) -> str:
    """What stands between joined texts, as the language spaces it."""
    return template.replace("; ", look("; ")).replace(": ", look(": "))


def _written(figure: Figure, formats: Formats) -> str:
    value, measures = figure.value, figure.measures
    if isinstance(value, date):
        return formats.date(value)
    if measures == "money":
        return formats.money(Money(Decimal(value), figure.rpartition(" ")[2]))
    if measures == "formula":
        return _DECIMAL.sub(lambda found: formats.decimal(Decimal(found[0]), len(found[1])), figure)
    if measures in _DIMENSIONS:
        said = {piece.rpartition(" ")[2]: piece for piece in re.split(r" \(|\)", figure) if piece}
        return side_by_side([_quantity(figure, said, system, formats) for system in formats.systems])
    return _number(figure, formats)


def _number(text: str, formats: Formats) -> str:
    """A figure that stays in its unit, with the decimals English has."""
    match = _NUMBER.match(text)
    if match is None:
        return text
    number = formats.decimal(Decimal(match[0]), len(match[1] or ""))
    if text.endswith("%"):
        return f"{number}{formats.percent(_ONE).removeprefix(formats.decimal(1, 0))}"
    behind = text[match.end() :].strip().replace("mm2", "mm²")
    if behind == "deg":
        return f"{number}°"
    return f"{number}{_SPACE}{behind}" if behind else number


def _quantity(figure: Figure, said: dict[str, str], system: System, formats: Formats) -> str:
    """With the decimals English has; in another unit two (four for what is thin), millimetres to a tenth."""
    assert not isinstance(figure.value, date)
    quantity = shown(float(figure.value), _DIMENSIONS[figure.measures], system)
    unit = "N/mm2" if quantity.unit == "MPa" else quantity.unit
    if unit in said:
        return _number(said[unit], formats)
    decimals = len(next(iter(said.values())).partition(" ")[0].partition(".")[2])
    number = f"{quantity.number:.{1 if unit == 'mm' else 4 if decimals == 2 and unit == 'in' else 2}f}"
    number = number.rstrip("0").rstrip(".")
    return _number(f"{'0' if number == '-0' else number} {unit}", formats)
