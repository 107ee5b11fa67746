"""One supplier's order: on paper, as a workbook, as CSV, as a UBL 2.1 order."""

from estimator.documents.order.paper import PAPER as PAPER
