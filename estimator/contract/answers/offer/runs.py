"""Every run and attachment with its place. Lengths in mm on the roof plane.

Rows (from the eave), columns (from the left), seams and rails count from 1; inside, the first is 0.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from estimator.attachment.records import Run, Seat
from estimator.contract.answers.fields import (
    Counted,
    Each,
    Number,
    One,
    OneWord,
    PlaceTold,
    Values,
    Whole,
    Words,
    numbers,
    point,
)
from estimator.contract.answers.offer.counts import CountsSchema
from estimator.contract.answers.writing import Answer, Telling
from estimator.cutting.records import TENTHS_PER_MM
from estimator.estimate import Estimate
from estimator.takeoff.records import ArrayCounts, RoofCounts

Joints = Sequence[tuple[float, str]]


@dataclass(frozen=True, slots=True)
class JoinedRun:
    """A run with its joints: where each is, mm from the start, and of which kind; ``number`` among all runs, from 0."""

    run: Run
    joints: Joints
    number: int


@dataclass(frozen=True, slots=True)
class CountedArray:
    """An array with its counts, its runs and its seats."""

    array: ArrayCounts
    runs: Sequence[JoinedRun]
    seats: Sequence[Seat]


@dataclass(frozen=True, slots=True)
class CountedRoof:
    """A roof with its counts and its arrays."""

    roof: RoofCounts
    arrays: Sequence[CountedArray]


def _end(it: JoinedRun, _to: Telling) -> tuple[float, float]:
    run = it.run
    if run.axis == "x":
        return run.start_x + run.length_mm, run.start_y
    return run.start_x, run.start_y + run.length_mm


def _joints(kind: str) -> Any:
    return lambda it, _to: sorted(at for at, found in it.joints if found == kind) if it.joints else []


class RunSchema(Answer):
    """One rail: its ends on the roof plane; attachments and splices as distances from its start, mm.

    Rows (from the eave), columns (from the left) and rails count from 1.
    """

    record = JoinedRun
    label = Words(
        "How saw lists and checks name the run.",
        lambda it, to: to.run_labels[it.number],
        example="South / A / row 1 / rail 1",
    )
    place = PlaceTold("The run's place as facts.", "run.place")
    row = Whole(
        "The row of modules that the rail carries; null where rails run up the slope.",
        "run.place.row",
        least=1,
        null=True,
        example=1,
    )
    column = Whole(
        "The column of modules that the rail carries; null where rails run along the eave.",
        "run.place.column",
        least=1,
        null=True,
        example=1,
    )
    rail = Whole("Which rail of its row or column it is.", "run.place.rail", least=1, example=1)
    start = point("Where the rail starts.", ("run.start_x", "run.start_y"))
    end = point("Where the rail ends.", _end)
    length = Number("Length of the run.", "mm", "run.length_mm", example=11860.0)
    attachments = numbers("Where it is held, from its start.", "mm", "run.attachments_mm")
    splices = numbers("Where rigid splices join its pieces, from its start.", "mm", _joints("splice"))
    expansion_splices = numbers("Where splices let it move, from its start.", "mm", _joints("expansion"))
    utilisation = Number(
        "The largest utilisation of its attachments: found over allowed, above 1 the check fails; null without loads.",
        "1",
        lambda it, _to: max(it.run.utilisations) if it.run.utilisations else None,
        null=True,
        example=0.83,
    )
    utilisations = Values(
        "The utilisation of each attachment; empty without loads.",
        {"type": "number", "minimum": 0},
        "run.utilisations",
        **{"x-unit": "1", "example": [0.61, 0.83]},
    )
    zones = Values("The load zone of each attachment.", {"type": "string"}, "run.zones", example=["3", "2"])


class SeatSchema(Answer):
    """One attachment without rail, on the seam between two modules or at the end of a segment."""

    record = Seat
    seam = Counted("Which seam of the array it lies on; the lowest is 1.", example=1)
    column = Counted("The column of modules it belongs to.", example=3)
    at = point("Its place on the roof plane.", ("x", "y"))
    clamp = OneWord("Which clamp it holds.", ("mid_clamp", "end_clamp"))
    utilisation = Number(
        "Found over allowed, above 1 the check fails; null without loads.", "1", null=True, example=0.74
    )
    zone = Words("The load zone it lies in; empty without loads.", example="F")


class ArrayAnswerSchema(Answer):
    """One array: its runs, or its seats where there is no rail."""

    record = CountedArray
    name = Words("The array's name as posted.", "array.name", example="A")
    counts = One("The counts of this array.", CountsSchema, "array.counts")
    runs = Each("Its rail lines; empty where there is no rail.", RunSchema)
    seats = Each("Its attachments where there is no rail.", SeatSchema)


class RoofAnswerSchema(Answer):
    """One roof."""

    record = CountedRoof
    name = Words("The roof's name as posted.", "roof.name", example="South")
    counts = One("The counts of this roof.", CountsSchema, "roof.counts")
    arrays = Each("Its arrays, as posted.", ArrayAnswerSchema)


def counted_roofs(estimate: Estimate) -> list[CountedRoof]:
    """Each roof with its arrays, each array with its runs, or with its seats where there is no rail."""
    runs: dict[tuple[int, int], list[JoinedRun]] = defaultdict(list)
    seats: dict[tuple[int, int], list[Seat]] = defaultdict(list)
    joints = _joints_by_run(estimate)
    for number, run in enumerate(estimate.setting_out.runs):
        runs[run.roof, run.array].append(JoinedRun(run, joints.get(run.key, ()), number))
    for seat in estimate.setting_out.seats:
        seats[seat.roof, seat.array].append(seat)
    return [
        CountedRoof(
            roof,
            [CountedArray(array, runs[roof.roof, array.array], seats[roof.roof, array.array]) for array in roof.arrays],
        )
        for roof in estimate.counts.roofs
    ]


def _joints_by_run(estimate: Estimate) -> dict[int, list[tuple[float, str]]]:
    """The joints by the key of their run; the cut plan numbers runs in their order."""
    joints: dict[int, list[tuple[float, str]]] = defaultdict(list)
    runs = estimate.setting_out.runs
    for joint in estimate.cut_plan.joints if estimate.cut_plan else ():
        joints[runs[joint.run].key].append((joint.at / TENTHS_PER_MM, joint.kind))
    return joints
