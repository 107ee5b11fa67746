"""What the saw cuts for one job, on paper for the shop."""

from estimator.documents.saw_list.paper import PAPER as PAPER
