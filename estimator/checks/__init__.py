"""Takes: the findings of every stage, and the estimator's words that let some of them stand.

Gives: the checks of an estimate in order, each once; which of them an override names, by code and place.
May not: find anything itself, or look at the words of a check.
"""

from estimator.checks.gather import all_checks as all_checks
from estimator.checks.overriding import named_by_place as named_by_place
from estimator.checks.overriding import standing_errors as standing_errors
from estimator.checks.overriding import unmatched as unmatched
