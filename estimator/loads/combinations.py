"""How dead load, snow and wind act together: ASCE 7 allowable stress and strength design, EN 1990 expression 6.10.

On a panel there is no live load. Wind acts normal to the roof; dead load and snow also push down the slope.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.loads.steps import Mark
from estimator.loads.velocity_asce import Edition
from estimator.sentences import say

WindSide = Literal["none", "up", "down"]
Method = Literal["asd", "lrfd", "en"]


@dataclass(frozen=True, slots=True)
class Combination:
    """Factors on dead load D, snow S and wind W (uplift or downward)."""

    name: str
    D: float
    S: float
    W: float
    wind: WindSide
    clause: str
    mark: Mark = "found"


def asce_asd(edition: Edition) -> tuple[Combination, ...]:
    """Allowable stress combinations that act on a panel.

    Source: ASCE 7-16 clause 2.4.1 [found]; 7-22 with 0.7 S, its snow being of strength level [found].

    >>> [c.name for c in asce_asd("7-16")]
    ['D', 'D + S', 'D + 0.6W down', 'D + 0.45W down + 0.75S', 'D + 0.45W up + 0.75S', 'D + 0.6W up', '0.6D + 0.6W up']
    """
    clause = f"ASCE {edition} 2.4.1"
    s, companion = (1.0, 0.75) if edition == "7-16" else (0.7, 0.525)
    S, part = ("S", "0.75S") if edition == "7-16" else ("0.7S", "0.525S")
    return (
        Combination("D", 1.0, 0.0, 0.0, "none", clause),
        Combination(f"D + {S}", 1.0, s, 0.0, "none", clause),
        Combination("D + 0.6W down", 1.0, 0.0, 0.6, "down", clause),
        Combination(f"D + 0.45W down + {part}", 1.0, companion, 0.45, "down", clause),
        Combination(f"D + 0.45W up + {part}", 1.0, companion, 0.45, "up", clause),
        Combination("D + 0.6W up", 1.0, 0.0, 0.6, "up", clause),
        Combination("0.6D + 0.6W up", 0.6, 0.0, 0.6, "up", clause),
    )


def asce_lrfd(edition: Edition) -> tuple[Combination, ...]:
    """Strength combinations that act on a panel.

    Source: ASCE 7-16 clause 2.3.1 [found]; 7-22 with 1.0 S [found] and 0.3 S beside wind [from memory].

    >>> [c.name for c in asce_lrfd("7-22")][1:3]
    ['1.2D + 1.0S + 0.5W down', '1.2D + 1.0W down + 0.3S']
    """
    clause = f"ASCE {edition} 2.3.1"
    s, companion = (1.6, 0.5) if edition == "7-16" else (1.0, 0.3)
    mark: Mark = "found" if edition == "7-16" else "from memory"
    return (
        Combination("1.4D", 1.4, 0.0, 0.0, "none", clause),
        Combination(f"1.2D + {s:.1f}S + 0.5W down", 1.2, s, 0.5, "down", clause),
        Combination(f"1.2D + 1.0W down + {companion:.1f}S", 1.2, companion, 1.0, "down", clause, mark),
        Combination(f"1.2D + {s:.1f}S + 0.5W up", 1.2, s, 0.5, "up", clause),
        Combination(f"1.2D + 1.0W up + {companion:.1f}S", 1.2, companion, 1.0, "up", clause, mark),
        Combination(f"1.2D + {s:.1f}S", 1.2, s, 0.0, "none", clause),
        Combination("0.9D + 1.0W up", 0.9, 0.0, 1.0, "up", clause),
    )


@dataclass(frozen=True, slots=True)
class PartialFactors:
    """Partial and combination factors of EN 1990, each a national choice; the recommended values stand here."""

    gamma_g_sup: float = 1.35
    gamma_g_inf: float = 1.0
    gamma_g_sup_equ: float = 1.1
    gamma_g_inf_equ: float = 0.9
    gamma_q: float = 1.5
    psi_0_wind: float = 0.6
    psi_0_snow: float = 0.5


def en_ultimate(f: PartialFactors) -> tuple[Combination, ...]:
    """Combinations of the ultimate limit states: strength (STR, set B) and loss of equilibrium (EQU, set A).

    Source: EN 1990:2002 expression 6.10, Tables A1.2(A) [from memory] and A1.2(B) [found].

    >>> [(c.name, c.D) for c in en_ultimate(PartialFactors())][-1]
    ('EQU 0.9G + 1.5W up', 0.9)
    """
    Q, S0, W0 = f.gamma_q, f.gamma_q * f.psi_0_snow, f.gamma_q * f.psi_0_wind
    str_, equ = "EN 1990 6.10 STR", "EN 1990 6.10 EQU"
    G, g = f.gamma_g_sup, f.gamma_g_inf
    E, e = f.gamma_g_sup_equ, f.gamma_g_inf_equ
    return (
        Combination(f"STR {G:g}G", G, 0.0, 0.0, "none", str_),
        Combination(f"STR {G:g}G + {Q:g}S", G, Q, 0.0, "none", str_),
        Combination(f"STR {G:g}G + {Q:g}S + {W0:g}W down", G, Q, W0, "down", str_),
        Combination(f"STR {G:g}G + {Q:g}W down + {S0:g}S", G, S0, Q, "down", str_),
        Combination(f"STR {g:g}G + {Q:g}W up", g, 0.0, Q, "up", str_),
        Combination(f"EQU {E:g}G + {Q:g}S + {W0:g}W down", E, Q, W0, "down", equ, "from memory"),
        Combination(f"EQU {e:g}G + {Q:g}W up", e, 0.0, Q, "up", equ, "from memory"),
    )


def en_exceptional(Cesl: float) -> Combination:
    """Exceptional snow as an accidental action: nothing factored, the snow times Cesl.

    Source: EN 1990:2002 expression 6.11b, EN 1991-1-3:2003 Equation 4.3 [found].

    >>> en_exceptional(2.0).S
    2.0
    """
    return Combination(f"ACC G + {Cesl:g}S exceptional", 1.0, Cesl, 0.0, "none", "EN 1990 6.11b")


def asce_service(edition: Edition, wind: float = 0.6) -> tuple[Combination, ...]:
    """Combinations for deflection: unfactored dead load and snow, wind times ``wind``.

    0.6 brings the mapped wind speed to allowable level. Source: common practice, no source; a smaller factor that some
    codes allow for deflection can be given.

    >>> [c.name for c in asce_service("7-16")]
    ['D + S', 'D + 0.6W down', 'D + 0.45W down + 0.75S', 'D + 0.6W up']
    """
    s = 1.0 if edition == "7-16" else 0.7
    clause = say("deflection")
    return (
        Combination("D + S" if s == 1 else f"D + {s:g}S", 1.0, s, 0.0, "none", clause),
        Combination(f"D + {wind:g}W down", 1.0, 0.0, wind, "down", clause),
        Combination(f"D + {0.75 * wind:g}W down + {0.75 * s:g}S", 1.0, 0.75 * s, 0.75 * wind, "down", clause),
        Combination(f"D + {wind:g}W up", 1.0, 0.0, wind, "up", clause),
    )


def en_service(f: PartialFactors) -> tuple[Combination, ...]:
    """Characteristic combinations for deflection. Source: EN 1990:2002 expression 6.14b [found].

    >>> [c.name for c in en_service(PartialFactors())]
    ['G + S + 0.6W down', 'G + W down + 0.5S', 'G + S', 'G + W up']
    """
    clause = "EN 1990 6.14b"
    return (
        Combination(f"G + S + {f.psi_0_wind:g}W down", 1.0, 1.0, f.psi_0_wind, "down", clause),
        Combination(f"G + W down + {f.psi_0_snow:g}S", 1.0, f.psi_0_snow, 1.0, "down", clause),
        Combination("G + S", 1.0, 1.0, 0.0, "none", clause),
        Combination("G + W up", 1.0, 0.0, 1.0, "up", clause),
    )


_ENGINEER = say("given by an engineer")
GIVEN = (
    Combination(say("given, uplift"), 0.0, 0.0, 1.0, "up", _ENGINEER, "given"),
    Combination(say("given, downward"), 0.0, 0.0, 1.0, "down", _ENGINEER, "given"),
)
"""Pressures from an engineer are design pressures already: nothing is added and nothing is factored."""
