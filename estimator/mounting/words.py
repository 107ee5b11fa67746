"""Words that several messages about the mounting share."""

from __future__ import annotations

from estimator.job import Arrangement, Material
from estimator.sentences import Sentence, say

ARRANGEMENT_CODES: dict[Arrangement, Sentence] = {
    "side_rail": say("side_rail"),
    "bottom_rail": say("bottom_rail"),
    "direct": say("direct"),
}
"""The arrangements by their codes, as the job's own fields name them."""
ARRANGEMENT_WORDS: dict[Arrangement, Sentence] = {
    "side_rail": say("side rail"),
    "bottom_rail": say("bottom rail"),
    "direct": say("direct"),
}
MATERIAL_WORDS: dict[Material, Sentence] = {"aluminium": say("aluminium"), "steel": say("steel")}
PART_WORDS = {"bracket": say("bracket"), "rail": say("rail")}
GIVEN = say("given in the job")
