"""Words that the sheets of a calculation share: where numbers come from that no standard gives, and zones."""

from __future__ import annotations

from estimator.places import EVERYWHERE as EVERYWHERE
from estimator.places import INNER as INNER
from estimator.places import RIDGE_SNOW as RIDGE_SNOW
from estimator.places import zone_words as zone_words
from estimator.sentences import say

JOB = say("job")
PRICEBOOK = say("pricebook")
MECHANICS = say("mechanics")
AND = say("and")
