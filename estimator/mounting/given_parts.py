"""What job and quote give for the mounting, looked up in the pricebook; contradictions are refused, all at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeVar

from estimator.arrangements import PROPERTIES
from estimator.errors import ChoiceRefused, Fault, Finding
from estimator.job import Arrangement, Choices, Job, Material
from estimator.mounting.words import MATERIAL_WORDS, PART_WORDS
from estimator.places import Place
from estimator.pricebook import BarStock, Book, Bracket, Rail
from estimator.sentences import figure, joined, say
from estimator.units import as_text

STOCK_TOLERANCE_MM = 0.05
SHORTEST_SPAN_MM = 50.0
_Part = TypeVar("_Part", Bracket, Rail)


@dataclass(frozen=True, slots=True)
class GivenParts:
    """The choices in force; None leaves the choice open. ``findings`` tell what the quote's choices set aside."""

    arrangement: Arrangement | None
    material: Material | None
    bracket: Bracket | None
    rail: Rail | None
    stock_lengths_mm: tuple[float, ...] | None
    findings: tuple[Finding, ...] = ()


def given_parts(job: Job, book: Book, choices: Choices) -> GivenParts:
    """Choices of the quote before those of the job; a part the job gives is set aside where the quote rules it out.

    Errors: ChoiceRefused where the book has no such part or length, or where the job's own choices contradict.
    """
    faults: list[Fault] = []
    findings: list[Finding] = []
    bracket = _named("bracket", job.mounting.bracket, book.brackets, faults)
    rail = _named("rail", job.mounting.rail, book.rails, faults)
    arrangement = choices.arrangement or job.mounting.arrangement
    material = choices.material or job.mounting.material
    bracket_faults = list(_bracket_faults(bracket, arrangement, material))
    rail_faults = list(_rail_faults(rail, arrangement, material))
    if bracket_faults and (choices.arrangement or choices.material):
        findings.append(_set_aside("bracket", job.mounting.bracket, bracket_faults))
        bracket, bracket_faults = None, []
    if rail_faults and (choices.arrangement or choices.material):
        findings.append(_set_aside("rail", job.mounting.rail, rail_faults))
        rail, rail_faults = None, []
    faults += [*bracket_faults, *rail_faults, *_stock_faults(job, book, rail), *_number_faults(job)]
    if faults:
        raise ChoiceRefused(say("the requested mounting is not possible with pricebook {book}", book=book.id), faults)
    if material is None and (bracket or rail):
        material = bracket.material if bracket else rail.material if rail else None
    return GivenParts(arrangement, material, bracket, rail, job.mounting.stock_lengths_mm, tuple(findings))


def _named(kind: str, name: str | None, parts: Mapping[str, _Part], faults: list[Fault]) -> _Part | None:
    if name is not None and name not in parts:
        faults.append(
            Fault(
                f"/mounting/{kind}",
                say("the pricebook has no bracket {name}", name=name)
                if kind == "bracket"
                else say("the pricebook has no rail {name}", name=name),
                say("one of {names}", names=", ".join(parts)),
            )
        )
    return None if name is None else parts.get(name)


def _bracket_faults(
    bracket: Bracket | None, arrangement: Arrangement | None, material: Material | None
) -> Iterator[Fault]:
    if bracket is None:
        return
    if arrangement is not None and arrangement not in bracket.heights_mm:
        offered = ", ".join(bracket.heights_mm)
        serves_not = say(
            "bracket {bracket} is not made for {arrangement}",
            bracket=bracket.part,
            arrangement=PROPERTIES[arrangement].coded,
        )
        yield Fault("/mounting/bracket", serves_not, offered)
    if material is not None and bracket.material != material:
        is_of = say(
            "bracket {bracket} is of {material}", bracket=bracket.part, material=MATERIAL_WORDS[bracket.material]
        )
        yield Fault("/mounting/bracket", is_of, material)


def _rail_faults(rail: Rail | None, arrangement: Arrangement | None, material: Material | None) -> Iterator[Fault]:
    if rail is None or (arrangement is not None and not PROPERTIES[arrangement].has_rail):
        return
    if arrangement is not None and arrangement not in rail.arrangements:
        serves_not = say(
            "rail {rail} is not made for {arrangement}", rail=rail.rail, arrangement=PROPERTIES[arrangement].coded
        )
        yield Fault("/mounting/rail", serves_not, ", ".join(rail.arrangements))
    if material is not None and rail.material != material:
        is_of = say("rail {rail} is of {material}", rail=rail.rail, material=MATERIAL_WORDS[rail.material])
        yield Fault("/mounting/rail", is_of, material)


def _set_aside(kind: Literal["bracket", "rail"], name: str | None, faults: list[Fault]) -> Finding:
    why = joined("; ", (say("{what}, the quote asks for another", what=fault.message) for fault in faults))
    part = joined(" ", (PART_WORDS[kind], name or ""))
    message = say("{part}, given in the job, is not used in this quote: {why}", part=part, why=why)
    return Finding(f"{kind}_set_aside", "note", message, Place(subject="mounting", role=kind), name)


def _stock_faults(job: Job, book: Book, rail: Rail | None) -> Iterator[Fault]:
    rails = [rail] if rail else list(book.rails.values())
    offered = sorted({stock.length_mm for each in rails for stock in each.stocks})
    for i, length in enumerate(job.mounting.stock_lengths_mm or ()):
        if not any(abs(length - other) <= STOCK_TOLERANCE_MM for other in offered):
            texts = [as_text(each, "length", job.display_units) for each in (length, *offered)]
            found = (
                say("rail {rail} is not sold in bars of {length}", rail=rail.rail, length=texts[0])
                if rail
                else say("no rail is sold in bars of {length}", length=texts[0])
            )
            yield Fault(f"/mounting/stock_lengths/{i}", found, say("one of {names}", names=", ".join(texts[1:])))


def _number_faults(job: Job) -> Iterator[Fault]:
    """Numbers given for the mounting with which nothing can be set out."""
    mounting = job.mounting
    if mounting.rails_per_row not in (2, 3):
        yield Fault(
            "/mounting/rails_per_row",
            say("{rails_per_row} rails under a row", rails_per_row=mounting.rails_per_row),
            say("2 or 3"),
        )
    position = mounting.clamping_position
    if position is not None and not 0 <= position < 0.5:
        found = say("clamping position {position} leaves no room between two rails", position=figure(position, "g"))
        yield Fault("/mounting/clamping_position", found, say("from 0 to below 0.5"))
    if mounting.max_span_mm is not None and mounting.max_span_mm < SHORTEST_SPAN_MM:
        least, short = (as_text(each, "length", job.display_units) for each in (SHORTEST_SPAN_MM, mounting.max_span_mm))
        yield Fault(
            "/mounting/max_span",
            say("no span is as short as {found}", found=short),
            say("at least {least}", least=least),
        )


def stocks_of(rail: Rail, asked_mm: tuple[float, ...] | None) -> tuple[BarStock, ...]:
    """The bars of a rail that the choice leaves; all of them where there is none."""
    if asked_mm is None:
        return rail.stocks
    return tuple(
        stock for stock in rail.stocks if any(abs(stock.length_mm - each) <= STOCK_TOLERANCE_MM for each in asked_mm)
    )
