"""Cells of tested strengths: single results, characteristic values and factors, alike in every table that has them."""

from __future__ import annotations

from estimator.sentences import figure, say
from estimator.storage.books.rows.cells import CellFault, Kind, listed, quantity
from estimator.storage.books.rows.number_signs import in_points
from estimator.storage.books.rows.row import Row

FEWEST_RESULTS = 3


def results_in(row: Row) -> tuple[float, ...]:
    """The single results, N; none where the cell is empty."""
    try:
        found = tuple(
            quantity(in_points(text, row.sign), "force", row.reading.units) for text in listed(row.text("results"))
        )
    except CellFault as fault:
        row.fault("results", fault.message, say("{allowed}; several parted by semicolons", allowed=fault.allowed))
        return ()
    if found and len(found) < FEWEST_RESULTS:
        row.fault(
            "results",
            say("{count} results are too few", count=len(found)),
            say("at least {least}", least=FEWEST_RESULTS),
        )
    return found


def check_factors(row: Row, factors: tuple[float | None, float | None]) -> None:
    """A safety factor divides by 1 or more, a resistance factor multiplies by at most 1."""
    if factors[0] is not None and factors[0] < 1:
        row.fault("safety_factor", say("{factors} is below 1", factors=figure(factors[0], "g")), say("1 or more"))
    if factors[1] is not None and factors[1] > 1:
        row.fault(
            "resistance_factor", say("{factors} is above 1", factors=figure(factors[1], "g")), say("above 0, at most 1")
        )


def check_characteristic(row: Row, column: str, mean: float | None) -> None:
    """A 5 % fractile lies below the mean; without a mean it has nothing to stand on."""
    if not row.has(column):
        return
    kind: Kind = "moment" if column.startswith("moment") else "force"
    value = row.quantity(column, kind)
    if mean is None:
        row.fault(column, say("a characteristic value stands without the mean of the tests"), say("the mean, too"))
    elif value > mean:
        row.fault(column, say("the characteristic value is above the mean of the tests"), say("below it"))


def check_mean(row: Row, ultimate_n: float, results_n: tuple[float, ...]) -> None:
    """The strength of a test set is its mean (AISI S100-16, K2.1.1)."""
    mean = sum(results_n) / len(results_n) if results_n else ultimate_n
    if abs(mean - ultimate_n) > 0.01 * mean:
        row.fault(
            "ultimate",
            say("{ultimate_n} is not the mean of the results", ultimate_n=figure(ultimate_n, ".0f", " N", "force")),
            say("{mean}, within 1 %", mean=figure(mean, ".0f", " N", "force")),
        )
