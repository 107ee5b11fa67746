"""One way to mount a job, and the height it gives. Lengths mm."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.arrangements import PROPERTIES, Arrangement, ArrangementProperties, RailDirection
from estimator.job import Material
from estimator.pricebook import BarStock, Bracket, Clamp, Rail, Splice


@dataclass(frozen=True, slots=True)
class MountingChoice:
    """One way to mount the job, every choice settled: what a trial of the choice loop takes."""

    arrangement: Arrangement
    rail_direction: RailDirection
    material: Material
    bracket: Bracket
    rail: Rail | None
    stocks: tuple[BarStock, ...]
    mid_clamp: Clamp
    end_clamp: Clamp
    rails_per_row: int
    clamping_position: float
    rail_overhang_mm: float
    stagger: bool
    expansion_splice: Splice | None = None

    @property
    def held(self) -> ArrangementProperties:
        """What the arrangement does."""
        return PROPERTIES[self.arrangement]

    @property
    def load_height_mm(self) -> float:
        """How high above the rib the modules lie, where their loads act on the bracket."""
        stands = self.rail.height_mm if self.rail is not None and self.held.rail_adds_height else 0.0
        return self.bracket.heights_mm[self.arrangement] + stands


@dataclass(frozen=True, slots=True)
class Clearance:
    """Height under the module, mm, per roof, its terms, and the window wanted for the air gap."""

    roof: str
    rib_height_mm: float
    bracket_height_mm: float
    rail_height_mm: float
    under_module_mm: float
    window_mm: tuple[float, float]
