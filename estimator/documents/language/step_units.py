"""The values of a calculation's lines in the other system's unit; a formula keeps the units its standard speaks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from estimator.loads.actions.steps import Step
from estimator.units import PSF_PA, System

_FOOT_M = 0.3048
_POUND_KG = 0.45359237
OTHER_UNITS: dict[str, tuple[str, float]] = {
    "psf": ("N/m2", PSF_PA), "pcf": ("N/m3", PSF_PA / _FOOT_M), "ft": ("m", _FOOT_M), "ft2": ("m2", _FOOT_M**2),
    "mph": ("m/s", 0.44704), "N/m2": ("psf", 1 / PSF_PA), "Pa": ("psf", 1 / PSF_PA), "m": ("ft", 1 / _FOOT_M),
    "m2": ("ft2", _FOOT_M**-2), "m/s": ("mph", 1 / 0.44704), "kg/m2": ("psf", _FOOT_M**2 / _POUND_KG),
    "kg/m3": ("pcf", _FOOT_M**3 / _POUND_KG),
}  # fmt: skip
"""The units of lines, each with the other system's unit and how many of it one is. Source: NIST SP 811, B.8."""


MASSES_AND_WEIGHTS = frozenset({"kg/m2", "N/m2"})


def as_spoken(steps: Sequence[Step], own_unit: str | None, systems: Sequence[System]) -> tuple[Step, ...]:
    """Lines of mechanics as those read them whose own system is the calculation's: beside psf in psf, too.

    >>> weight = Step("D", 120.7, "N/m2", "", "", "computed")
    >>> [(round(step.value, 3), step.unit) for step in as_spoken([weight], "psf", ("us",))]
    [(2.521, 'psf')]
    """
    if own_unit != "psf" or systems[0] != "us":
        return tuple(steps)
    others = [in_other_unit(step) if step.unit in MASSES_AND_WEIGHTS else None for step in steps]
    return tuple(
        step if other is None else replace(step, value=other[0], unit=other[1])
        for step, other in zip(steps, others, strict=True)
    )


def in_other_unit(step: Step) -> tuple[float, str] | None:
    """The value of a line and the other system's unit; None for a word, or a value that is the same in both.

    >>> value, unit = in_other_unit(Step("V", 115.0, "mph", "", "", "given")) or (0.0, "")
    >>> round(value, 2), unit
    (51.41, 'm/s')
    """
    other = OTHER_UNITS.get(step.unit)
    if other is None or isinstance(step.value, str):
        return None
    unit, factor = other
    return step.value * factor, unit
