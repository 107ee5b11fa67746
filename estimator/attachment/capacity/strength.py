"""A strength of an attachment in one direction, with the way it was found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.sentences import Sentence, say

Direction = Literal["uplift", "downward", "along_slope", "across_slope"]
LOADED: tuple[Direction, ...] = ("uplift", "downward", "along_slope")
"""Nothing here loads an attachment across the slope."""
SPOKEN: dict[Direction, Sentence] = {
    "uplift": say("uplift"),
    "downward": say("downward load"),
    "along_slope": say("load along the slope"),
    "across_slope": say("load across the slope"),
}


@dataclass(frozen=True, slots=True)
class Strength:
    """Allowable or design strength, N, of one bracket in one direction.

    ``nominal_n`` is divided by ``factor`` where ``divided``, else multiplied; ``derivation`` tells it in words.
    """

    direction: Direction
    strength_n: float
    nominal_n: float
    factor: float
    divided: bool
    basis: Literal["tests", "screws"]
    derivation: Sentence
    source: str
