"""What the array puts on the building, for the building's engineer."""

from estimator.documents.reactions.paper import PAPER as PAPER
