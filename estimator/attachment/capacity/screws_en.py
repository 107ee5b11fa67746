"""Screws in thin sheet by EN 1993-1-3 clause 8.3 (Table 8.2), design resistance of one screw, N and mm.

0.5 and 0.65, and the range, are found in public records; 0.45, the bearing formula and gamma_M2 from memory.
"""

from __future__ import annotations

from math import sqrt

from estimator.sentences import Figure, Sentence, figure, say

GAMMA_M2 = 1.25


def pull_through_n(d_w_mm: float, t_mm: float, f_u_mpa: float, repeated_wind: bool = True) -> float:
    """F_p,Rd of the sheet under the head or washer; half under repeated wind.

    >>> round(pull_through_n(14, 0.63, 360), 1), round(pull_through_n(14, 0.63, 360, repeated_wind=False), 1)
    (1270.1, 2540.2)
    """
    return (0.5 if repeated_wind else 1.0) * d_w_mm * t_mm * f_u_mpa / GAMMA_M2


def pull_out_n(d_mm: float, t_sup_mm: float, f_u_mpa: float, pitch_mm: float | None = None) -> float:
    """F_o,Rd out of the supporting sheet; 0.65 where it is at least as thick as the thread's pitch, else 0.45.

    Without a pitch the sheet counts as the thinner.

    >>> round(pull_out_n(6.3, 0.63, 360), 1), round(pull_out_n(6.3, 2.0, 360, 1.8), 1)
    (514.4, 2358.7)
    """
    share = 0.65 if pitch_mm is not None and t_sup_mm >= pitch_mm else 0.45
    return share * d_mm * t_sup_mm * f_u_mpa / GAMMA_M2


def bearing_n(d_mm: float, thinner_mm: float, thicker_mm: float, f_u_mpa: float) -> float:
    """F_b,Rd = alpha f_u d t / gamma_M2 of the thinner sheet [from memory].

    alpha = 3.2 sqrt(t/d), at most 2.1, for sheets of one thickness or a thinner one below 1.0 mm; 2.1 for a thinner one
    from 1.0 mm on a part at least 2.5 times as thick; between, linear.

    >>> round(bearing_n(6.3, 0.63, 1.5, 360), 1)
    1156.7
    """
    tilting = min(3.2 * sqrt(thinner_mm / d_mm), 2.1)
    alpha = tilting
    if thinner_mm >= 1.0:
        share = min(max((thicker_mm / thinner_mm - 1.0) / 1.5, 0.0), 1.0)
        alpha = tilting + (2.1 - tilting) * share
    return alpha * f_u_mpa * d_mm * thinner_mm / GAMMA_M2


def outside_range(d_mm: float, t_mm: float, t_sup_mm: float) -> tuple[Sentence, ...]:
    """What lies outside the range the formulas are given for; empty where nothing does.

    >>> outside_range(6.3, 0.63, 1.5)
    ()
    >>> outside_range(9.0, 0.63, 1.5)
    ('screw diameter 9 mm, allowed 3 to 8 mm',)
    """
    d, t, t_sup = (figure(each, "g", " mm") for each in (d_mm, t_mm, t_sup_mm))
    least, most, thin, thick, held = figure(3), figure(8, "", " mm"), figure(0.5), figure(1.5, "", " mm"), "0.9 mm"
    checks = (
        (3.0 <= d_mm <= 8.0, say("screw diameter {found}, allowed {least} to {most}", found=d, least=least, most=most)),
        (
            0.5 <= t_mm <= 1.5,
            say("sheet under the head {found}, allowed {least} to {most}", found=t, least=thin, most=thick),
        ),
        (
            t_sup_mm >= 0.9,
            say("sheet the screw holds in {found}, allowed {least} and up", found=t_sup, least=Figure(held, 0.9)),
        ),
    )
    return tuple(text for holds, text in checks if not holds)
