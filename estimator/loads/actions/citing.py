"""Words that the sheets of a calculation share: roofs, sources of numbers, clauses of standards, load cases."""

from __future__ import annotations

import re
from functools import cache

from estimator.places import EVERYWHERE as EVERYWHERE
from estimator.places import INNER as INNER
from estimator.places import RIDGE_SNOW as RIDGE_SNOW
from estimator.places import zone_words as zone_words
from estimator.sentences import Figure, Sentence, joined, say

JOB = say("job")
PRICEBOOK = say("pricebook")
MECHANICS = say("mechanics")
_CLAUSES = {
    "Table": say("Table"),
    "Figure": say("Figure"),
    "Figures": say("Figures"),
    "Eq.": say("Eq."),
    "chapter": say("chapter"),
    "and": say("and"),
    "zone": say("zone"),
}
_ANGLE = re.compile(r"(\d+(?:\.\d+)?) deg\b")
_GLUE = "\0"


def cite(clause: str) -> Sentence:
    """A clause of a standard, its words ready for other languages.

    >>> cite("ASCE 7-22 Table 26.10-1")
    'ASCE 7-22 Table 26.10-1'
    """
    return clause if isinstance(clause, Sentence) else _clause(clause)


def load_case(name: str) -> Sentence:
    """A combination of loads, or a formula, as the standard writes it, with the way the wind blows.

    >>> load_case("0.6D + 0.6W up")
    '0.6D + 0.6W up'
    """
    return name if isinstance(name, Sentence) else _case(name)


@cache
def _clause(clause: str) -> Sentence:
    angles = _ANGLE.sub(lambda found: f"{found[1]}{_GLUE}deg", clause)
    return joined(" ", (_angle(each) or _CLAUSES.get(each) or each for each in angles.split(" ")))


def _angle(word: str) -> Figure | None:
    """An angle within a clause: "7.5 deg" as one figure."""
    number, glue, _ = word.partition(_GLUE)
    return Figure(f"{number} deg", float(number), "angle") if glue else None


@cache
def _case(name: str) -> Sentence:
    said: list[str] = []
    for each in name.split(" "):
        if each in ("up", "down", "exceptional") and said:
            said[-1] = _with_way(said[-1], each)
        else:
            said.append(Figure(each, 0.0, "formula"))
    return joined(" ", said)


def _with_way(load: str, way: str) -> Sentence:
    if way == "exceptional":
        return say("{load} exceptional", load=load)
    return say("{load} up" if way == "up" else "{load} down", load=load)
