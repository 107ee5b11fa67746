"""Words that several messages about the mounting share."""

from __future__ import annotations

from estimator.job import Material
from estimator.sentences import Sentence, say

MATERIAL_WORDS: dict[Material, Sentence] = {"aluminium": say("aluminium"), "steel": say("steel")}
PART_WORDS = {"bracket": say("bracket"), "rail": say("rail")}
GIVEN = say("given in the job")
