"""The strength of an attachment in words: which way, found how, from what."""

from __future__ import annotations

from estimator.attachment.capacity.strength import SPOKEN as SPOKEN
from estimator.attachment.capacity.strength import Strength
from estimator.documents.language.texts import Reader
from estimator.sentences import Sentence, say

BASIS_WORDS: dict[str, Sentence] = {"tests": say("tests"), "screws": say("screws")}


def derivation_words(strength: Strength, reader: Reader) -> str:
    """How a strength was found, and its source where it has one."""
    text = reader.say(strength.derivation)
    return f"{text} ({reader.say(strength.source)})" if strength.source else text
