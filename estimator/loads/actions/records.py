"""What the loads stage hands out: the pressures of one roof plane, zone by zone, ready to be asked at any area.

Signs: normal to the roof, uplift negative, downward positive; along the slope, down the slope positive. Pa per m2 of
roof surface, unless a name says ``plan`` (per m2 of horizontal projection).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.errors import Finding
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.combinations import Combination, Method
from estimator.loads.actions.curves import Coefficient, Curve, Floats
from estimator.loads.actions.steps import Step
from estimator.loads.zoning.inner_cells import InnerCells
from estimator.loads.zoning.zone_map import ZoneMap
from estimator.site_loads import GivenPressure, LoadStandard

OwnUnit = Literal["psf", "Pa"]


@dataclass(frozen=True, slots=True)
class Wind:
    """How a coefficient becomes a pressure: the velocity pressure it multiplies, and the factors of roof panels.

    ``velocity_pa`` is qh or qp as the standard defines it; ``base_pa`` what coefficients multiply (with Kd once).
    ``equalisation``: gammaa over areas in ft2, where it applies; ``least_pa``: least net pressure either
    way, 0 for none.
    """

    velocity_pa: float
    base_pa: float
    gamma_e_exposed: float = 1.0
    gamma_e_inner: float = 1.0
    equalisation: Curve | None = None
    least_pa: float = 0.0


@dataclass(frozen=True, slots=True)
class Snow:
    """Snow on the horizontal projection, Pa: flat roof, sloped roof, the even load that governs, the ridge surcharge.

    ``drift_from_y_mm``: from where on the slope up the surcharge ``drift_plan_pa`` replaces the even load.
    """

    flat_plan_pa: float = 0.0
    sloped_plan_pa: float = 0.0
    design_plan_pa: float = 0.0
    drift_plan_pa: float = 0.0
    drift_from_y_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Zone:
    """One zone: the coefficients that may govern its uplift and its downward pressure, and the snow on it.

    ``along_given_pa``: pressure down the slope that an engineer gave. ``exposed``: whether its modules count as exposed
    at an array edge.
    """

    name: str
    uplift: tuple[Coefficient, ...]
    downward: tuple[Coefficient, ...]
    snow_plan_pa: float
    along_given_pa: float = 0.0
    exposed: bool = True


@dataclass(frozen=True, slots=True)
class Pressures:
    """The loads of one roof plane.

    ``zones`` are in the order of ``zone_map.zones``, then those of modules inside an array (``inner`` tells them, array
    by array; empty where every module counts as exposed). ``fixed_area_m2`` is set where the job asks for the area of
    one module whatever the spacing. ``wind_steps``, ``snow_steps`` and ``dead_steps`` are the calculation sheet down to
    the velocity pressure, the snow and the dead load; each zone's own lines come from ``zone_steps``. ``computed`` is
    False where the job gives spans and no loads.
    """

    standard: LoadStandard
    method: Method
    own_unit: OwnUnit
    slope_deg: float
    wind: Wind
    snow: Snow
    dead_pa: float
    zones: tuple[Zone, ...]
    zone_map: ZoneMap
    combinations: tuple[Combination, ...]
    service: tuple[Combination, ...]
    fixed_area_m2: float | None
    wind_steps: tuple[Step, ...]
    snow_steps: tuple[Step, ...]
    dead_steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
    coefficient_symbol: str = "GCp"
    computed: bool = True
    inner: tuple[InnerCells, ...] = ()

    @property
    def steps(self) -> tuple[Step, ...]:
        """The calculation sheet down to what all zones share."""
        return self.wind_steps + self.snow_steps + self.dead_steps

    def zone(self, name: str) -> Zone:
        """The zone of that name."""
        return next(zone for zone in self.zones if zone.name == name)


@dataclass(frozen=True, slots=True)
class ZonePressures:
    """One zone at n effective areas. Arrays over areas have shape (n,), those over combinations (combinations, n).

    ``uplift_pa`` (<= 0), ``downward_pa`` (>= 0) and ``along_pa`` (>= 0) are the governing design values over the
    strength combinations; the governing ones are indices into ``Pressures.combinations``.
    """

    zone: str
    area_m2: Floats
    c_uplift: Floats
    c_downward: Floats
    gamma_e: float
    gamma_a: Floats
    wind_uplift_pa: Floats
    wind_downward_pa: Floats
    normal_pa: Floats
    along_pa_by_combination: Floats
    service_normal_pa: Floats
    service_along_pa: Floats
    uplift_pa: Floats
    downward_pa: Floats
    along_pa: Floats
    governing_uplift: tuple[int, ...]
    governing_downward: tuple[int, ...]
    governing_along: tuple[int, ...]
    service_uplift_pa: Floats
    service_downward_pa: Floats


@dataclass(frozen=True, slots=True)
class LaidGiven:
    """Zones that an engineer named, on the plane: the pressures of each, and the figure whose layout they follow."""

    zone_map: ZoneMap
    by_zone: dict[str, GivenPressure]
    figure: Clause
