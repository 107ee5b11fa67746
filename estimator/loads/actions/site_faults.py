"""What the loads of a site must say, and within which bounds: every fault at once, each with what is allowed."""

from __future__ import annotations

from dataclasses import dataclass, field

from estimator.errors import Fault
from estimator.sentences import Sentence, figure, joined, say
from estimator.site_loads import Building
from estimator.units import FACTORS, Dimension

ROOF_FORMS = ("flat", "gable", "hip", "monoslope")


@dataclass(slots=True)
class Faults:
    """Gathers faults under one place of the job."""

    place: str
    found: list[Fault] = field(default_factory=list)

    def add(self, name: str, message: Sentence, allowed: str) -> None:
        """Note one fault."""
        self.found.append(Fault(f"{self.place}/{name}", message, allowed))

    def within(self, name: str, value: float | None, bounds: tuple[float, float], unit: str, what: Sentence) -> None:
        """A number that must be there and lie within bounds, all in the unit named."""
        low, high = (figure(each, "g") for each in bounds)
        range_ = say("{low} to {high}", low=low, high=high)
        allowed = joined(" ", [each for each in (range_, unit, _also(bounds, unit)) if each])
        if value is None:
            self.add(name, say("{what} is missing", what=what), allowed)
        elif not bounds[0] - 1e-9 <= value <= bounds[1] + 1e-9:
            found = joined(" ", [each for each in (figure(value, ".4g"), unit, _also((value,), unit)) if each])
            told = say("{what} is {value}", what=what, value=found)
            meant = _meant(value, unit, bounds)
            self.add(name, joined("; ", (told, meant)) if meant else told, allowed)

    def one_of(
        self, name: str, value: str | None, allowed: tuple[str, ...], what: Sentence, needed: bool = True
    ) -> None:
        """A word that must be one of those allowed."""
        if value is None and needed:
            self.add(name, say("{what} is missing", what=what), ", ".join(allowed))
        elif value is not None and value not in allowed:
            self.add(name, say("{what} {value} is unknown", what=what, value=repr(value)), ", ".join(allowed))


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
    return f"({' to '.join(f'{value * factor:.4g}' for value in values)} {other})"


def _meant(value: float, unit: str, bounds: tuple[float, float]) -> Sentence | None:
    """The unit in which the bare number would be within bounds, where it was given as one."""
    if unit not in _DIMENSION:
        return None
    factors = FACTORS[_DIMENSION[unit]]
    inside, own = next(iter(factors)), factors[unit]
    bare = round(value * own, 9)
    if float(f"{bare:.3g}") != bare:
        return None
    fits = [other for other, factor in factors.items() if bounds[0] <= bare * factor / own <= bounds[1]]
    if not fits:
        return None
    meant = {"inside": inside, "bare": figure(bare, "g"), "unit": fits[0]}
    return say("a bare number is in {inside}, {bare} {unit} would be within", **meant)


def over(value: float | None, unit: float) -> float | None:
    """A number in another unit, if it is there."""
    return None if value is None else value / unit


def thermal_faults(f: Faults, factor: float | None) -> None:
    """The thermal factor of snow, where it is given."""
    if factor is not None:
        f.within("thermal_factor", factor, (0.5, 1.5), "", say("thermal factor"))


def building_faults(f: Faults, building: Building) -> None:
    """The building's length and width."""
    for name, value in (("length", building.length_mm), ("width", building.width_mm)):
        f.within(f"building/{name}", over(value, 1000), (1.0, 2000.0), "m", say("building {name}", name=name))
