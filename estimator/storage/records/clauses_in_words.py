"""How records that kept clauses and cases of load in English words alone become records that keep them as facts.

What is no clause and no case of load (the job, the pricebook, formulas, an engineer's word) stays as it was said.
"""

from __future__ import annotations

import re
from typing import Any, cast

from estimator.loads.actions.clauses import Action, Clause, ClauseKind, LoadCase, Term, Way
from estimator.sentences import Sentence

Fields = dict[str, Any]
_STANDARD = r"ASCE 7(?:-\d\d)?|EN 199\d(?:-\d)*"
_KINDS: dict[str, ClauseKind] = {
    "": "clause",
    "Table ": "table",
    "Figure ": "figure",
    "Figures ": "figures",
    "Eq. ": "equation",
    "chapter ": "chapter",
}
_COLUMN = re.compile(rf"({_STANDARD}) Table ([\w.]+), theta = (\w+), (-?[\d.]+) deg")
_WITHIN = re.compile(rf"({_STANDARD}) ([\d.]+), (Table )([\w.]+)")
_CLAUSE = re.compile(rf"(?:({_STANDARD}) )?(|Table |Figures? |Eq\. |chapter )(\d[\w.()-]*(?: STR| EQU)?)")
_CASE = re.compile(r"(?:(STR|EQU|ACC) )?(.+)")
_TERM = re.compile(r"([\d.]*)([DGSW])(?: (up|down|exceptional))?")


def clause_in(words: str) -> Clause | str:
    """The clause that was put in words.

    >>> clause_in("EN 1991-1-4 Table 7.3a, theta = 0, 7.5 deg")
    Clause(standard='EN 1991-1-4', number='7.3a', kind='table', within='', direction='0', pitch_deg=7.5)
    >>> clause_in("EN 1990 6.10 STR").number, clause_in("pricebook")
    ('6.10 STR', 'pricebook')
    """
    if isinstance(words, Sentence):
        return words
    column, within, plain = _COLUMN.fullmatch(words), _WITHIN.fullmatch(words), _CLAUSE.fullmatch(words)
    if column:
        standard, number, theta, pitch = column.groups()
        return Clause(standard, number, "table", direction=theta, pitch_deg=float(pitch))
    if within:
        standard, clause, kind, number = within.groups()
        return Clause(standard, number, _KINDS[kind], within=clause)
    if plain:
        standard, kind, number = plain.groups()
        return Clause(standard or "", number, _KINDS[kind])
    return words


def case_in(words: str) -> LoadCase | str:
    """The case of load that was put in words.

    >>> str(case_in("EQU 0.9G + 1.5W up")), case_in("Kd qh")
    ('EQU 0.9G + 1.5W up', 'Kd qh')
    """
    said = None if isinstance(words, Sentence) else _CASE.fullmatch(words)
    if said is None:
        return words
    terms = [_TERM.fullmatch(each) for each in said[2].split(" + ")]
    found = tuple(Term(term[1], cast(Action, term[2]), cast(Way, term[3] or "")) for term in terms if term)
    return LoadCase(said[1] or "", found) if len(found) == len(terms) else words


def step(fields: Fields) -> Fields:
    """A line of a calculation: its clause, and the case of load it tells."""
    return {**fields, "formula": case_in(fields["formula"]), "clause": clause_in(fields["clause"])}


def cases(*names: str) -> Any:
    """Fields that hold cases of load."""
    return lambda fields: {**fields, **{name: case_in(fields[name]) for name in names}}
