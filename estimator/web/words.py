"""The words of the pages: catalogues of their own in ``locale/``, over those of the documents."""

from __future__ import annotations

from functools import lru_cache

from babel.support import NullTranslations

from estimator.documents.language.texts import Texts, catalogue_over

PACKAGE = "estimator.web"


class PageWords(Texts):
    """The documents' words, and those of the pages before them; the English text is the key of both."""

    def t(self, message: str, **values: object) -> str:
        """The message in the reader's language, its named places filled in."""
        text = str(_own(self.locale).gettext(message)) if message else ""
        if text == message:
            return super().t(message, **values)
        return text.format(**values) if values else text

    def tn(self, one: str, many: str, count: int, **values: object) -> str:
        """The form of a message for a count."""
        text = str(_own(self.locale).ngettext(one, many, count))
        if text in {one, many}:
            return super().tn(one, many, count, **values)
        return text.format(**({"count": count} | values))


@lru_cache(maxsize=64)
def _own(locale: str) -> NullTranslations:
    return catalogue_over(NullTranslations(), PACKAGE, locale)
