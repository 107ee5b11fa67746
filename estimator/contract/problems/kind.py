"""What a kind of problem is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ProblemKind:
    """One kind of problem; its type URI is ``/problems/<name>``."""

    status: int
    name: str
    title: str
    meaning: str
    remedy: str
