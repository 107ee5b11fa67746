"""The load calculation an engineer follows, with every factor and clause."""

from estimator.documents.calculation.paper import PAPER as PAPER
