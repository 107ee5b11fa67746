"""The rail's expansion between expansion splices against the gap each of them leaves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from estimator.attachment.records import Run
from estimator.errors import Finding
from estimator.job import Job
from estimator.mounting.records import MountingChoice
from estimator.places import Place
from estimator.pricebook import Book, Rail, Splice
from estimator.sentences import figure, say


@dataclass(frozen=True, slots=True)
class Movement:
    """How far the gap at one expansion splice closes and opens, mm, and how much there is to close."""

    part_length_mm: float
    closes_mm: float
    opens_mm: float
    gap_mm: float

    @property
    def holds(self) -> bool:
        """Whether the rails never meet."""
        return self.closes_mm <= self.gap_mm + 1e-9


def expansion_mm(length_mm: float, expansion_per_k: float, difference_k: float) -> float:
    """Change of length, alpha L dT. Source: mechanics.

    >>> round(expansion_mm(6000, 23.6e-6, 60), 3)
    8.496
    """
    return expansion_per_k * length_mm * difference_k


def movement(
    rail: Rail, part_length_mm: float, gap_mm: float, change_k: tuple[float, float], roof_expansion_per_k: float = 0.0
) -> Movement:
    """Movement at an expansion splice between two equal parts of a rail.

    Args:
        rail: with its coefficient of expansion.
        part_length_mm: length of one part; the gap takes half the movement of the parts on either side.
        gap_mm: the gap left when the rail is laid.
        change_k: lowest and highest temperature less that at which the rail is laid, K.
        roof_expansion_per_k: what moves along with the rail; 0, the default, counts the whole movement of the rail.

    """
    alpha = rail.expansion_per_k - roof_expansion_per_k
    falls, rises = max(0.0, -min(change_k)), max(0.0, *change_k)
    return Movement(
        part_length_mm,
        closes_mm=expansion_mm(part_length_mm, alpha, rises),
        opens_mm=expansion_mm(part_length_mm, alpha, falls),
        gap_mm=gap_mm,
    )


def longest_part_mm(rail: Rail, gap_mm: float, change_k: tuple[float, float]) -> float:
    """The longest part whose expansion the gap takes, mm; infinite where it never warms."""
    rises = max(0.0, *change_k)
    return gap_mm / (rail.expansion_per_k * rises) if rises else float("inf")


def expansion_finding(
    rail: Rail, splice: Splice, part_length_mm: float, change_k: tuple[float, float], where: Place
) -> Finding | None:
    """An error where the rails would meet at an expansion splice, else None."""
    moved = movement(rail, part_length_mm, splice.gap_mm, change_k)
    if moved.holds:
        return None
    longest = longest_part_mm(rail, splice.gap_mm, change_k)
    text = say(
        "{where}: {length} of rail {rail} expand by {growth}, expansion splice {splice} leaves a gap of {gap}; "
        "parts of at most {longest} would pass",
        where=where,
        length=figure(part_length_mm, ".0f", " mm", "length"),
        rail=rail.rail,
        growth=figure(moved.closes_mm, ".1f", " mm", "length"),
        splice=splice.part,
        gap=figure(splice.gap_mm, ".1f", " mm", "length"),
        longest=figure(longest, ".0f", " mm", "length"),
    )
    return Finding("expansion_gap", "error", text, where, round(moved.closes_mm, 3), splice.gap_mm, "mm")


def expansion_findings(
    rail: Rail, splice: Splice | None, runs: Iterable[Run], change_k: tuple[float, float] | None
) -> list[Finding]:
    """For every array the part of a rail that moves most beyond the gap of its expansion splice; an error each.

    Args:
        rail: of all the runs.
        splice: the rail's expansion splice, None where the book has none: nothing to check then.
        runs: as set out.
        change_k: lowest and highest temperature less that at which the rail is laid, K; None: nothing to check.

    """
    if splice is None or change_k is None:
        return []
    worst: dict[tuple[int, int], tuple[float, Run]] = {}
    for run in _at_joints(runs):
        key = (run.roof, run.array)
        if key not in worst or run.length_mm > worst[key][0] + 0.001:
            worst[key] = (run.length_mm, run)
    found = [expansion_finding(rail, splice, part, change_k, run.place) for part, run in worst.values()]
    return [finding for finding in found if finding]


def _at_joints(runs: Iterable[Run]) -> Iterator[Run]:
    """The runs that an expansion splice joins to another, before or after."""
    before: Run | None = None
    every = sorted(runs, key=lambda run: (run.roof, run.array, run.axis, run.segment, run.position, run.part))
    for run in every:
        if run.joined or (before is not None and before.joined):
            yield run
        before = run


def rails_that_meet(job: Job, choice: MountingChoice, book: Book, runs: Iterable[Run]) -> list[Finding]:
    """Every array in which a rail's parts would meet at an expansion splice, over the job's range of temperature."""
    rail = choice.rail
    if rail is None:
        return []
    laid = list(runs)
    kind = "expansion_splice"
    splice = next((each for each in book.splices if each.rail == rail.rail and each.kind == kind), None)
    change_k = job.site.loads.temperature_range_k
    if change_k is None:
        return _temperature_unknown(rail, laid)
    return expansion_findings(rail, splice, laid, change_k)


def _temperature_unknown(rail: Rail, runs: Sequence[Run]) -> list[Finding]:
    """A note where rails are divided, or longer than one piece may be, and nobody says how warm and cold they get."""
    longest = rail.max_continuous_length_mm
    parted = any(True for _ in _at_joints(runs))
    if longest is None or not (parted or any(run.length_mm > longest + 0.001 for run in runs)):
        return []
    text = say(
        "the site gives no range of temperature (loads.temperature_range), and rails are longer than {longest}; "
        "whether the gaps at expansion splices take their change of length is not checked",
        longest=figure(longest, ".0f", " mm", "length"),
    )
    place = Place(subject="loads", aspect="temperature_range")
    return [Finding("temperature_range_missing", "note", text, place, say("not given"), None)]
