"""A search about to begin, for tests of its steps."""

from estimator.cutting import Effort
from estimator.cutting.colgen.master import Master
from estimator.cutting.colgen.pricing import Knapsack
from estimator.cutting.colgen.relaxation import Budget, SearchState
from estimator.cutting.instance import instance_of


def state_of(problem):
    instance = instance_of(problem)
    return SearchState(
        instance, Master(instance, instance.wanted), Knapsack(instance, instance.wanted), Budget(Effort())
    )
