"""The span and cantilever limits in force where no loads are computed, and where each comes from."""

from __future__ import annotations

from estimator.attachment.records import Limits
from estimator.job import Job
from estimator.mounting.records import MountingChoice
from estimator.mounting.words import GIVEN
from estimator.sentences import Sentence, say

NO_RAIL = say("no rail")


def limits_for(job: Job, choice: MountingChoice) -> Limits:
    """Limits given in the job as given; else the least the pricebook allows the bracket and the rail; mm.

    Without a rail there is no cantilever: its limit is 0 and its source says so. Source: common practice, no source.
    """
    span, span_source = min(_span_limits(choice))
    asked = job.mounting
    overhang, overhang_source = 0.0, NO_RAIL
    if choice.rail is not None:
        overhang, overhang_source = choice.rail.max_cantilever_mm, say("rail {rail}", rail=choice.rail.rail)
    span_given, overhang_given = asked.max_span_mm is not None, asked.max_cantilever_mm is not None
    if asked.max_span_mm is not None:
        span, span_source = asked.max_span_mm, GIVEN
    if asked.max_cantilever_mm is not None:
        overhang, overhang_source = asked.max_cantilever_mm, GIVEN
    return Limits(span, overhang, span_source, overhang_source, span_given, overhang_given)


def _span_limits(choice: MountingChoice) -> list[tuple[float, Sentence]]:
    limits = [(choice.bracket.max_span_mm, say("bracket {bracket}", bracket=choice.bracket.part))]
    if choice.rail is not None:
        limits.append((choice.rail.max_span_mm, say("rail {rail}", rail=choice.rail.rail)))
    return limits
