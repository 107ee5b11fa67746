"""Characteristic strengths from test results by EN 1990 Annex D, clause D7.2: the 5 % fractile, V_X unknown.

    X_k = m (1 - k_n V_X),  k_n = t(0.95, n - 1) sqrt(1 + 1 / n)

m and V_X are mean and coefficient of variation of the n results, t is the fractile of Student's distribution. Results
are taken as normally distributed.
Source: EN 1990 D7.2 and Table D1, from memory; the expression for k_n gives the table's values to within 0.01.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import atan, cos, pi, sin, sqrt
from statistics import fmean, stdev

from estimator.errors import PricebookRefused
from estimator.sentences import figure, say

FEWEST_RESULTS = 3
SHARE = 0.95
_HALVINGS = 200


@dataclass(frozen=True, slots=True)
class Characteristic:
    """A characteristic strength and what it came from: number of results, their mean and scatter, k_n."""

    n: int
    mean_n: float
    V_X: float
    k_n: float

    @property
    def value_n(self) -> float:
        """X_k; zero where the results scatter so much that nothing is left."""
        return max(0.0, self.mean_n * (1 - self.k_n * self.V_X))


def probability_within(t: float, freedom: int) -> float:
    """The chance that a value of Student's distribution lies between -t and t, for whole degrees of freedom.

    Source: finite series for whole degrees of freedom, as handbooks of mathematical functions give them (Abramowitz and
    Stegun 26.7.3 and 26.7.4, from memory).

    >>> round(probability_within(2.919986, 2), 6)
    0.9
    """
    angle = atan(t / sqrt(freedom))
    sine, cosine = sin(angle), cos(angle)
    odd = freedom % 2 == 1
    term, total = (cosine, 0.0) if odd else (1.0, 0.0)
    for k in range(2 if odd else 1, freedom, 2):
        total += term
        term *= cosine * cosine * k / (k + 1)
    return 2 / pi * (angle + sine * total) if odd else sine * total


@cache
def student_quantile(share: float, freedom: int) -> float:
    """The value of Student's distribution that a share from 0.5 to below 1 lies below, found by halving.

    >>> [round(student_quantile(0.95, freedom), 3) for freedom in (1, 2, 4, 9)]
    [6.314, 2.92, 2.132, 1.833]
    """
    low, high = 0.0, 1.0
    while (1 + probability_within(high, freedom)) / 2 < share:
        high *= 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if (1 + probability_within(middle, freedom)) / 2 < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def fractile_factor(n: int) -> float:
    """k_n for a characteristic value, V_X unknown.

    Errors: PricebookRefused for fewer than three results, as Table D1 begins there.

    >>> [round(fractile_factor(n), 2) for n in (3, 4, 5, 6, 10, 20)]
    [3.37, 2.63, 2.34, 2.18, 1.92, 1.77]
    """
    if n < FEWEST_RESULTS:
        raise PricebookRefused(
            say("a characteristic value takes at least {least} results, not {n}", least=FEWEST_RESULTS, n=n)
        )
    return student_quantile(SHARE, n - 1) * sqrt(1 + 1 / n)


def characteristic_of(results_n: Sequence[float]) -> Characteristic:
    """The characteristic strength of a series of results, N.

    Errors: PricebookRefused for fewer than three results, or one that is not above zero.

    >>> found = characteristic_of([4057, 4413, 4310, 4203, 4417])
    >>> round(found.mean_n), round(found.V_X, 4), round(found.value_n)
    (4280, 0.0356, 3924)
    """
    if any(not result > 0 for result in results_n):
        raise PricebookRefused(say("a test result is a force above zero, not {least}", least=figure(min(results_n))))
    factor = fractile_factor(len(results_n))
    mean = fmean(results_n)
    return Characteristic(len(results_n), mean, stdev(results_n) / mean, factor)
