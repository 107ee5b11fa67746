"""What an array puts on the building: forces of its attachments by zone, in all, and by purlin line.

Forces N, all counted positive: uplift pulls away from the roof, downward presses on it, along acts down the slope.
Lengths mm, areas m2. The largest of each kind belong to combinations of their own; they do not act together.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.loads.actions.coverage import Covered
from estimator.sentences import Sentence


@dataclass(frozen=True, slots=True)
class AttachmentForces:
    """One attachment: its height on the slope, the stretch along the eave that it holds, its largest forces."""

    zone: str
    y_mm: float
    from_x_mm: float
    to_x_mm: float
    area_m2: float
    uplift_n: float
    downward_n: float
    along_n: float


@dataclass(frozen=True, slots=True)
class ForceSums:
    """Several attachments: how many, the surface they hold, the largest force of one, and the sums of the largest.

    The sums are over the surface in Pa: where wind peaks in one zone it does not peak in all, so over several zones
    they are more than acts at once.
    """

    attachments: int
    area_m2: float
    uplift_n: float
    downward_n: float
    along_n: float
    all_uplift_n: float
    all_downward_n: float
    all_along_n: float

    @property
    def uplift_pa(self) -> float:
        """All uplift over the surface."""
        return self.all_uplift_n / self.area_m2 if self.area_m2 else 0.0

    @property
    def downward_pa(self) -> float:
        """All downward force over the surface."""
        return self.all_downward_n / self.area_m2 if self.area_m2 else 0.0

    @property
    def along_pa(self) -> float:
        """All force along the slope over the surface."""
        return self.all_along_n / self.area_m2 if self.area_m2 else 0.0


@dataclass(frozen=True, slots=True)
class ZoneReactions:
    """The attachments of one load zone."""

    zone: str
    sums: ForceSums


@dataclass(frozen=True, slots=True)
class PurlinLine:
    """One purlin line, numbered from 1 at the eave: its height on the slope, what it takes in all and per metre.

    Per metre: the largest on any part of the line, every attachment's force spread over the length it holds.
    """

    number: int
    y_mm: float
    uplift_n: float
    downward_n: float
    along_n: float
    uplift_n_m: float
    downward_n_m: float
    along_n_m: float


@dataclass(frozen=True, slots=True)
class RoofReactions:
    """One roof: at which level its forces are, by zone and in all, and by purlin line where their spacing is given."""

    roof: int
    name: str
    level: Sentence
    zones: tuple[ZoneReactions, ...]
    total: ForceSums
    purlins: tuple[PurlinLine, ...]


@dataclass(frozen=True, slots=True)
class Reactions:
    """Every roof whose loads were computed; what is checked of loads and what is not.

    ``missing`` says why there is no roof, where there is none; ``notes`` what else there is to know of the sums.
    """

    roofs: tuple[RoofReactions, ...]
    coverage: tuple[Covered, ...]
    missing: Sentence | None = None
    notes: tuple[Sentence, ...] = ()

    @property
    def not_checked(self) -> tuple[Covered, ...]:
        """What an engineer still has to look at."""
        return tuple(each for each in self.coverage if not each.checked)
