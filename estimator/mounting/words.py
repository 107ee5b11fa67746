"""Words that several messages about the mounting share."""

from __future__ import annotations

from estimator.job import Arrangement, Material
from estimator.sentences import Sentence, say

ARRANGEMENT_CODES: dict[Arrangement, Sentence] = {
    "rail_on_side": say("rail_on_side"),
    "rail_on_top": say("rail_on_top"),
    "direct": say("direct"),
}
"""The arrangements by their codes, as the job's own fields name them."""
ARRANGEMENT_WORDS: dict[Arrangement, Sentence] = {
    "rail_on_side": say("rail on the side"),
    "rail_on_top": say("rail on top"),
    "direct": say("direct"),
}
MATERIAL_WORDS: dict[Material, Sentence] = {"aluminium": say("aluminium"), "steel": say("steel")}
PART_WORDS = {"bracket": say("bracket"), "rail": say("rail")}
GIVEN = say("given in the job")
