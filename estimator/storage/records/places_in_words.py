"""How records of version 0.1 become records that name places as facts: it kept them in English words alone.

What a label of a run or a module edge says is read into facts; other words stay as they were said, in ``told``, so
that an override and the check it names, which were kept with the same words, still find each other.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import replace
from typing import Any

from estimator.places import NOWHERE, Place
from estimator.sentences import Sentence

Fields = dict[str, Any]
_RUN = re.compile(r"(.+) / (.+) / (row|column) (\d+)(?:, part (\d+))? / rail (\d+)")
_EDGE = re.compile(r"(.+) / (.+) / seam (\d+) / column (\d+)(?: / attachment (\d+))?")


def place_in(words: str) -> Place:
    """The place that version 0.1 put in words; seams counted from 0 then.

    >>> place_in("South / A / row 1, part 2 / rail 1").facts()
    {'roof': 'South', 'array': 'A', 'row': 1, 'section': 2, 'rail': 1}
    """
    run, edge = _RUN.fullmatch(words), _EDGE.fullmatch(words)
    if run:
        roof, array, direction, line, section, rail = run.groups()
        return Place(
            roof=roof,
            array=array,
            row=int(line) if direction == "row" else None,
            column=int(line) if direction == "column" else None,
            section=_number(section),
            rail=int(rail),
        )
    if edge:
        roof, array, seam, column, attachment = edge.groups()
        return Place(roof=roof, array=array, seam=int(seam) + 1, column=int(column), attachment=_number(attachment))
    return Place(told=told_of(words)) if words else NOWHERE


def told_of(text: str) -> str:
    """A text with the places its values name as facts, so that they are read in every language."""
    if not isinstance(text, Sentence):
        return text
    return Sentence(text.template, [(name, _value(value)) for name, value in text.values])


def _value(value: Any) -> Any:
    if isinstance(value, Sentence):
        return told_of(value)
    if type(value) is str and (_RUN.fullmatch(value) or _EDGE.fullmatch(value)):
        return place_in(value)
    return value


def _number(digits: str | None) -> int | None:
    return int(digits) if digits else None


def finding(fields: Fields) -> Fields:
    """A check with its place, which the message names where it held the same words."""
    place, message = place_in(fields.pop("where", "")), told_of(fields["message"])
    if place and isinstance(message, Sentence):
        values = [(name, place if str(value) == str(place) else value) for name, value in message.values]
        message = Sentence(message.template, values)
    elif place and str(place) in message:
        before, _, after = str(message).partition(str(place))
        message = Sentence("{before}{where}{after}", [("before", before), ("where", place), ("after", after)])
    return {**fields, "message": message, "place": place}


def override(fields: Fields) -> Fields:
    """An override of the check that was kept with the same words."""
    where = fields.pop("where")
    return {**fields, "place": place_in(where)}


def errors(fields: Fields) -> Fields:
    """The errors of another way to build the job."""
    return {**fields, "errors": tuple(told_of(each) for each in fields["errors"])}


def run(fields: Fields) -> Fields:
    """A run, or one that cannot be made, by its place instead of its label."""
    label = fields.pop("label")
    return {**fields, "place": place_in(label)}


def zone_use(fields: Fields) -> Fields:
    """The worst attachment of a zone: its run or module edge, and its number there."""
    where = fields.pop("where")
    values = dict(where.values) if isinstance(where, Sentence) else {}
    if set(values) == {"place", "number"}:
        return {**fields, "place": replace(place_in(str(values["place"])), attachment=int(str(values["number"])))}
    return {**fields, "place": place_in(where)}


def cut_plan(fields: Fields) -> Fields:
    """A cut plan by the places of its runs."""
    labels = fields.pop("run_labels")
    return {**fields, "run_places": tuple(place_in(label) for label in labels)}


def common_cut(fields: Fields) -> Fields:
    """A cut plan over several quotes: labels began with the quote's number and a stroke."""
    plan, places = fields["plan"], []
    for at, place in enumerate(fields["plan"].run_places):
        quote = fields["quotes"][bisect_right(fields["run_offsets"], at) - 1]
        named = place.roof.removeprefix(f"{quote}/")
        places.append(replace(place, quote=quote, roof=named) if named != place.roof else place)
    return {**fields, "plan": replace(plan, run_places=tuple(places))}


def estimate(fields: Fields) -> Fields:
    """Runs know their roof and array by number, whatever signs stand in the names."""
    setting_out, plan, job = fields["setting_out"], fields["cut_plan"], fields["job"]
    runs = []
    for each in setting_out.runs:
        roof = job.roofs[each.roof]
        runs.append(replace(each, place=replace(each.place, roof=roof.name, array=roof.arrays[each.array].name)))
    if plan is not None:
        plan = replace(plan, run_places=tuple(each.place for each in runs))
    return {**fields, "setting_out": replace(setting_out, runs=tuple(runs)), "cut_plan": plan}


def limits(fields: Fields) -> Fields:
    """Whether the job gives the limits, which the words of their sources said."""
    span, cantilever = (fields[name] == "given in the job" for name in ("span_source", "cantilever_source"))
    return {**fields, "span_given": span, "cantilever_given": cantilever}
