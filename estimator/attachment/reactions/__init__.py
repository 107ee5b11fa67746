"""Takes: a setting-out checked under load. Gives: what the array puts on the building, for the building's engineer.

May not: find loads or strengths again; every force is the reaction of a beam that was checked.
"""

from estimator.attachment.reactions.find import find_reactions as find_reactions
from estimator.attachment.reactions.records import AttachmentForces as AttachmentForces
from estimator.attachment.reactions.records import ForceSums as ForceSums
from estimator.attachment.reactions.records import PurlinLine as PurlinLine
from estimator.attachment.reactions.records import Reactions as Reactions
from estimator.attachment.reactions.records import RoofReactions as RoofReactions
from estimator.attachment.reactions.records import ZoneReactions as ZoneReactions
