"""A plan made before, held against what is to be cut now: what of it still stands, and the rest cut anew.

Joints stay where they were on runs whose rules still allow them; bars stay as they were cut where all of their pieces
are still wanted and the bar is still on offer. So where only prices have changed the whole plan stands.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from estimator.cutting.branch_and_bound.solve import solve_cutting
from estimator.cutting.instance import usable_length
from estimator.cutting.records import CutPlan, CuttingProblem, Demand, Effort, Pattern, RunToCut, Saw, Stock
from estimator.cutting.runs.compositions import Composition, furthest_first, lengths_of
from estimator.cutting.runs.joint_rules import Member, is_legal
from estimator.cutting.runs.placement import Chosen
from estimator.cutting.runs.sorting import SortedRuns
from estimator.errors import Refused
from estimator.places import Place

REST_WORK = 100
"""How far the cut of the pieces is searched that no bar of the earlier plan gives."""


@dataclass(frozen=True, slots=True)
class EarlierPlan:
    """How runs are made and cut as in a plan made before; ``whole`` where nothing had to be made anew."""

    chosen: Chosen
    patterns: tuple[Pattern, ...]
    whole: bool


def recalled(
    plan: CutPlan, runs: Sequence[RunToCut], found: SortedRuns, offer: Sequence[Stock], saw: Saw
) -> EarlierPlan | None:
    """What was planned before, for the runs as they are sorted now; None where no bar of it can be kept.

    Every joint obeys the rules of its run, every bar holds its pieces and is on offer, every piece is cut once.
    """
    composed = _composed(plan, runs, found)
    if composed is None:
        return None
    chosen, whole = composed
    wanted = _wanted(found, chosen)
    kept, left = _bars_kept(plan, offer, saw, wanted)
    if not kept:
        return None
    patterns = list(kept)
    if +wanted:
        demands = tuple(Demand(length, count) for length, count in sorted((+wanted).items(), reverse=True))
        try:
            patterns += solve_cutting(CuttingProblem(tuple(left), demands, saw), Effort(REST_WORK)).patterns
        except Refused:
            return None
    whole = whole and not +wanted and sum(each.count for each in kept) == sum(b.count for b in plan.bars if b.pieces)
    return EarlierPlan(chosen, tuple(patterns), whole)


def _composed(plan: CutPlan, runs: Sequence[RunToCut], found: SortedRuns) -> tuple[Chosen, bool] | None:
    """Joints for every member in the order of its places: those of its own place, of one as long, or plain ones."""
    before = _Before(plan, found.longest)
    own = {
        member: [before.at_place(member, (runs[place.run].place, place.start)) for place in places]
        for member, places in found.kinds.items()
    }
    whole = True
    chosen: Chosen = {}
    for member, joints in own.items():
        ways = [before.as_long(member) if each is None else each for each in joints]
        if None in ways:
            plain = furthest_first(member, found.longest, [found.longest])
            if not plain:
                return None
            whole = False
            ways = [plain[0] if each is None else each for each in ways]
        chosen[member] = tuple((each, sum(1 for _ in same)) for each, same in groupby(ways) if each is not None)
    return chosen, whole


class _Before:
    """The stretches between expansion splices in a plan, each handed out once, where its joints are legal."""

    def __init__(self, plan: CutPlan, longest: int) -> None:
        self._longest = longest
        self._at_place: dict[tuple[Place, int], tuple[int, Composition]] = {}
        self._left: dict[int, Counter[Composition]] = {}
        self._legal: dict[tuple[Member, Composition], bool] = {}
        for run, start, length, joints in _stretches(plan):
            self._at_place[plan.run_places[run], start] = length, joints
            self._left.setdefault(length, Counter())[joints] += 1

    def at_place(self, member: Member, place: tuple[Place, int]) -> Composition | None:
        """The joints that stood there."""
        length, joints = self._at_place.get(place, (0, ()))
        return joints if length == member.length and self._taken(member, joints) else None

    def as_long(self, member: Member) -> Composition | None:
        """The joints of some stretch as long."""
        return next((each for each in self._left.get(member.length, ()) if self._taken(member, each)), None)

    def _taken(self, member: Member, joints: Composition) -> bool:
        left = self._left[member.length]
        if not left[joints]:
            return False
        if (member, joints) not in self._legal:
            self._legal[member, joints] = is_legal(member, joints, self._longest)
        if self._legal[member, joints]:
            left[joints] -= 1
        return self._legal[member, joints]


def _stretches(plan: CutPlan) -> Iterator[tuple[int, int, int, Composition]]:
    """Run, start, length, and joints from the start, of every stretch of a plan."""
    moving = {(joint.run, joint.at) for joint in plan.joints if joint.kind == "expansion"}
    places = (place for bar in plan.bars for each in bar.labels for place in each)
    pieces = sorted((place.run, place.start, place.length) for place in places)
    start, joints = 0, list[int]()
    for at, (run, begins, length) in enumerate(pieces):
        if begins == 0 or (run, begins) in moving:
            start, joints = begins, []
        else:
            joints.append(begins - start)
        end = begins + length
        last = at + 1 == len(pieces) or pieces[at + 1][0] != run
        if last or (run, end) in moving:
            yield run, start, end - start, tuple(joints)


def _wanted(found: SortedRuns, chosen: Chosen) -> Counter[int]:
    """How many pieces of each length are to be cut."""
    wanted = Counter({length: len(places) for length, places in found.whole.items()})
    for member, ways in chosen.items():
        for joints, times in ways:
            for length in lengths_of(member, joints):
                wanted[length] += times
    return wanted


def _bars_kept(
    plan: CutPlan, offer: Sequence[Stock], saw: Saw, wanted: Counter[int]
) -> tuple[list[Pattern], list[Stock]]:
    """The bars of a plan whose pieces are all wanted, taken from ``wanted``; and what is left of bars."""
    left = list(offer)
    kept: list[Pattern] = []
    for bar in plan.bars:
        pieces = Counter(bar.pieces)
        for at, stock in enumerate(left):
            same = (stock.part, stock.length, stock.is_offcut) == (bar.part, bar.stock_length, bar.from_yard)
            room = usable_length(stock, saw) + saw.kerf
            if not (same and pieces) or sum(bar.pieces) + len(bar.pieces) * saw.kerf > room:
                continue
            count = min(bar.count, *(wanted[length] // times for length, times in pieces.items()))
            count = count if stock.available is None else min(count, stock.available)
            if count:
                kept.append(Pattern(at, count, bar.pieces))
                for length, times in pieces.items():
                    wanted[length] -= times * count
                if stock.available is not None:
                    left[at] = replace(stock, available=stock.available - count)
            break
    return kept, left
