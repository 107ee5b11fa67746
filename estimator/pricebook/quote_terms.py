"""What a house wants on its quotes besides prices."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class QuoteTerms:
    """How it is paid, what is supplied and what is not, and which prices for comparison stand below the total."""

    payment: str = ""
    supplied: tuple[str, ...] = ()
    not_supplied: tuple[str, ...] = ()
    per_watt: bool = False
    per_module: bool = False

    @property
    def texts(self) -> tuple[str, ...]:
        """Every text, for translations."""
        return (*filter(None, (self.payment,)), *self.supplied, *self.not_supplied)


NO_TERMS = QuoteTerms()
