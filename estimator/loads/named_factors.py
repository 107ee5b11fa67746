"""Factors and national parameters that a job may give by the symbol of its standard, each within its bounds."""

from __future__ import annotations

from estimator.errors import Fault
from estimator.job import Loads

Bounds = tuple[float, float]

ASCE_FACTORS: dict[str, Bounds] = {
    "Kd": (0.5, 1.0),
    "Ke": (0.5, 1.2),
    "gamma_E": (1.0, 3.0),
    "least_net_pressure_psf": (0.0, 100.0),
    "Ce": (0.5, 1.5),
    "R": (0.0, 200.0),
    "ventilated": (0.0, 1.0),
    "W2": (0.1, 1.0),
    "ridge_drift": (0.0, 1.0),
    "service_wind": (0.1, 1.0),
}
"""gamma_E: edge factor of exposed panels; R: insulation, ft2 h F / BTU; ridge_drift 0 leaves unbalanced snow out."""

EN_FACTORS: dict[str, Bounds] = {
    "ze": (2.0, 200.0),
    "cdir": (0.5, 1.2),
    "cseason": (0.5, 1.2),
    "co": (0.8, 2.5),
    "c0": (0.8, 2.5),
    "kI": (0.5, 2.0),
    "rho": (1.0, 1.5),
    "gamma_G_sup": (1.0, 2.0),
    "gamma_G_inf": (0.5, 1.0),
    "gamma_G_sup_equ": (1.0, 2.0),
    "gamma_G_inf_equ": (0.5, 1.0),
    "gamma_Q": (1.0, 2.5),
    "psi_0_wind": (0.0, 1.0),
    "psi_0_snow": (0.0, 1.0),
    "Ce": (0.5, 1.5),
    "Cesl": (1.0, 3.0),
}
"""ze: reference height (the ridge), m; Cesl: factor of exceptional snow."""


def named_factors(loads: Loads, known: dict[str, Bounds]) -> tuple[dict[str, float], list[Fault]]:
    """The factors a job gives, and a fault for each that the standard does not have or that lies out of bounds.

    >>> named_factors(Loads(factors=(("Kd", 0.9),)), ASCE_FACTORS)
    ({'Kd': 0.9}, [])
    >>> named_factors(Loads(factors=(("Kx", 0.9),)), ASCE_FACTORS)[1][0].message
    "factor 'Kx' is unknown"
    """
    faults = []
    for symbol, value in loads.factors:
        place = f"/site/loads/factors/{symbol}"
        if symbol not in known:
            faults.append(Fault(place, f"factor {symbol!r} is unknown", ", ".join(sorted(known))))
        elif not known[symbol][0] <= value <= known[symbol][1]:
            low, high = known[symbol]
            faults.append(Fault(place, f"factor {symbol} is {value:g}", f"{low:g} to {high:g}"))
    return dict(loads.factors), faults
