"""How dead load, snow and wind act together: factors on each, as every standard writes them in its own way.

On a panel there is no live load. Wind acts normal to the roof; dead load and snow also push down the slope.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.loads.actions.clauses import Cited, Formula
from estimator.loads.actions.steps import Mark

WindSide = Literal["none", "up", "down"]
Method = Literal["asd", "lrfd", "en"]


@dataclass(frozen=True, slots=True)
class Combination:
    """Factors on dead load D, snow S and wind W (uplift or downward)."""

    case: Formula
    D: float
    S: float
    W: float
    wind: WindSide
    clause: Cited
    mark: Mark = "found"

    @property
    def name(self) -> str:
        """The case in English."""
        return str(self.case)
