"""The options of a quote: the whole job built another way, with the estimator's changes that apply there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from estimator.comparison.carried import lines_carried
from estimator.comparison.records import FIRST, LETTERS, QuotedOption
from estimator.cutting.records import Effort
from estimator.errors import ChoiceRefused, Fault, Refused
from estimator.estimate import Estimate, estimate, without_lines
from estimator.job import Choices, Job, OptionChoice
from estimator.pricebook import Book
from estimator.sentences import say

Aim = tuple[Job, Book, Choices, date]


def for_option(choices: Choices, letter: str) -> Choices:
    """The choices without overrides that name another option.

    >>> from estimator.job import CheckOverride
    >>> from estimator.places import Place
    >>> words = (CheckOverride("a", Place(), "why", option="B"), CheckOverride("b", Place(), "why"))
    >>> [word.code for word in for_option(Choices(overrides=words), "A").overrides]
    ['b']
    """
    return replace(choices, overrides=tuple(word for word in choices.overrides if word.option in ("", letter)))


def quoted(job: Job, book: Book, choices: Choices, on: date, effort: Effort, kept: Estimate | None = None) -> Estimate:
    """Option A: the estimate itself. It holds every choice, but only overrides of its own let its checks stand.

    Refuses what ``estimate`` refuses, and (ChoiceRefused) overrides of an option that was not asked for.
    """
    letters = (FIRST, *LETTERS[: len(choices.options)])
    faults = [
        Fault(f"/overrides/{at}/option", say("there is no option {option}", option=word.option), ", ".join(letters))
        for at, word in enumerate(choices.overrides)
        if word.option not in ("", *letters)
    ]
    if faults:
        raise ChoiceRefused(say("an override names an option that the quote does not have"), faults)
    own = for_option(choices, FIRST)
    made = estimate(job, book, own, on, effort, kept)
    return made if own == choices else replace(made, choices=choices)


def options_of(chosen: Estimate, aim: Aim, effort: Effort) -> Iterator[QuotedOption]:
    """Every option asked for, whole.

    Refuses (ChoiceRefused) an option that cannot be built, and one that would be built as another one is.
    """
    ways = {_way(chosen): FIRST}
    for at, (letter, asked) in enumerate(zip(LETTERS, aim[2].options, strict=False)):
        made = _made(chosen, aim, (at, letter, asked), effort)
        if _way(made) in ways:
            text = say("option {letter} would be built as option {other} is", letter=letter, other=ways[_way(made)])
            raise ChoiceRefused(
                text, [Fault(f"/options/{at}", text, say("another arrangement, material, bracket or rail"))]
            )
        ways[_way(made)] = letter
        yield QuotedOption(letter, asked.title, made)


def _made(chosen: Estimate, aim: Aim, one: tuple[int, str, OptionChoice], effort: Effort) -> Estimate:
    """One option, with those changes and discounts of lines that hold there, too; the others are told as notes."""
    job, book, choices, on = aim
    at, letter, asked = one
    its_job, bare = _as_option(chosen, job, for_option(choices, letter), asked)
    try:
        made = estimate(its_job, book, bare, on, effort)
        changes, discounts, notes = lines_carried(chosen, made, choices)
        if changes or discounts:
            with_lines = replace(bare, line_changes=changes, line_discounts=discounts)
            made = replace(estimate(its_job, book, with_lines, on, effort, made), decisions=made.decisions)
    except Refused as refusal:
        faults = refusal.faults or [Fault("", refusal.told)]
        told = [
            Fault(
                f"/options/{at}", say("option {letter}: {message}", letter=letter, message=fault.message), fault.allowed
            )
            for fault in faults
        ]
        raise ChoiceRefused(
            say("option {letter} cannot be offered: {refusal}", letter=letter, refusal=refusal.told), told
        ) from refusal
    return replace(made, checks=(*made.checks, *notes)) if notes else made


def _way(made: Estimate) -> tuple[str, str, str, str]:
    mounting = made.mounting
    rail = mounting.rail.rail if mounting.rail else ""
    return mounting.arrangement, mounting.material, mounting.bracket.part, rail


def _as_option(chosen: Estimate, job: Job, choices: Choices, asked: OptionChoice) -> tuple[Job, Choices]:
    """Job and choices of an option: what it leaves open is as quoted; other material or arrangement, other parts.

    Off-cuts on hand may be cut in every option, since only one of them is built.
    """
    taken = chosen.mounting
    arrangement, material = asked.arrangement or taken.arrangement, asked.material or taken.material
    alike = (arrangement, material) == (taken.arrangement, taken.material)
    bracket, rail = asked.bracket, asked.rail
    if alike and bracket is None:
        bracket = taken.bracket.part
    mounting = replace(
        job.mounting, bracket=bracket, rail=rail, stock_lengths_mm=None if rail else job.mounting.stock_lengths_mm
    )
    included = tuple(each for each in choices.alternates if each.included)
    bare = replace(without_lines(choices), arrangement=arrangement, material=material, options=(), alternates=included)
    return replace(job, mounting=mounting), bare
