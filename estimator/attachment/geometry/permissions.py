"""What a job has not permitted: silence about a clamping zone, or about who answers for a span, is no permission."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.errors import Finding
from estimator.job import Job
from estimator.mounting.records import MountingChoice
from estimator.places import Place
from estimator.sentences import Sentence, joined, say

_SIDES = {"long_side": say("long side"), "short_side": say("short side")}
_FIELDS = ("max_span", "max_cantilever", "spans_given_by")


def clamping_permissions(job: Job, choice: MountingChoice) -> Iterator[Finding]:
    """Module sides that would be clamped although no clamping zone allows it; one error for a side.

    Clamps stand on the side along y where rails lie across the ribs, else on the side along x. Source: makers' data
    sheets allow clamps in the zones they name and nowhere else (common practice, no source).
    """
    zone = job.module.clamping_zone
    if zone is None:
        text = say(
            "module {module}: no clamping zone is given (module.clamping_zone); where clamps may hold it is not known",
            module=job.module.name,
        )
        place = Place(subject="mounting", aspect="clamping_zone")
        yield Finding("clamping_zone_missing", "error", text, place, say("not given"))
        return
    on_y = choice.rail is not None and choice.rail_direction == "across_ribs"
    named = {"long_side": zone.long_side, "short_side": zone.short_side}
    sides = {_clamped(array.orientation == "portrait", on_y) for roof in job.roofs for array in roof.arrays}
    for side in sorted(side for side in sides if named[side] is None):
        text = say(
            "module {module}: the clamps stand on its {side}, for which no clamping zone is given "
            "(module.clamping_zone.{field}); a side that is not named may not be clamped",
            module=job.module.name,
            side=_SIDES[side],
            field=side,
        )
        place = Place(subject="mounting", aspect=side)
        yield Finding("side_not_clampable", "error", text, place, say("not given"))


def _clamped(portrait: bool, on_y: bool) -> str:
    return "long_side" if portrait == on_y else "short_side"


def spans_without_loads(job: Job, choice: MountingChoice) -> Finding:
    """What is said where no loads are computed: who gave the spans, or the error that nobody did.

    The error cannot be overridden: without loads and without a span that somebody answers for there is no setting-out
    to rely on.
    """
    mounting = job.mounting
    given: dict[str, object] = {"max_span": mounting.max_span_mm, "spans_given_by": mounting.spans_given_by}
    if choice.rail is not None:
        given["max_cantilever"] = mounting.max_cantilever_mm
    missing = [name for name in _FIELDS if name in given and not given[name]]
    place = Place(subject="loads")
    if not missing:
        text = say(
            "no loads are computed; spans and cantilevers given by {name} are used", name=mounting.spans_given_by
        )
        return Finding("loads_given", "note", text, place)
    return Finding("spans_without_loads", "error", _unanswered(missing), place)


def _unanswered(missing: list[str]) -> Sentence:
    return say(
        "no loads are given for the site, so a named person has to be responsible for the spans; not given under "
        "mounting: {fields}. Give the site's loads, or these",
        fields=joined(", ", missing),
    )
