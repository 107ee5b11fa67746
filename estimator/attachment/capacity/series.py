"""The strength a series of tests stands for: resistance and safety factor by reliability.

Source: AISI S100 (2016 clause K2.1, 2007/2012 clause F1.1). The expression and C_P are found in public records; C_phi
1.52, beta_0, the statistics of the material and the connection, the least V_P and Omega = 1.6 / phi are from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt
from statistics import fmean, stdev

from estimator.errors import PricebookRefused
from estimator.sentences import figure, say

FEWEST_TESTS = 3
SCATTER = 0.15


@dataclass(frozen=True, slots=True)
class Reliability:
    """Statistics of the expression, by the standard's symbols; the defaults are those of screwed connections."""

    C_phi: float = 1.52
    beta_0: float = 3.5
    M_m: float = 1.10
    V_M: float = 0.10
    F_m: float = 1.00
    V_F: float = 0.10
    P_m: float = 1.00
    V_Q: float = 0.21
    V_P_least: float = 0.065


@dataclass(frozen=True, slots=True)
class SeriesStrength:
    """What a series gives: mean, scatter, correction for few tests, and both factors.

    ``scattered``: single results further than 15 % from the mean; the standard then asks for three more tests.
    """

    n: int
    mean_n: float
    deviation_n: float
    V_P: float
    C_P: float
    phi: float
    omega: float
    scattered: tuple[float, ...]

    @property
    def design_n(self) -> float:
        """Design strength, LRFD: phi R_n."""
        return self.phi * self.mean_n

    @property
    def allowable_n(self) -> float:
        """Allowable strength, ASD: R_n / Omega."""
        return self.mean_n / self.omega


def correction_factor(n: int) -> float:
    """C_P for n tests: 5.7 for three, else (1 + 1/n) m / (m - 2) with m = n - 1.

    Errors: PricebookRefused for fewer than three tests.

    >>> [round(correction_factor(n), 4) for n in (3, 4, 5, 10)]
    [5.7, 3.75, 2.4, 1.4143]
    """
    if n < FEWEST_TESTS:
        raise PricebookRefused(
            say("a strength from tests takes at least {least} tests, not {n}", least=FEWEST_TESTS, n=n)
        )
    if n == FEWEST_TESTS:
        return 5.7
    m = n - 1
    return (1 + 1 / n) * m / (m - 2)


def resistance_factor(n: int, V_P: float, statistics: Reliability = Reliability()) -> float:
    """Phi for n tests with a coefficient of variation V_P (raised to the least one), never above 1.

    >>> round(resistance_factor(3, 0.1), 4), round(resistance_factor(20, 0.05), 4)
    (0.4946, 0.6665)
    """
    s = statistics
    V = max(V_P, s.V_P_least)
    spread = sqrt(s.V_M**2 + s.V_F**2 + correction_factor(n) * V**2 + s.V_Q**2)
    return min(1.0, s.C_phi * s.M_m * s.F_m * s.P_m * exp(-s.beta_0 * spread))


def safety_factor(phi: float) -> float:
    """Omega from phi, and phi from Omega: 1.6 over the other [from memory].

    >>> round(safety_factor(0.63989), 4)
    2.5004
    """
    return 1.6 / phi


def evaluate_series(results_n: Sequence[float], statistics: Reliability = Reliability()) -> SeriesStrength:
    """Strength of a bracket in one sheet from its single test results, N.

    Errors: PricebookRefused for fewer than three results, or one that is not above zero.

    >>> series = evaluate_series([412, 455, 437, 398, 470])
    >>> round(series.phi, 5), round(series.allowable_n, 2)
    (0.63989, 173.73)
    """
    if any(not result > 0 for result in results_n):
        raise PricebookRefused(say("a test result is a force above zero, not {least}", least=figure(min(results_n))))
    n = len(results_n)
    C_P = correction_factor(n)
    mean, deviation = fmean(results_n), stdev(results_n)
    V_P = max(deviation / mean, statistics.V_P_least)
    phi = resistance_factor(n, V_P, statistics)
    scattered = tuple(r for r in results_n if abs(r - mean) > SCATTER * mean * (1 + 1e-12))
    return SeriesStrength(n, mean, deviation, V_P, C_P, phi, safety_factor(phi), scattered)
