"""The engine's rounding, written as a formula."""

from __future__ import annotations

from estimator.money import Rounding


def rounded(expression: str, places: int, rounding: Rounding) -> str:
    """The expression rounded to so many places as the book rounds.

    Spreadsheets round halves away from nothing, which is half up for amounts. Half to even takes a second look: where
    the scaled amount modulo two is one half, the even neighbour lies below. Common practice, no source.

    >>> rounded("A1*B1", 2, "half_up")
    'ROUND(A1*B1,2)'
    >>> rounded("A1", 2, "half_even")
    'IF(ROUND(MOD(ABS(A1)*100,2),7)=0.5,ROUNDDOWN(A1,2),ROUND(A1,2))'
    """
    if rounding == "half_up":
        return f"ROUND({expression},{places})"
    scaled = f"ABS({expression})*{10**places}"
    return f"IF(ROUND(MOD({scaled},2),7)=0.5,ROUNDDOWN({expression},{places}),ROUND({expression},{places}))"
