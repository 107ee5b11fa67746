"""What a calculation cites and combines, as facts: clauses of standards, and cases of load. Readers make the words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from estimator.sentences import Figure, Sentence, joined, say

ClauseKind = Literal["clause", "table", "figure", "figures", "equation", "chapter"]
Action = Literal["D", "G", "S", "W"]
"""Dead load (G in EN 1990), snow and wind, by the letter of the standard."""
Way = Literal["", "up", "down", "exceptional"]

_KINDS: dict[ClauseKind, Sentence] = {
    "table": say("Table"),
    "figure": say("Figure"),
    "figures": say("Figures"),
    "equation": say("Eq."),
    "chapter": say("chapter"),
}


@dataclass(frozen=True, slots=True)
class Clause:
    """A place in a standard: a clause, or a table, figure or equation of it.

    ``standard`` is empty where the sheet names it elsewhere; ``within`` is the clause a table belongs to;
    ``direction`` (theta, deg) and ``pitch_deg`` name the column of a table of pressure coefficients.

    >>> str(Clause("ASCE 7-22", "26.10-1", "table")), str(Clause("EN 1993-1-3", "8.2", "table", within="8.3"))
    ('ASCE 7-22 Table 26.10-1', 'EN 1993-1-3 8.3, Table 8.2')
    """

    standard: str
    number: str
    kind: ClauseKind = "clause"
    within: str = ""
    direction: str = ""
    pitch_deg: float | None = None

    @property
    def words(self) -> Sentence:
        """The clause as a sheet cites it."""
        said: list[str] = [self.standard] if self.standard else []
        said += [f"{self.within},"] if self.within else []
        said += [_KINDS[self.kind]] if self.kind in _KINDS else []
        if self.pitch_deg is None:
            return joined(" ", (*said, self.number))
        theta, pitch = f"theta = {self.direction},", Figure(f"{self.pitch_deg:g} deg", self.pitch_deg, "angle")
        return joined(" ", (*said, f"{self.number},", theta, pitch))

    def __str__(self) -> str:
        """The same in English."""
        return str(self.words)


Cited: TypeAlias = Clause | str
"""Where a number comes from: a clause, or in words: the job, the pricebook, a text of the pricebook."""


@dataclass(frozen=True, slots=True)
class Term:
    """One action within a case: its factor as the standard prints it (empty for one), and which way it acts."""

    factor: str
    action: Action
    way: Way = ""

    @property
    def words(self) -> Sentence:
        """The term as a sheet writes it."""
        load = Figure(f"{self.factor}{self.action}", 0.0, "formula")
        if self.way == "exceptional":
            return say("{load} exceptional", load=load)
        if self.way == "up":
            return say("{load} up", load=load)
        return say("{load} down", load=load) if self.way == "down" else joined("", (load,))


@dataclass(frozen=True, slots=True)
class LoadCase:
    """Actions that a standard lets act together. ``state`` is its code of the limit state: STR, EQU, ACC; empty else.

    >>> str(load_case("STR", ("0.9", "G"), ("1.5", "W", "up")))
    'STR 0.9G + 1.5W up'
    """

    state: str
    terms: tuple[Term, ...]

    @property
    def words(self) -> Sentence:
        """The case as a sheet writes it."""
        said: list[str] = [self.state] if self.state else []
        for number, term in enumerate(self.terms):
            said += ["+", term.words] if number else [term.words]
        return joined(" ", said)

    def __str__(self) -> str:
        """The same in English."""
        return str(self.words)


def load_case(state: str, *terms: tuple[str, Action] | tuple[str, Action, Way]) -> LoadCase:
    """A case from its terms: factor as printed, action, and which way it acts.

    >>> str(load_case("", ("", "D"), ("0.6", "W", "up")))
    'D + 0.6W up'
    """
    return LoadCase(state, tuple(Term(*term) for term in terms))


def as_formula(text: str) -> Figure:
    """A formula in the standard's symbols, its decimals ready for other countries.

    >>> as_formula("0.5 mu1 Ce Ct sk")
    '0.5 mu1 Ce Ct sk'
    """
    return Figure(text, 0.0, "formula")


Formula: TypeAlias = LoadCase | str
"""How a number came about: a case of load, a sentence, or a formula in the standard's symbols."""
