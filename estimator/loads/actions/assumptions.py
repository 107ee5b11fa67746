"""Findings about what a job left open and the tool settled, and about coefficients that could not be confirmed."""

from __future__ import annotations

from collections.abc import Iterable

from estimator.errors import Finding
from estimator.loads.actions.curves import Coefficient
from estimator.loads.actions.steps import DOUBTFUL, MARK_WORDS
from estimator.places import Place
from estimator.sentences import Sentence, say

NOT_GIVEN = say("not given")
SITE_LOADS = Place(subject="loads")


def assumed(code: str, what: Sentence, taken: str) -> Finding:
    """A value the job does not give, and what is taken instead.

    >>> assumed("risk_category_assumed", say("risk category"), "II").message
    'risk category not given: II is used'
    """
    text = say("{what} not given: {value} is used", what=what, value=taken)
    return Finding(code, "note", text, SITE_LOADS, NOT_GIVEN, taken)


def no_snow_given() -> Finding:
    """The job names no ground snow."""
    text = say("ground snow not given: no snow is counted. Give 0 where no snow falls, or the ground snow of the site")
    return Finding("ground_snow_missing", "warning", text, SITE_LOADS, NOT_GIVEN, say("a number, 0 included"))


def snow_not_covered() -> Finding:
    """What snow may do beside lying on the roof, by any standard."""
    text = say(
        "snow sliding from a higher roof, drifts at parapets, steps and at the array's own edges, and snow gathered "
        "behind the array are not counted; ask an engineer where they can occur"
    )
    return Finding("snow_drift_not_covered", "note", text, SITE_LOADS)


def unconfirmed(coefficients: Iterable[Coefficient], where: Place) -> list[Finding]:
    """One warning for each table or figure whose numbers rest on one transcription or on memory."""
    sources = {c.source: c.mark for c in coefficients if c.mark in DOUBTFUL}
    return [
        Finding(
            "coefficient_unconfirmed",
            "warning",
            say(
                "{where}: {source} is {mark}; compare with the printed standard before relying on it",
                where=where,
                source=source,
                mark=MARK_WORDS[mark],
            ),
            where,
            MARK_WORDS[mark],
            say("found in two public records"),
        )
        for source, mark in sources.items()
    ]


def memory_note(code: str, what: Sentence, where: Place) -> Finding:
    """A rule that could not be confirmed in a public record of the standard."""
    text = say(
        "{where}: {what}, from memory of the standard; compare with the printed standard", where=where, what=what
    )
    return Finding(code, "note", text, where)
