"""How a bracket is used, beside how it was used in a test: which tests serve.

A test serves where it was made, and where it is the safer one. A load beside the bracket bends it, one in its axis does
not: tests with the rail on the side serve rails on top and modules without rail, too, not the other way round. A force
along the slope tilts the bracket most where the rail crosses the ribs and gives it no hold: tests across the ribs serve
rails along them, too. A load beside the bracket lies up or down the slope of it with rails across the ribs, to the left
or right with rails along them: neither serves the other. Heights are compared apart: a higher load along the slope
takes more of the bracket. Source: mechanics; which use is the safer one is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.arrangements import PROPERTIES, Arrangement, RailDirection
from estimator.attachment.capacity.strength import Direction
from estimator.pricebook import StrengthTest
from estimator.sentences import Sentence, figure, joined, say


@dataclass(frozen=True, slots=True)
class Use:
    """How a bracket is used: its arrangement, the rail's direction (None without), the load's height above the rib."""

    arrangement: Arrangement
    rail_direction: RailDirection | None
    height_mm: float

    @property
    def beside(self) -> bool:
        """Whether the load acts beside the bracket."""
        return PROPERTIES[self.arrangement].load_beside

    @property
    def words(self) -> Sentence:
        """The use as a sentence says it."""
        return use_words(self.arrangement, self.rail_direction, self.height_mm)


def made_in(test: StrengthTest, use: Use) -> bool:
    """Whether a test was made in just this use, its height aside; what the book does not say counts as alike."""
    alike = test.arrangement in (None, use.arrangement)
    return alike and (use.rail_direction is None or test.rail_direction in (None, use.rail_direction))


def serves_use(test: StrengthTest, use: Use, direction: Direction) -> bool:
    """Whether a test was made in this use or in a harder one.

    >>> side = StrengthTest("B", "steel", 0.5, 360.0, "uplift", 4000.0, arrangement="rail_on_side")
    >>> serves_use(side, Use("direct", None, 66.0), "uplift")
    True
    >>> top = StrengthTest("B", "steel", 0.5, 360.0, "uplift", 4000.0, arrangement="rail_on_top")
    >>> serves_use(top, Use("rail_on_side", "across_ribs", 48.0), "uplift")
    False
    """
    if made_in(test, use):
        return True
    beside = test.arrangement is None or PROPERTIES[test.arrangement].load_beside
    if use.beside and not beside:
        return False
    if use.rail_direction is None or test.rail_direction in (None, use.rail_direction):
        return True
    if direction in ("along_slope", "across_slope"):
        return test.rail_direction == "across_ribs"
    return not use.beside


def unsaid(test: StrengthTest) -> tuple[Sentence, ...]:
    """What the book does not say of how a bracket was used in a test."""
    missing = []
    if test.arrangement is None:
        missing.append(say("arrangement"))
    if test.rail_direction is None and (test.arrangement is None or PROPERTIES[test.arrangement].has_rail):
        missing.append(say("direction of the rail"))
    if test.load_height_mm is None and test.direction == "along_slope":
        missing.append(say("height of the load"))
    return tuple(missing)


def use_words(
    arrangement: Arrangement | None, rail_direction: RailDirection | None, height_mm: float | None
) -> Sentence:
    """A use in words, as far as it is known."""
    ways = {"across_ribs": say("across the ribs"), "along_ribs": say("along the ribs")}
    known = [PROPERTIES[arrangement].spoken] if arrangement else []
    known += [ways[rail_direction]] if rail_direction else []
    if height_mm is not None:
        known.append(say("load {height} above the rib", height=figure(height_mm, ".0f", " mm", "length")))
    return joined(", ", known)
