"""One row of the totals."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.money import Money


@dataclass(frozen=True, slots=True)
class TotalRow:
    """One step of the totals; ``final`` is the amount to pay."""

    label: str
    amount: Money
    final: bool = False
    interim: bool = False
    text: str = ""
    """The amount as it is shown, where it is not one of whole minor units."""
