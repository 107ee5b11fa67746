"""The words of the documents in the reader's language: gettext catalogues, compiled as they are read.

The English text is the key. Adding a language is adding a catalogue under ``locale/`` and its name in
``formats.LANGUAGES``; a regional catalogue (``en_US``) wins over its language's.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib import resources

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.support import NullTranslations, Translations

from estimator.documents.language.formats import Formats, Units, language_of, locale_for
from estimator.documents.language.rewritten import REWRITTEN
from estimator.documents.language.telling import tell
from estimator.loads.actions.citing import zone_words
from estimator.loads.actions.clauses import Formula, as_formula
from estimator.sentences import Figure, Sentence, Value

BookTexts = Mapping[str, Mapping[str, str]]
"""A pricebook's texts by language, then by the text as the book has it."""


@dataclass(frozen=True, slots=True)
class Texts:
    """The catalogue of one locale: ``t`` gives a sentence, ``tn`` the form for a count."""

    locale: str

    def t(self, message: str, **values: object) -> str:
        """The message in the reader's language, its named places filled in."""
        text = str(_catalogue(self.locale).gettext(message)) if message else ""
        return text.format(**values) if values else text

    def tn(self, one: str, many: str, count: int, **values: object) -> str:
        """The form of a message for a count; ``count`` fills its place too unless given in ``values``."""
        text = str(_catalogue(self.locale).ngettext(one, many, count))
        return text.format(**({"count": count} | values))


def mark(message: str) -> str:
    """Mark a constant for the catalogues; it is looked up where it is shown."""
    return message


@lru_cache(maxsize=64)
def _catalogue(locale: str) -> NullTranslations:
    """The regional catalogue over that of the language, over English as it stands in the code."""
    return catalogue_over(NullTranslations(), "estimator.documents.language", locale)


def catalogue_over(found: NullTranslations, package: str, locale: str) -> NullTranslations:
    """The catalogues in the folder ``locale`` of a package, the regional one first, over those found so far."""
    for name in (locale.split("_", maxsplit=1)[0], locale):
        file = resources.files(package).joinpath("locale", f"{name}.po")
        if file.is_file():
            with file.open("rb") as source:
                catalogue = read_po(source, locale=name)
            binary = io.BytesIO()
            write_mo(binary, catalogue)
            binary.seek(0)
            over = Translations(binary)
            over.add_fallback(found)
            found = over
    return found


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads the document: words and numbers together."""

    texts: Texts
    formats: Formats
    of_book: Mapping[str, str] = field(default_factory=dict, compare=False)

    def say(self, text: Value) -> str:
        """A text of the core or the book in the reader's language.

        Names, texts the book has in one language only, and the English of offers kept long ago stay as they are.
        """
        return tell(text, self._look, self.formats, self.of_book)

    def _look(self, template: str) -> str:
        return self.texts.t(REWRITTEN.get(template, template))

    def formula(self, formula: Formula) -> str:
        """A formula or a case of load, its decimals as the reader writes them."""
        if isinstance(formula, str) and not isinstance(formula, Sentence | Figure):
            return self.say(as_formula(formula))
        return self.say(formula)

    def zone(self, name: str) -> str:
        """The name of a load zone."""
        return self.say(zone_words(name))


def reader_for(language: str, country: str, units: Units, texts: BookTexts | None = None) -> Reader:
    """Words and numbers for a language, the reader's country and the units of the job; ``texts``: the book's own."""
    locale = locale_for(language, country)
    return Reader(Texts(locale), Formats(locale, units), (texts or {}).get(language_of(language), {}))
