"""The fonts every page carries, from the package itself, and the characters they lack.

DejaVu Sans: Latin, Greek, Cyrillic, Armenian, Georgian, currency and measuring signs. A character it lacks is
never drawn as an empty box: it is replaced by a sign and reported.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from importlib import resources

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR = "EstimatorSans"
BOLD = "EstimatorSans-Bold"
MISSING_SIGN = "¿"
_FILES = {REGULAR: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}
# Written as nothing: joiners, direction marks, soft hyphens, variation selectors.
_UNSEEN_CATEGORIES = {"Cf", "Mn"}
# Scripts the fonts hold letters of, but whose lines would need joining and reordering that no writer here does.
_NEEDS_SHAPING = (("֐", "ࣿ"), ("ﬠ", "\ufdff"), ("ﹰ", "\ufeff"))


@lru_cache(maxsize=1)
def _load() -> frozenset[int]:
    """Register both faces once; give the code points that both can draw."""
    known: list[set[int]] = []
    for name, file in _FILES.items():
        path = resources.files("estimator.documents").joinpath("fonts", file)
        with resources.as_file(path) as local:
            font = TTFont(name, str(local))
        pdfmetrics.registerFont(font)
        known.append(set(font.face.charToGlyph))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return frozenset(known[0] & known[1])


def ensure_fonts() -> None:
    """Make the faces known to the PDF library; calling it again costs nothing."""
    _load()


class _Widths(dict[str, float]):
    """The width of each letter of a face, in thousandths of its size, looked up in the face once."""

    def __init__(self, name: str) -> None:
        super().__init__()
        face = pdfmetrics.getFont(name).face
        self._of: dict[int, float] = face.charWidths
        self._other: float = face.defaultWidth

    def __missing__(self, letter: str) -> float:
        width = self[letter] = self._of.get(ord(letter), self._other)
        return width


@lru_cache(maxsize=8)
def _widths(name: str) -> _Widths:
    ensure_fonts()
    return _Widths(name)


def text_width(text: str, font: str, size: float) -> float:
    """The width of a line of text in points.

    >>> round(text_width("25 pcs", REGULAR, 10.0), 2)
    32.96
    """
    return 0.001 * size * sum(map(_widths(font).__getitem__, text))


def missing_glyphs(text: str) -> tuple[str, ...]:
    """The characters of a text that the fonts cannot draw right, each once, in their order.

    >>> missing_glyphs("Łódź, Žďár, Αθήνα, ½ in ₹")
    ()
    >>> missing_glyphs("東京 Solar")
    ('東', '京')
    """
    if text.isascii() and text.isprintable():
        return ()
    return tuple(dict.fromkeys(ch for ch in text if _cannot_draw(ch)))


def _cannot_draw(ch: str) -> bool:
    if ch in "\n\t" or (ch.isascii() and ch.isprintable()):
        return False
    if any(first <= ch <= last for first, last in _NEEDS_SHAPING):
        return True
    if unicodedata.category(ch) in {"Cc", "Cs"}:
        return True
    return ord(ch) not in _load() and unicodedata.category(ch) not in _UNSEEN_CATEGORIES


def drawable(text: str) -> str:
    """The text as the fonts can draw it: composed letters, no control characters, a sign for each missing one.

    >>> drawable("Zoe\u0308 東")
    'Zoë ¿'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_drawn(ch) for ch in unicodedata.normalize("NFC", text))


def _drawn(ch: str) -> str:
    if ch in "\n\t" or (ch.isascii() and ch.isprintable()):
        return ch
    category = unicodedata.category(ch)
    if category in {"Cc", "Cs"}:
        return MISSING_SIGN
    if category in _UNSEEN_CATEGORIES and ord(ch) not in _load():
        return ""
    return MISSING_SIGN if _cannot_draw(ch) else ch
