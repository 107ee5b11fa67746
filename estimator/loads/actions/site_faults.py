"""What the loads of a site must say, and within which bounds: every fault at once, each with what is allowed."""

from __future__ import annotations

from dataclasses import dataclass, field

from estimator.errors import Fault
from estimator.site_loads import Building

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
        allowed = f"{bounds[0]:g} to {bounds[1]:g} {unit}"
        if value is None:
            self.add(name, f"{what} is missing", allowed)
        elif not bounds[0] - 1e-9 <= value <= bounds[1] + 1e-9:
            self.add(name, f"{what} is {value:.4g} {unit}", allowed)

    def one_of(self, name: str, value: str | None, allowed: tuple[str, ...], what: str, needed: bool = True) -> None:
        """A word that must be one of those allowed."""
        if value is None and needed:
            self.add(name, f"{what} is missing", ", ".join(allowed))
        elif value is not None and value not in allowed:
            self.add(name, f"{what} {value!r} is unknown", ", ".join(allowed))


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
