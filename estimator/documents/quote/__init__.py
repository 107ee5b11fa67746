"""The quote for the customer, as PDF."""

from estimator.documents.quote.paper import PAPER as PAPER
