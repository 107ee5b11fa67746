"""The quote for programs: a UBL 2.1 quotation."""

from estimator.documents.quotation.paper import PAPER as PAPER
