"""Takes: an offer, a quote's head, and for whom the workbook is.

Gives: a workbook whose formulas live and whose cells already hold the engine's figures; the same offer, the same bytes.
May not: compute an amount that the engine computes, or show the customer's edition a cost or a margin.
"""

from estimator.documents.workbook.paper import PAPER as PAPER
from estimator.documents.workbook.write import drafted as drafted
from estimator.documents.workbook.write import write_workbook as write_workbook
