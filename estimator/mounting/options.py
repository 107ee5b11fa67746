"""Every way to mount a job that its choices and the pricebook leave open, and why the others fall away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from estimator.arrangements import PROPERTIES
from estimator.errors import Fault, Finding, MountingRefused
from estimator.job import ARRANGEMENTS, MATERIALS, Arrangement, Choices, Job, Material
from estimator.mounting.fit import Aspect, misfits
from estimator.mounting.given_parts import GivenParts, given_parts, stocks_of
from estimator.mounting.records import MountingChoice
from estimator.mounting.words import GIVEN, MATERIAL_WORDS
from estimator.places import Place
from estimator.pricebook import Book, Bracket, Clamp, Rail, splice_for
from estimator.sentences import Sentence, joined, placed, say
from estimator.units import DisplayUnits, as_text

_CLAMPS = {"mid_clamp": say("mid clamp"), "end_clamp": say("end clamp")}


@dataclass(frozen=True, slots=True)
class Unfit:
    """An option that falls away: a bracket, rail or clamp, which one, why, and the pointer to what it fails on."""

    subject: Literal["bracket", "rail", "mid_clamp", "end_clamp"]
    option: str
    why: Sentence
    pointer: str


@dataclass(frozen=True, slots=True)
class _OptionSearch:
    """The job, the book, what is given, and what was found to fall away."""

    job: Job
    book: Book
    given: GivenParts
    unfit: dict[Unfit, None] = field(default_factory=dict)

    def drop(self, subject: Literal["bracket", "rail"], option: str, why: Sentence, pointer: str) -> None:
        self.unfit[Unfit(subject, option, why, pointer)] = None


def mounting_choices(
    job: Job, book: Book, choices: Choices
) -> tuple[tuple[MountingChoice, ...], tuple[Finding, ...], tuple[Unfit, ...]]:
    """All combinations of arrangement, material, bracket and rail that fit every roof; findings; what fell away.

    Choices of the quote win over the job's, these over the book's defaults. What is given is kept even where it does
    not fit, and an error says so. Errors: ChoiceRefused where a thing given is not in the book, or two things given
    contradict; MountingRefused where nothing fits (a fault for every option that falls away).
    """
    search = _OptionSearch(job, book, given_parts(job, book, choices))
    given = search.given
    mountings = [
        choice
        for arrangement in (ARRANGEMENTS if given.arrangement is None else (given.arrangement,))
        for material in (MATERIALS if given.material is None else (given.material,))
        for choice in _of_kind(search, arrangement, material)
    ]
    if not mountings:
        faults = [Fault(each.pointer, each.why) for each in search.unfit]
        nothing = Fault(
            "/mounting", say("pricebook {book} has no bracket for this arrangement and material", book=book.id)
        )
        raise MountingRefused(say("no mounting is possible for this job"), faults or [nothing])
    return tuple(mountings), (*given.findings, *_given_findings(search)), tuple(search.unfit)


def _of_kind(search: _OptionSearch, arrangement: Arrangement, material: Material) -> Iterator[MountingChoice]:
    clamps = [_clamp(search, kind, arrangement, material) for kind in ("mid_clamp", "end_clamp")]
    mid, end = clamps
    if mid is None or end is None:
        return
    for bracket in _brackets(search, arrangement, material):
        for rail in _rails(search, arrangement, material, bracket):
            yield _choice(search, arrangement, material, bracket, rail, mid, end)


def _choice(
    search: _OptionSearch,
    arrangement: Arrangement,
    material: Material,
    bracket: Bracket,
    rail: Rail | None,
    mid: Clamp,
    end: Clamp,
) -> MountingChoice:
    mounting, defaults = search.job.mounting, search.book.defaults
    position, overhang = mounting.clamping_position, mounting.rail_overhang_mm
    return MountingChoice(
        arrangement=arrangement,
        rail_direction=mounting.rail_direction or defaults.rail_direction,
        material=material,
        bracket=bracket,
        rail=rail,
        stocks=stocks_of(rail, search.given.stock_lengths_mm) if rail else (),
        mid_clamp=mid,
        end_clamp=end,
        rails_per_row=mounting.rails_per_row,
        clamping_position=defaults.clamping_position if position is None else position,
        rail_overhang_mm=defaults.rail_overhang_mm if overhang is None else overhang,
        stagger=mounting.stagger,
        expansion_splice=splice_for(search.book, rail.rail, "expansion_splice") if rail else None,
    )


def _brackets(search: _OptionSearch, arrangement: Arrangement, material: Material) -> Iterator[Bracket]:
    """The bracket given, or every one of that material that is made for the arrangement and fits every roof."""
    if search.given.bracket is not None:
        if arrangement in search.given.bracket.heights_mm:
            yield search.given.bracket
        return
    for bracket in search.book.brackets.values():
        if bracket.material != material or arrangement not in bracket.heights_mm:
            continue
        why = [(i, each) for i, roof in enumerate(search.job.roofs) for each in misfits(bracket, roof, _units(search))]
        for i, each in why:
            said = placed(search.job.roofs[i].name, each.words)
            search.drop("bracket", bracket.part, said, f"/roofs/{i}/{_FIELDS[each.aspect]}")
        if not why:
            yield bracket


def _units(search: _OptionSearch) -> DisplayUnits:
    return search.job.display_units


_FIELDS: dict[Aspect, str] = {
    "crown_width": "ribs/crown_width",
    "rib_height": "ribs/height",
    "web_angle": "ribs/web_angle",
    "sheet_material": "sheet/material",
    "sheet_thickness": "sheet/thickness",
}
"""The field of a roof in the posted job that a bracket does not fit."""


def _rails(
    search: _OptionSearch, arrangement: Arrangement, material: Material, bracket: Bracket
) -> Iterator[Rail | None]:
    """None without rail; the rail given, or every one of that material that arrangement and bracket take."""
    if not PROPERTIES[arrangement].has_rail:
        yield None
        return
    given = search.given.rail
    rails = [given] if given else [rail for rail in search.book.rails.values() if rail.material == material]
    for rail in rails:
        if arrangement not in rail.arrangements:
            continue
        takes = not bracket.rails or rail.rail in bracket.rails
        if not takes and not (given and search.given.bracket):
            why = say("bracket {bracket} does not take rail {rail}", bracket=bracket.part, rail=rail.rail)
            search.drop("rail", rail.rail, why, "/mounting/rail")
        elif not stocks_of(rail, search.given.stock_lengths_mm):
            why = say("rail {rail} is not sold in any of the requested bar lengths", rail=rail.rail)
            search.drop("rail", rail.rail, why, "/mounting/stock_lengths")
        else:
            yield rail


def _clamp(
    search: _OptionSearch, kind: Literal["mid_clamp", "end_clamp"], arrangement: Arrangement, material: Material
) -> Clamp | None:
    """The cheapest clamp whose frame range takes the module's thickness in that arrangement and material."""
    frame = search.job.module.thickness_mm
    serving = [
        clamp
        for clamp in search.book.clamps
        if clamp.kind == kind
        and clamp.material in (None, material)
        and (not clamp.arrangements or arrangement in clamp.arrangements)
    ]
    fitting = [clamp for clamp in serving if clamp.frame_mm[0] - 0.001 <= frame <= clamp.frame_mm[1] + 0.001]
    if fitting:
        return min(fitting, key=lambda clamp: (search.book.parts[clamp.part].cost, clamp.part))
    name = kind.replace("_", " ")
    found = as_text(frame, "length", _units(search))
    takes = joined("; ", (_takes(search, clamp) for clamp in serving)) or say("the book has none")
    why = say(
        "no {clamp} of {material} for {arrangement} takes a frame of {thickness} ({takes})",
        clamp=_CLAMPS[kind],
        material=MATERIAL_WORDS[material],
        arrangement=PROPERTIES[arrangement].coded,
        thickness=found,
        takes=takes,
    )
    search.unfit[Unfit(kind, name, why, "/module/thickness")] = None
    return None


def _takes(search: _OptionSearch, clamp: Clamp) -> Sentence:
    low, high = (as_text(each, "length", _units(search)) for each in clamp.frame_mm)
    return say("{clamp} takes {least} to {most}", clamp=clamp.part, least=low, most=high)


def _given_findings(search: _OptionSearch) -> Iterator[Finding]:
    """What a bracket or rail given in the job does not fit; it is kept, because what is given wins."""
    bracket, rail = search.given.bracket, search.given.rail
    if bracket is None:
        return
    for roof in search.job.roofs:
        for each in misfits(bracket, roof, _units(search)):
            place = Place(roof=roof.name, role="bracket", part=bracket.part, aspect=each.aspect)
            message = placed(place, joined("; ", (each.words, GIVEN)))
            yield Finding("bracket_does_not_fit", "error", message, place, each.words)
    if rail is not None and bracket.rails and rail.rail not in bracket.rails:
        message = say(
            "bracket {bracket} takes rails {rails}, not {rail}; the job names both",
            bracket=bracket.part,
            rails=", ".join(sorted(bracket.rails)),
            rail=rail.rail,
        )
        place = Place(role="bracket", part=bracket.part)
        yield Finding("bracket_does_not_take_rail", "error", message, place, rail.rail)
