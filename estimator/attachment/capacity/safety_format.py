"""From a tested strength to one to be counted with: one format for every standard, brackets, clamps and splices alike.

Allowable strength design divides the mean by a safety factor, load and resistance factor design multiplies it with a
resistance factor: the book's own, else that of AISI S100 K2.1 from single results, else 1.6 over the other one. Under
EN 1990 the characteristic strength (the book's, else that of Annex D from single results) is divided by the partial
factor of the code of what gives way.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.attachment.capacity.annex_d import FEWEST_RESULTS, characteristic_of
from estimator.attachment.capacity.partial_factors import PartialFactor
from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.series import FEWEST_TESTS, evaluate_series, safety_factor
from estimator.sentences import Sentence, figure, say


@dataclass(frozen=True, slots=True)
class Tested:
    """What a book gives of a tested strength: mean, single results, characteristic value and factors."""

    mean: float
    results: tuple[float, ...] = ()
    characteristic: float | None = None
    safety_factor: float | None = None
    resistance_factor: float | None = None

    @property
    def has_characteristic(self) -> bool:
        """Whether a characteristic value is given or follows from enough results."""
        return self.characteristic is not None or len(self.results) >= FEWEST_RESULTS


@dataclass(frozen=True, slots=True)
class Rated:
    """A strength to count with: the nominal one, its factor (dividing or multiplying it), and how both came about.

    ``by_other_format``: EN 1990 asks for a characteristic value, the book gives none, and its factors stand in.
    """

    nominal: float
    factor: float
    divided: bool
    how: Sentence
    by_other_format: bool = False

    @property
    def value(self) -> float:
        """Allowable or design strength."""
        return self.nominal / self.factor if self.divided else self.nominal * self.factor


def rated(tested: Tested, method: Method, partial: PartialFactor) -> Rated | None:
    """A tested strength by the method; None where the book gives too little to find one.

    Args:
        tested: what the book gives, N or N mm.
        method: "asd" allowable strength, "lrfd" design strength, "en" design strength by EN 1990.
        partial: the partial factor under EN 1990.

    >>> from estimator.attachment.capacity.partial_factors import in_sheet
    >>> found = rated(Tested(4480.0, characteristic=3700.0), "en", in_sheet("steel"))
    >>> found.value, str(found.how)
    (2960.0, 'characteristic value of the book, gamma_M2 of EN 1993-1-3 2(3)')
    """
    if method != "en":
        return _by_factors(tested, method)
    if tested.characteristic is not None:
        how = say(
            "characteristic value of the book, {symbol} of {clause}", symbol=partial.symbol, clause=partial.clause
        )
        return Rated(tested.characteristic, partial.value, True, how)
    if len(tested.results) >= FEWEST_RESULTS:
        return _by_annex_d(tested, partial)
    found = _by_factors(tested, "lrfd")
    if found is None:
        return None
    how = say("{how}; no characteristic value, not in the format of EN 1990", how=found.how)
    return Rated(found.nominal, found.factor, found.divided, how, by_other_format=True)


def _by_annex_d(tested: Tested, partial: PartialFactor) -> Rated | None:
    found = characteristic_of(tested.results)
    if found.value_n <= 0:
        return None
    how = say(
        "mean of {count} tests x (1 - {factor} x {scatter}) by EN 1990 D7.2, {symbol} of {clause}",
        count=found.n,
        factor=figure(found.k_n, ".3f"),
        scatter=figure(found.V_X, ".4f"),
        symbol=partial.symbol,
        clause=partial.clause,
    )
    return Rated(found.value_n, partial.value, True, how)


def _by_factors(tested: Tested, method: Method) -> Rated | None:
    """Given factors win; else the test series; a safety factor stands for phi = 1.6 / Omega and the other way round."""
    asd = method == "asd"
    own, other = tested.safety_factor, tested.resistance_factor
    if not asd:
        own, other = other, own
    name = say("safety factor") if asd else say("resistance factor")
    if own is not None:
        return Rated(tested.mean, own, asd, say("{factor} of the book", factor=name))
    if len(tested.results) >= FEWEST_TESTS:
        series = evaluate_series(tested.results)
        how = say("{factor} from {count} tests, AISI S100 K2.1", factor=name, count=series.n)
        return Rated(series.mean_n, series.omega if asd else series.phi, asd, how)
    if other is not None:
        how = say("{factor} as {number} over the other factor of the book", factor=name, number=figure(1.6))
        return Rated(tested.mean, safety_factor(other), asd, how)
    return None
