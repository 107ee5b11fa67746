"""Factors and national parameters that a job may give by the symbol of its standard, each within its bounds."""

from __future__ import annotations

from estimator.errors import Fault
from estimator.sentences import figure, say
from estimator.site_loads import Factors

Bounds = tuple[float, float]


def named_factors(given: Factors, known: dict[str, Bounds]) -> tuple[dict[str, float], list[Fault]]:
    """The factors a job gives, and a fault for each that the standard does not have or that lies out of bounds.

    >>> named_factors((("Kd", 0.9),), {"Kd": (0.5, 1.0)})
    ({'Kd': 0.9}, [])
    >>> named_factors((("Kx", 0.9),), {"Kd": (0.5, 1.0)})[1][0].message
    "factor 'Kx' is unknown"
    """
    faults = []
    for symbol, value in given:
        place = f"/site/loads/factors/{symbol}"
        if symbol not in known:
            faults.append(
                Fault(place, say("factor {symbol} is unknown", symbol=repr(symbol)), ", ".join(sorted(known)))
            )
        elif not known[symbol][0] <= value <= known[symbol][1]:
            low, high = known[symbol]
            faults.append(
                Fault(
                    place,
                    say("factor {symbol} is {value}", symbol=symbol, value=figure(value, "g")),
                    say("{low} to {high}", low=figure(low, "g"), high=figure(high, "g")),
                )
            )
    return dict(given), faults
