"""Takes: a job, a book and an estimate.

Gives: the same job in the other material, the other arrangements and brackets, side by side.
May not: change the estimate it compares with.
"""

from estimator.comparison.compare import compare_everything as compare_everything
from estimator.comparison.compare import compare_materials as compare_materials
from estimator.comparison.compare import offer as offer
from estimator.comparison.compare import offer_again as offer_again
from estimator.comparison.compare import plans_of as plans_of
from estimator.comparison.records import Comparison as Comparison
from estimator.comparison.records import Offer as Offer
from estimator.comparison.records import Side as Side
