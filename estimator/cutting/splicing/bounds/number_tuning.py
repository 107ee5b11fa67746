"""Parameters of proofs over numbers of bars, found by trial on small jobs of both fixture books; no other source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NumberTuning:
    """Numbers of bars looked at one by one, and what proofs over stretches are reckoned at."""

    listed: int = 60_000
    """Numbers of bars at most that are gone through: 6 MB."""
    stretches: int = 100
    """Length (tenths) of the stretches of proofs for one number of bars."""
    members: int = 20
    """Kinds of members at most for any to be looked at: three jobs with 27 or 28 won nothing, at a second each."""
    looked_at: int = 16
    """Numbers of bars looked at with their own prices at most ..."""
    work: int = 25
    """... and the work of that."""
    pairs: int = 500_000
    """Pairs of joints looked at that are one unit of work."""


NUMBERS = NumberTuning()
