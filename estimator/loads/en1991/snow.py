"""Snow on a roof by EN 1991-1-3: s = mu1 Ce Ct sk, on the horizontal projection, any unit of pressure."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.loads.actions.clauses import Clause, as_formula
from estimator.loads.actions.steps import Mark, Step
from estimator.sentences import say

STANDARD = "EN 1991-1-3"


def shape_mu1(slope_deg: float, held_back: bool = False) -> float:
    """Shape coefficient of an even slope: 0.8 up to 30 deg, falling to 0 at 60; never under 0.8 where snow is held.

    Args:
        slope_deg: pitch of the roof.
        held_back: whether a snow fence, a parapet or an array keeps the snow from sliding.

    Source: EN 1991-1-3:2003 Table 5.2 [found]; clause 5.3.2(2) [from memory].

    >>> [round(shape_mu1(a), 4) for a in (8.5, 35, 40, 45, 50, 60)]
    [0.8, 0.6667, 0.5333, 0.4, 0.2667, 0.0]
    >>> shape_mu1(45, held_back=True)
    0.8

    """
    free = min(0.8, max(0.0, 0.8 * (60.0 - slope_deg) / 30.0))
    return 0.8 if held_back else free


def shape_mu2(slope_deg: float) -> float:
    """Shape coefficient of a valley between slopes, up to 30 deg; 1.6 above. Source: EN 1991-1-3:2003 Table 5.2.

    >>> round(shape_mu2(15), 3), shape_mu2(40)
    (1.2, 1.6)
    """
    return 0.8 + 0.8 * min(slope_deg, 30.0) / 30.0


@dataclass(frozen=True, slots=True)
class EnSnow:
    """Snow load of one plane, same unit as ``sk``; ``flat`` is the load of a flat roof beside it."""

    sk: float
    mu1: float
    Ce: float
    Ct: float
    flat: float
    balanced: float
    drifted: float
    exceptional: float | None = None

    @property
    def governing(self) -> float:
        """The greatest load the plane carries in a persistent situation."""
        return max(self.balanced, self.drifted)


@dataclass(frozen=True, slots=True)
class EnSnowFactors:
    """Ce and Ct, whether the snow is held back, and the factor for exceptional snow if the place has any."""

    Ce: float = 1.0
    Ct: float = 1.0
    held_back: bool = True
    Cesl: float | None = None


def roof_snow(sk: float, slope_deg: float, factors: EnSnowFactors = EnSnowFactors()) -> EnSnow:
    """Snow on one plane: evenly on both slopes, and drifted (half of it on the other slope, all of it here or there).

    Source: EN 1991-1-3:2003 Equations 5.1 and 4.3, Figure 5.3 [found].

    >>> case = roof_snow(0.65, 5.7, EnSnowFactors(Cesl=2.0))
    >>> round(case.balanced, 3), round(case.exceptional or 0, 3)
    (0.52, 1.04)
    """
    mu1 = shape_mu1(slope_deg, factors.held_back)
    s = mu1 * factors.Ce * factors.Ct * sk
    flat = 0.8 * factors.Ce * factors.Ct * sk
    exceptional = None if factors.Cesl is None else s * factors.Cesl
    return EnSnow(sk, mu1, factors.Ce, factors.Ct, flat, s, 0.5 * s, exceptional)


def en_snow_steps(snow: EnSnow, factors: EnSnowFactors, Ce_mark: Mark, Ct_mark: Mark) -> tuple[Step, ...]:
    """The lines of the calculation sheet, N/m2."""
    held = say("snow held back by the array") if factors.held_back else say("snow free to slide")
    return (
        Step("sk", snow.sk, "N/m2", say("ground snow"), Clause(STANDARD, "4.1"), "given"),
        Step(
            "mu1", snow.mu1, "", held, Clause(STANDARD, "5.2", "table"), "from memory" if factors.held_back else "found"
        ),
        Step("Ce", snow.Ce, "", say("exposure"), Clause(STANDARD, "5.1", "table"), Ce_mark),
        Step("Ct", snow.Ct, "", say("thermal"), Clause(STANDARD, "5.2(8)"), Ct_mark),
        Step(say("s flat"), snow.flat, "N/m2", "0.8 Ce Ct sk", Clause(STANDARD, "5.1", "equation"), "computed"),
        Step("s", snow.balanced, "N/m2", "mu1 Ce Ct sk", Clause(STANDARD, "5.1", "equation"), "computed"),
        Step(
            say("s drifted"),
            snow.drifted,
            "N/m2",
            say("{formula} on one slope", formula=as_formula("0.5 mu1 Ce Ct sk")),
            Clause(STANDARD, "5.3", "figure"),
            "computed",
        ),
    )
