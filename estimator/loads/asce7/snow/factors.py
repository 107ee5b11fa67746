"""Factors of ASCE 7 chapter 7: importance Is, exposure Ce, thermal Ct, slope Cs. Loads in psf, slopes in degrees."""

from __future__ import annotations

from estimator.errors import LoadsRefused
from estimator.loads.asce7.edition import Edition
from estimator.sentences import say

RISK_CATEGORIES = ("I", "II", "III", "IV")
ROOF_EXPOSURES = ("fully", "partially", "sheltered")

_IS = {"I": 0.8, "II": 1.0, "III": 1.1, "IV": 1.2}
_CE = {
    "B": {"fully": 0.9, "partially": 1.0, "sheltered": 1.2},
    "C": {"fully": 0.9, "partially": 1.0, "sheltered": 1.1},
    "D": {"fully": 0.8, "partially": 0.9, "sheltered": 1.0},
    "above tree line": {"fully": 0.7, "partially": 0.8},
}
_CT_PG = (10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0)
_CT_R = (20.0, 30.0, 40.0, 50.0)
_CT_7_22 = (
    (1.20, 1.11, 1.05, 1.01, 1.00, 1.00, 1.00),
    (1.20, 1.17, 1.14, 1.13, 1.12, 1.11, 1.10),
    (1.20, 1.19, 1.17, 1.16, 1.16, 1.15, 1.15),
    (1.20, 1.20, 1.19, 1.19, 1.19, 1.18, 1.18),
)


def importance(risk_category: str) -> float:
    """Snow importance factor Is of ASCE 7-16; 7-22 has none, its ground snow is mapped per risk category.

    Source: ASCE 7-16 Table 1.5-2 [found].

    >>> importance("III")
    1.1
    """
    if risk_category not in _IS:
        raise LoadsRefused(
            say(
                "risk category {risk_category} is unknown; allowed: I, II, III or IV (ASCE 7 Table 1.5-1)",
                risk_category=repr(risk_category),
            )
        )
    return _IS[risk_category]


def roof_exposure(word: str) -> str:
    """The roof's exposure as the table names it, without the word "exposed".

    >>> roof_exposure("partially_exposed"), roof_exposure("sheltered")
    ('partially', 'sheltered')
    """
    return word.replace("_", " ").removesuffix(" exposed")


def exposure_factor(terrain: str, roof: str) -> float:
    """Exposure factor Ce by terrain (B, C, D, or above tree line) and by how open the roof lies.

    Source: ASCE 7-16 and 7-22 Table 7.3-1 [found].

    >>> exposure_factor("B", "sheltered"), exposure_factor("D", "fully")
    (1.2, 0.8)
    """
    row = _CE.get(terrain)
    if row is None or roof not in row:
        raise LoadsRefused(
            say(
                "snow exposure {roof} in terrain {terrain} is unknown; allowed: fully, partially or sheltered, "
                "in B, C or D, or above tree line (not sheltered)",
                roof=repr(roof),
                terrain=repr(terrain),
            )
        )
    return row[roof]


def Ct_heated_7_22(pg_psf: float, R: float) -> float:
    """Thermal factor of a heated roof by ground snow and roof insulation R (ft2 h F / BTU), straight between rows.

    Above R 50 it is 1.20. Under R 20 the row of R 20 is not on the safe side of the table's trend being unknown there:
    it is taken as printed, which gives the least Ct the table has.
    Source: ASCE 7-22 Table 7.3-3 [found].

    >>> Ct_heated_7_22(30, 30), round(Ct_heated_7_22(27.5, 20), 4), round(Ct_heated_7_22(35, 25), 4)
    (1.14, 1.065, 1.0825)
    >>> Ct_heated_7_22(80, 55)
    1.2
    """
    if _CT_R[-1] < R:
        return 1.20
    columns = [_straight(pg_psf, _CT_PG, row) for row in _CT_7_22]
    return round(_straight(R, _CT_R, columns), 12)


def _straight(at: float, places: tuple[float, ...], values: tuple[float, ...] | list[float]) -> float:
    if at <= places[0]:
        return values[0]
    for low, high, v_low, v_high in zip(places, places[1:], values, values[1:], strict=False):
        if at <= high:
            return v_low + (v_high - v_low) * (at - low) / (high - low)
    return values[-1]


def knee_deg(Ct: float, slippery: bool, edition: Edition) -> float:
    """The slope up to which Cs is 1: 5 / 10 / 15 deg for slippery, 30 / 37.5 / 45 deg for other surfaces.

    Which of the three panels applies depends on Ct and on the edition; 7-16 prints panels for Ct up to 1.0, 1.1 and
    from 1.2, and a value between takes the colder panel.
    Source: ASCE 7-16 and 7-22 Figure 7.4-1 [found].

    >>> knee_deg(1.1, False, "7-16"), knee_deg(1.1, False, "7-22"), knee_deg(1.2, True, "7-16")
    (37.5, 30.0, 15.0)
    """
    warm, middle = (Ct <= 1.0, Ct <= 1.1) if edition == "7-16" else (Ct <= 1.1, Ct < 1.2)
    if warm:
        return 5.0 if slippery else 30.0
    if middle:
        return 10.0 if slippery else 37.5
    return 15.0 if slippery else 45.0


def slope_factor(slope_deg: float, Ct: float, slippery: bool, edition: Edition) -> float:
    """Slope factor Cs: 1 up to the knee, straight down to 0 at 70 deg.

    Source: ASCE 7-16 and 7-22 Figure 7.4-1 [found].

    >>> round(slope_factor(18.435, 1.2, True, "7-16"), 5)
    0.93755
    >>> slope_factor(14.036, 1.2, False, "7-16")
    1.0
    """
    knee = knee_deg(Ct, slippery, edition)
    return min(1.0, max(0.0, (70.0 - slope_deg) / (70.0 - knee)))
