"""How much of its load a module gives to each rail under it: the module as a beam over its lines of support.

A module is taken as a beam of even stiffness under an even load, on lines that do not give way, its ends overhanging.
Two lines follow from equilibrium alone. Three need the three-moment equation; since rails do give way, the middle one
is checked for a third of the load at least, the outer ones for what statics gives them. Common practice, no source: two
lines placed evenly carry half each; three lines are not thirds.
"""

from __future__ import annotations

from dataclasses import dataclass

LEAST_OF_THE_MIDDLE = 1 / 3
"""The share of the load that the middle one of three rails is checked for at least [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class Share:
    """What one line carries of the load on a module, as a share of it.

    ``checked`` is the share the rail is checked for; ``reversed`` that of a load of the other sign (lines close
    together lift the module off the middle one), 0 for none; ``statics`` what the beam gives, negative where it lifts.
    """

    statics: float
    checked: float
    reversed: float


def module_shares(places: tuple[float, ...]) -> tuple[Share, ...]:
    """The shares of two or three lines at those places across a module, as shares of its extent, ascending.

    Two lines on one half of the module, as drawn beside an error, lift it off the outer one.

    >>> [round(each.statics, 3) for each in module_shares((0.346, 0.883))]
    [0.713, 0.287]
    >>> [round(each.statics, 3) for each in module_shares((0.22, 0.5, 0.78))]
    [0.455, 0.091, 0.455]
    """
    carried = [round(each, 12) for each in (_of_two(*places) if len(places) == 2 else _of_three(*places))]
    least = (0.0, LEAST_OF_THE_MIDDLE, 0.0) if len(places) == 3 else (0.0, 0.0)
    return tuple(Share(share, max(share, floor), max(-share, 0.0)) for share, floor in zip(carried, least, strict=True))


def _of_two(u1: float, u2: float) -> tuple[float, float]:
    first = (u2 - 0.5) / (u2 - u1)
    return first, 1.0 - first


def _of_three(u1: float, u2: float, u3: float) -> tuple[float, float, float]:
    """Three supports under an even load of 1: M1 and M3 from the overhangs, M2 by the three-moment equation."""
    L1, L2, overhang = u2 - u1, u3 - u2, 1.0 - u3
    M1, M3 = -(u1**2) / 2, -(overhang**2) / 2
    M2 = (-(L1**3 + L2**3) / 4 - M1 * L1 - M3 * L2) / (2 * (L1 + L2))
    first = u1 + L1 / 2 + (M2 - M1) / L1
    last = overhang + L2 / 2 + (M2 - M3) / L2
    return first, 1.0 - first - last, last
