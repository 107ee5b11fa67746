"""A strength of an attachment in one direction, with the way it was found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.loads.actions.clauses import Cited
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

    ``nominal_n`` is divided by ``factor`` where ``divided``, else multiplied; ``derivation`` tells it in words. Along
    the slope ``tested_height_mm`` is how high above the rib the load was in the test; None where that is not known.
    """

    direction: Direction
    strength_n: float
    nominal_n: float
    factor: float
    divided: bool
    basis: Literal["tests", "screws"]
    derivation: Sentence
    source: Cited
    tested_height_mm: float | None = None

    @property
    def moment_n_mm(self) -> float | None:
        """The moment on the bracket that was carried along with the force, N mm: the force times its tested height."""
        return None if self.tested_height_mm is None else self.strength_n * self.tested_height_mm

    def at_height_n(self, height_mm: float) -> float:
        """The strength for a force at some height above the rib: less by its lever where that is longer than tested.

        >>> tested = Strength("along_slope", 1200.0, 3000.0, 2.5, True, "tests", say(""), "", 48.0)
        >>> tested.at_height_n(40.0), tested.at_height_n(96.0)
        (1200.0, 600.0)
        """
        if self.tested_height_mm is None or height_mm <= self.tested_height_mm:
            return self.strength_n
        return self.strength_n * self.tested_height_mm / height_mm
