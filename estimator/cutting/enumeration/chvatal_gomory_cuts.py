"""Rows that every whole plan keeps and the program's optimum breaks: sums of its rows, rounded up.

Rows a x >= b taken u times each (u >= 0) add up to a row that x keeps; as x is whole and not below 0, x keeps it as
well when every number of it is rounded up. The times u come from the inverse of the program's basis; they are turned
into whole numbers over one denominator, so that nothing rests on floating point.
Source: Gomory, Bull. Am. Math. Soc. 64 (1958) 275; Chvatal, Discrete Mathematics 4 (1973) 305.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from estimator.cutting.enumeration.restricted_master import MANY, RestrictedMaster
from estimator.cutting.highs import Floats, Ints
from estimator.cutting.tuning import ENUMERATION

CLOSE = 1e-7
FEWEST_PARTS = 2


@dataclass(frozen=True, slots=True)
class ChvatalGomoryCut:
    """Every listed pattern counts so many `times`, and together they make at least `least`."""

    times: Ints
    least: int


def chvatal_gomory_cuts(pool: RestrictedMaster) -> list[ChvatalGomoryCut]:
    """Rows that the last optimum breaks most for their length, none where it is whole or breaks none."""
    rows, use = pool.rows_inside()
    asked = pool.asked_of_all()
    found: dict[tuple[bytes, int], tuple[float, int, Ints, int, int]] = {}
    for shares, denominator in _weights(pool):
        times = -(-(shares @ rows) // denominator)
        least = -(-_together(asked, shares) // denominator)
        length = float(np.linalg.norm(times))
        broken = least - float(times @ use)
        if broken > ENUMERATION.broken and length > 0 and np.abs(times).max() < ENUMERATION.largest:
            key = (shares.tobytes(), denominator)
            found.setdefault(key, (-broken / length, len(found), shares, denominator, least))
    chosen = sorted(found.values(), key=lambda each: each[:2])[: ENUMERATION.cuts_a_round]
    return [ChvatalGomoryCut(-(-pool.summed(shares) // parts), least) for _, _, shares, parts, least in chosen]


def _together(asked: tuple[list[int], list[int]], shares: Ints) -> int:
    """What the rows taken so often ask for together; a row taken less than 0 times is asked for its most."""
    least, most = asked
    return sum(n * (least[i] if n > 0 else most[i]) for i, n in enumerate(shares.tolist()) if n)


def _weights(pool: RestrictedMaster) -> Iterator[tuple[Ints, int]]:
    """How often to take every row, in whole parts of a denominator; below 0 where its most is to be kept."""
    low, most = pool.at_least(), pool.asked_of_all()[1]
    endless = np.array([high >= MANY for high in most])
    for inverse in pool.broken_rows(ENUMERATION.basis_rows):
        denominator = _denominator(inverse)
        if denominator < FEWEST_PARTS:
            continue
        whole = np.rint(inverse * denominator).astype(np.int64)
        for multiple in ENUMERATION.multiples:
            shares = whole * multiple % denominator
            shares[~low & (shares > 0)] -= denominator
            if not np.any(endless & (shares < 0)):
                yield shares, denominator


def _denominator(values: Floats) -> int:
    """The least denominator over which all values are whole numbers; 0 where it is large.

    >>> _denominator(np.array([0.5, 1.0, -2 / 3]))
    6
    """
    found = 1
    while True:
        parts = values * found
        off = np.abs(parts - np.rint(parts))
        broken = np.flatnonzero(off > CLOSE * found)
        if not broken.size:
            return found
        tries = parts[broken[0]] * np.arange(1, ENUMERATION.most_parts // found + 1, dtype=np.float64)
        fits = np.flatnonzero(np.abs(tries - np.rint(tries)) < CLOSE * found * np.arange(1, len(tries) + 1))
        if not fits.size or not fits[0]:
            return 0
        found *= int(fits[0]) + 1
