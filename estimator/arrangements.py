"""What an arrangement is: how modules are held over the brackets, one record of properties for each.

Whoever has to know what an arrangement does (has it rails? where do clamps hold? what adds to the height?) asks here. A
new arrangement is a record here, its words in the catalogues, and a height column in the brackets' table of a book.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from estimator.sentences import Sentence, say

Arrangement = Literal["rail_on_side", "rail_on_top", "direct"]
RailDirection = Literal["across_ribs", "along_ribs"]
DIRECTIONS: tuple[RailDirection, ...] = ("across_ribs", "along_ribs")


@dataclass(frozen=True, slots=True)
class ArrangementProperties:
    """How one arrangement holds modules.

    Args:
        code: what jobs, tables and answers call it.
        coded: the code as a sentence says it.
        spoken: what sentences, drawings and tables call it.
        named: what quotes and forms call it, in full.
        has_rail: whether rails lie between brackets and modules.
        rail_adds_height: whether the rail stands on the bracket, so that its height adds to the clearance.
        directions: the ways its rails may run; none without rail.
        clamps_on: what the clamps hold on to.
        load_beside: whether the load acts beside the bracket, not in its axis.
        older_word: what it was called in version 0.1, where it was called otherwise.

    """

    code: Arrangement
    coded: Sentence
    spoken: Sentence
    named: Sentence
    has_rail: bool
    rail_adds_height: bool
    directions: tuple[RailDirection, ...]
    clamps_on: Literal["rail", "bracket"]
    load_beside: bool
    older_word: str = ""

    @property
    def height_column(self) -> str:
        """The column of the brackets' table that holds the bracket's height in it."""
        return f"height_{self.code}"


_ALL = (
    ArrangementProperties(
        code="rail_on_side",
        coded=say("rail_on_side"),
        spoken=say("rail on the side"),
        named=say("rail on the side of the bracket"),
        has_rail=True,
        rail_adds_height=False,
        directions=DIRECTIONS,
        clamps_on="rail",
        load_beside=True,
        older_word="side_rail",
    ),
    ArrangementProperties(
        code="rail_on_top",
        coded=say("rail_on_top"),
        spoken=say("rail on top"),
        named=say("rail on top of the bracket"),
        has_rail=True,
        rail_adds_height=True,
        directions=DIRECTIONS,
        clamps_on="rail",
        load_beside=False,
        older_word="bottom_rail",
    ),
    ArrangementProperties(
        code="direct",
        coded=say("direct"),
        spoken=say("without rail"),
        named=say("without rail, the module clamped on the bracket"),
        has_rail=False,
        rail_adds_height=False,
        directions=(),
        clamps_on="bracket",
        load_beside=False,
    ),
)
PROPERTIES: Mapping[Arrangement, ArrangementProperties] = {each.code: each for each in _ALL}
ARRANGEMENTS: tuple[Arrangement, ...] = tuple(PROPERTIES)
WITH_RAIL: tuple[Arrangement, ...] = tuple(each.code for each in _ALL if each.has_rail)
OLDER_WORDS: Mapping[str, Arrangement] = {each.older_word: each.code for each in _ALL if each.older_word}
"""Arrangements by their words of version 0.1, and by those of today."""
