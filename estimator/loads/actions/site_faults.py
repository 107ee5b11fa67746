"""What the loads of a site must say, and within which bounds: every fault at once, each with what is allowed."""

from __future__ import annotations

from dataclasses import dataclass, field

from estimator.errors import Fault
from estimator.site_loads import Building
from estimator.units import FACTORS, Dimension

ROOF_FORMS = ("flat", "gable", "hip", "monoslope")


@dataclass(slots=True)
class Faults:
    """Gathers faults under one place of the job."""

    place: str
    found: list[Fault] = field(default_factory=list)

    def add(self, name: str, message: str, allowed: str) -> None:
        """Note one fault."""
        self.found.append(Fault(f"{self.place}/{name}", message, allowed))

    def within(self, name: str, value: float | None, bounds: tuple[float, float], unit: str, what: str) -> None:
        """A number that must be there and lie within bounds, all in the unit named."""
        allowed = f"{bounds[0]:g} to {bounds[1]:g} {unit}{_also(bounds, unit)}".rstrip()
        if value is None:
            self.add(name, f"{what} is missing", allowed)
        elif not bounds[0] - 1e-9 <= value <= bounds[1] + 1e-9:
            also = _also((value,), unit)
            self.add(name, f"{what} is {value:.4g} {unit}{also}".rstrip() + _meant(value, unit, bounds), allowed)

    def one_of(self, name: str, value: str | None, allowed: tuple[str, ...], what: str, needed: bool = True) -> None:
        """A word that must be one of those allowed."""
        if value is None and needed:
            self.add(name, f"{what} is missing", ", ".join(allowed))
        elif value is not None and value not in allowed:
            self.add(name, f"{what} {value!r} is unknown", ", ".join(allowed))


_DIMENSION: dict[str, Dimension] = {
    "ft": "length", "m": "length", "mm": "length", "psf": "pressure", "kN/m2": "pressure",
    "mph": "speed", "m/s": "speed",
}  # fmt: skip


def _also(values: tuple[float, ...], unit: str) -> str:
    """The same in the other system, in brackets: faults are read by people of both."""
    if unit not in _DIMENSION or unit == "mm":
        return ""
    dimension = _DIMENSION[unit]
    other = {"length": "m" if unit == "ft" else "ft", "pressure": "Pa" if unit == "psf" else "psf",
             "speed": "m/s" if unit == "mph" else "mph"}[dimension]  # fmt: skip
    factor = FACTORS[dimension][unit] / FACTORS[dimension][other]
    return f" ({' to '.join(f'{value * factor:.4g}' for value in values)} {other})"


def _meant(value: float, unit: str, bounds: tuple[float, float]) -> str:
    """The unit in which the bare number would be within bounds, where it was given as one."""
    if unit not in _DIMENSION:
        return ""
    factors = FACTORS[_DIMENSION[unit]]
    inside, own = next(iter(factors)), factors[unit]
    bare = round(value * own, 9)
    if float(f"{bare:.3g}") != bare:
        return ""
    fits = [other for other, factor in factors.items() if bounds[0] <= bare * factor / own <= bounds[1]]
    return f"; a bare number is in {inside}, {bare:g} {fits[0]} would be within" if fits else ""


def over(value: float | None, unit: float) -> float | None:
    """A number in another unit, if it is there."""
    return None if value is None else value / unit


def thermal_faults(f: Faults, factor: float | None) -> None:
    """The thermal factor of snow, where it is given."""
    if factor is not None:
        f.within("thermal_factor", factor, (0.5, 1.5), "", "thermal factor")


def building_faults(f: Faults, building: Building) -> None:
    """The building's length and width."""
    for name, value in (("length", building.length_mm), ("width", building.width_mm)):
        f.within(f"building/{name}", over(value, 1000), (1.0, 2000.0), "m", f"building {name}")
