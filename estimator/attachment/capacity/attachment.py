"""What one attachment may carry in one roof sheet, in each direction, and how much of it is used.

Tested values come first; screws are computed where the book gives screws instead; nothing is extrapolated.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.said_of_tests import about_tests, moment_not_checked
from estimator.attachment.capacity.screws import strength_by_screws
from estimator.attachment.capacity.strength import LOADED, Direction, Strength
from estimator.attachment.capacity.tests import strength_by_test
from estimator.attachment.capacity.use import Use
from estimator.errors import Finding
from estimator.job import Sheet
from estimator.places import NOWHERE, Place
from estimator.pricebook import Bracket

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Capacity:
    """Strengths of one bracket in one sheet by direction, the interaction rule, and what is missing.

    A direction without a strength is absent from ``strengths``; ``findings`` says why. ``load_height_mm`` is how high
    above the rib the load acts; 0 where that is not known.
    """

    bracket: str
    sheet: Sheet
    method: Method
    strengths: tuple[Strength, ...]
    interaction_exponent: float
    findings: tuple[Finding, ...]
    load_height_mm: float = 0.0

    def strength(self, direction: Direction) -> Strength | None:
        """The strength in a direction, if there is one."""
        return next((s for s in self.strengths if s.direction == direction), None)

    def utilisation(self, normal_n: npt.ArrayLike, along_n: npt.ArrayLike) -> Floats:
        """Share of the strength used by forces acting together, any shape; inf where a needed strength is missing.

        Args:
            normal_n: normal to the roof, N; negative pulls.
            along_n: along the slope, N; its sign does not count.

        With shares a (normal) and b (along) of the two strengths and the book's exponent e it is
        ``(a**e + b**e) ** (1/e)``: the factor by which the forces would have to shrink to stand on the rule
        ``a**e + b**e = 1``. Forces along the slope do not count where the book has no such strength for any sheet: a
        finding then says so. A force along the slope is a moment on the bracket, too: the worse of both counts, force
        over strength and moment over the tested force times its tested height.
        Source: the book's interaction rule; linear (e = 1) is common practice, no source.
        """
        normal = np.asarray(normal_n, dtype=np.float64)
        pulled = self._share(np.maximum(-normal, 0.0), "uplift")
        pressed = self._share(np.maximum(normal, 0.0), "downward")
        sheared = self._share(np.abs(np.asarray(along_n, dtype=np.float64)), "along_slope")
        e = self.interaction_exponent
        used: Floats = (np.maximum(pulled, pressed) ** e + sheared**e) ** (1 / e)
        return used

    def _share(self, force: Floats, direction: Direction) -> Floats:
        found = self.strength(direction)
        if found is not None:
            return force / found.at_height_n(self.load_height_mm)
        if not any(f.severity == "error" and f.code == f"no_strength_{direction}" for f in self.findings):
            return np.zeros_like(force)
        return np.where(force > 0, np.inf, 0.0)


def find_capacity(
    bracket: Bracket, sheet: Sheet, method: Method, place: Place = NOWHERE, use: Use | None = None
) -> Capacity:
    """Strengths of a bracket in a sheet.

    Args:
        bracket: with its tests and screws, as the book gives them.
        sheet: the roof's.
        method: "asd" gives allowable strengths, "lrfd" and "en" design strengths.
        place: what findings are about: the roof.
        use: how the bracket is used; without it every test serves, whatever it was made in.

    A direction without a usable test is an error finding that names the sheets with values; for forces in the
    plane it is a warning where the book has none for any sheet, and for downward ones where the screws are computed
    (the bracket then bears on the rib).
    """
    strengths: list[Strength] = []
    findings: list[Finding] = []
    for direction in LOADED:
        found, said = strength_by_test(bracket, sheet, method, direction, place, use)
        if found is None and bracket.screws is not None:
            computed, also = strength_by_screws(bracket, sheet, method, direction, place)
            found, said = computed, also if computed is not None or not bracket.tests else (*said, *also)
        if found is not None:
            strengths.append(found)
        findings += [f for f in said if f not in findings]
    by_test = [strength.direction for strength in strengths if strength.basis == "tests"]
    findings += about_tests(bracket, sheet, method, by_test, place, use)
    along = next((strength for strength in strengths if strength.direction == "along_slope"), None)
    if use is not None and along is not None and along.basis == "screws":
        findings.append(moment_not_checked(bracket, place, use))
    height = use.height_mm if use else 0.0
    return Capacity(
        bracket.part, sheet, method, tuple(strengths), bracket.interaction_exponent, tuple(findings), height
    )
