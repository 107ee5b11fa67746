"""Cells of tested strengths: single results, characteristic values and factors, alike in every table that has them."""

from __future__ import annotations

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
        row.fault("results", fault.message, f"{fault.allowed}; several parted by semicolons")
        return ()
    if found and len(found) < FEWEST_RESULTS:
        row.fault("results", f"{len(found)} results are too few", f"at least {FEWEST_RESULTS}")
    return found


def check_factors(row: Row, factors: tuple[float | None, float | None]) -> None:
    """A safety factor divides by 1 or more, a resistance factor multiplies by at most 1."""
    if factors[0] is not None and factors[0] < 1:
        row.fault("safety_factor", f"{factors[0]:g} is below 1", "1 or more")
    if factors[1] is not None and factors[1] > 1:
        row.fault("resistance_factor", f"{factors[1]:g} is above 1", "above 0, at most 1")


def check_characteristic(row: Row, column: str, mean: float | None) -> None:
    """A 5 % fractile lies below the mean; without a mean it has nothing to stand on."""
    if not row.has(column):
        return
    kind: Kind = "moment" if column.startswith("moment") else "force"
    value = row.quantity(column, kind)
    if mean is None:
        row.fault(column, "a characteristic value stands without the mean of the tests", "the mean, too")
    elif value > mean:
        row.fault(column, "the characteristic value is above the mean of the tests", "below it")


def check_mean(row: Row, ultimate_n: float, results_n: tuple[float, ...]) -> None:
    """The strength of a test set is its mean (AISI S100-16, K2.1.1)."""
    mean = sum(results_n) / len(results_n) if results_n else ultimate_n
    if abs(mean - ultimate_n) > 0.01 * mean:
        row.fault("ultimate", f"{ultimate_n:.0f} N is not the mean of the results", f"{mean:.0f} N, within 1 %")
