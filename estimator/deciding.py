"""What was decided for a job and why: the mounting that was taken beside every one that was tried or dropped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.errors import Finding
from estimator.job import Choices, Job
from estimator.money import Money
from estimator.mounting import Unfit
from estimator.mounting.records import MountingChoice
from estimator.sentences import Sentence, amount, say

NotPlannedCode = Literal["more_checks_fail", "costs_more"]


@dataclass(frozen=True, slots=True)
class NotPlanned:
    """Why no cut plan was made for an option: more checks fail in it than in what was taken, or it costs more.

    ``at_least`` is a bound on its total, ``errors`` one on the number of checks that fail, whatever the plan.
    """

    code: NotPlannedCode
    at_least: Money
    errors: int

    @property
    def message(self) -> Sentence:
        """The reason in a sentence."""
        total = amount(self.at_least.amount, self.at_least.currency)
        if self.code == "costs_more":
            return say("not planned: costs at least {total}", total=total)
        return say(
            "not planned: {count} checks fail at least, and it costs at least {total}", count=self.errors, total=total
        )


@dataclass(frozen=True, slots=True)
class Alternative:
    """One option that was tried: its total, and the checks that do not hold in it.

    The total is None where the option cannot be built, and where no cut plan was made for it (``not_planned`` says why
    and what it costs at least; ``errors`` are then those that were found without a plan).
    """

    option: str
    total: Money | None
    errors: tuple[Sentence, ...]
    not_planned: NotPlanned | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """What was chosen for one subject (arrangement, material, bracket, rail ...), whether it was given, and why."""

    subject: str
    chosen: str
    given: bool
    why: Sentence
    alternatives: tuple[Alternative, ...] = ()


@dataclass(frozen=True, slots=True)
class Tried:
    """A mounting with its total and the checks that fail; where it is not ``planned``, both at the least they can be.

    Mountings rank by the fewest errors (what tells something of costs is none), then by the least total, then by name
    so that ties fall the same way. The rank of one that is not planned is never above that of its plan.
    """

    mounting: MountingChoice
    total: Money
    errors: tuple[Finding, ...]
    planned: bool = True

    @property
    def rank(self) -> tuple[int, Decimal, str]:
        """What the least of is taken."""
        return self.failing, self.total.amount, describe(self.mounting)

    @property
    def failing(self) -> int:
        """How many checks fail."""
        return sum(not check.tells_cost for check in self.errors)


def describe(mounting: MountingChoice) -> str:
    """One mounting in a line."""
    rail = f", rail {mounting.rail.rail}" if mounting.rail else ""
    arrangement = mounting.arrangement.replace("_", " ")
    return f"{arrangement}, {mounting.material}, bracket {mounting.bracket.part}{rail}"


def explain(
    best: Tried, job: Job, choices: Choices, tried: Sequence[Tried], unfit: Sequence[Unfit]
) -> tuple[Decision, ...]:
    """What was chosen for each subject, whether it was given, the best trial of every other option, what fell away."""
    given = {
        "arrangement": (choices.arrangement or job.mounting.arrangement) is not None,
        "material": (choices.material or job.mounting.material) is not None,
        "rail_direction": job.mounting.rail_direction is not None,
        "bracket": job.mounting.bracket is not None,
        "rail": job.mounting.rail is not None,
    }
    decisions = []
    for subject, is_given in given.items():
        if _option(best.mounting, subject):
            fallen = [Alternative(each.option, None, (each.why,)) for each in unfit if each.subject == subject]
            decisions.append(_explain_one(subject, is_given, best, tried, fallen))
    return tuple(decisions)


def _option(mounting: MountingChoice, subject: str) -> str:
    options = {
        "arrangement": mounting.arrangement,
        "material": mounting.material,
        "rail_direction": mounting.rail_direction if mounting.rail else "",
        "bracket": mounting.bracket.part,
        "rail": mounting.rail.rail if mounting.rail else "",
    }
    return options[subject]


def _explain_one(
    subject: str, is_given: bool, best: Tried, tried: Sequence[Tried], fallen: Sequence[Alternative]
) -> Decision:
    chosen = _option(best.mounting, subject)
    others: dict[str, Tried] = {}
    for each in sorted(tried, key=lambda each: each.rank):
        option = _option(each.mounting, subject)
        if option and option != chosen:
            others.setdefault(option, each)
    alternatives = tuple(_alternative(option, each, best) for option, each in others.items())
    return Decision(subject, chosen, is_given, _why(subject, is_given, best, alternatives), (*alternatives, *fallen))


def _alternative(option: str, other: Tried, best: Tried) -> Alternative:
    errors = told_to_all(other.errors)
    if other.planned:
        return Alternative(option, other.total, errors)
    code: NotPlannedCode = "more_checks_fail" if other.failing > best.failing else "costs_more"
    return Alternative(option, None, errors, NotPlanned(code, other.total, other.failing))


def told_to_all(checks: Iterable[Finding]) -> tuple[Sentence, ...]:
    """The checks in words, without those that tell something of costs."""
    return tuple(check.message for check in checks if not check.tells_cost)


def _why(subject: str, is_given: bool, best: Tried, alternatives: Sequence[Alternative]) -> Sentence:
    if is_given:
        return say("given")
    if subject == "rail_direction":
        return say("the pricebook's default")
    if not alternatives:
        return say("the only one that fits")
    total = amount(best.total.amount, best.total.currency)
    if best.errors:
        failing = len(best.errors)
        return say("fewest checks fail ({count}), then the lowest total: {total}", count=failing, total=total)
    return say("the lowest total that passes every check: {total}", total=total)
