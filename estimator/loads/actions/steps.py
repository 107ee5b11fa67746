"""One line of a calculation sheet: symbol, value, unit, formula, clause, and how far the number can be trusted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.loads.actions.clauses import Cited, Formula
from estimator.sentences import Sentence, say

Mark = Literal["found", "found once", "computed", "from memory", "given", "assumed"]
"""Where a number comes from.

``found``: confirmed in public records of the standard; ``found once``: one transcription only; ``computed``: follows
from the formula beside it; ``from memory``: not confirmed, to be checked in the standard; ``given``: the job's own
value; ``assumed``: the tool's default, because the job left it open.
"""

MARK_WORDS: dict[Mark, Sentence] = {
    "found": say("found"),
    "found once": say("found once"),
    "computed": say("computed"),
    "from memory": say("from memory"),
    "given": say("given"),
    "assumed": say("assumed"),
}
DOUBTFUL: frozenset[Mark] = frozenset({"found once", "from memory"})


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the calculation. ``symbol`` is written as the standard writes it; ``value`` is in ``unit``."""

    symbol: str
    value: float | str
    unit: str
    formula: Formula
    clause: Cited
    mark: Mark
    note: str = ""


@dataclass(frozen=True, slots=True)
class Sourced:
    """A factor with the place it was taken from."""

    value: float
    mark: Mark
    source: str
