"""The known word that a misspelt one was probably meant to be."""

from __future__ import annotations

from collections.abc import Collection
from difflib import get_close_matches

from estimator.sentences import Sentence, joined, say

ALIKE, VERY_ALIKE = 0.75, 0.85
"""How alike two words must be, from 0 to 1: one letter in four or in seven may be wrong; common practice, no source."""


def nearest(word: str, known: Collection[str], least: float = ALIKE) -> str:
    """The most alike of the known words; nothing where none is alike.

    >>> nearest("braket", ["rail", "bracket"]), nearest("moon", ["rail", "bracket"])
    ('bracket', '')
    """
    return next(iter(get_close_matches(word, sorted(known), 1, least)), "")


def with_nearest(said: Sentence, word: str, known: Collection[str]) -> Sentence:
    """A message with the nearest known word behind it; as it is where none is alike.

    >>> with_nearest(Sentence("no role 'braket'"), "braket", ["rail", "bracket"])
    "no role 'braket'; nearest: 'bracket'"
    """
    found = nearest(word, known)
    return joined("; ", (said, say("nearest: {name}", name=repr(found)))) if found else said
