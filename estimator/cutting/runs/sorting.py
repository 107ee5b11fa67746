"""Runs sorted for the saw: what stays whole, what has to be spliced and in which kinds, what cannot be made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from estimator.cutting.instance import usable_length
from estimator.cutting.records import CutRun, JointRules, Refusal, RunToCut, Saw, Stock
from estimator.cutting.runs.joint_rules import (
    Member,
    can_be_made,
    members_of,
    part_ends,
    shortest_sufficient_bar,
    tenths,
)
from estimator.errors import Finding, Refused
from estimator.places import Place
from estimator.sentences import Figure, Sentence, figure, joined, say

MOST_TRIED = 300
MOST_PLACES_TOLD = 6


@dataclass(frozen=True, slots=True)
class MemberPlace:
    """A member's place: its run, and its start in that run in tenths of a mm."""

    run: int
    start: int


@dataclass(frozen=True, slots=True)
class SortedRuns:
    """Whole members and kinds of members to be spliced, each with its places in the order of the runs; refusals."""

    whole: dict[int, list[MemberPlace]]
    kinds: dict[Member, list[MemberPlace]]
    refused: tuple[Refusal, ...]
    expansions: tuple[tuple[int, int], ...]
    longest: int


def longest_bar(offer: Sequence[Stock], saw: Saw) -> int:
    """The longest piece that any bar on offer can give."""
    longest = max((usable_length(stock, saw) for stock in offer if stock.available != 0), default=0)
    if longest <= 0:
        raise Refused(say("No bar is on offer to cut the rails from"))
    return longest


def longest_without_limit(offer: Sequence[Stock], saw: Saw) -> int:
    """The longest piece that bars give which are not limited in number; 0 if all are."""
    return max((usable_length(stock, saw) for stock in offer if stock.available is None), default=0)


def sort_runs(runs: Sequence[RunToCut], rules: JointRules, longest: int, kept_whole: int | None = None) -> SortedRuns:
    """Sorts the members of all runs; the same run, wherever it lies, is of one kind.

    A member that can be spliced stays whole for certain up to `kept_whole`, by default up to the `longest` piece;
    a longer one may then be whole or spliced.
    """
    kept_whole = longest if kept_whole is None else kept_whole
    whole: dict[int, list[MemberPlace]] = {}
    kinds: dict[Member, list[MemberPlace]] = {}
    refused: list[Refusal] = []
    expansions: list[tuple[int, int]] = []
    known: dict[tuple[float, tuple[float, ...]], tuple[tuple[int, Member], ...]] = {}
    makeable: dict[Member, bool] = {}
    for at, run in enumerate(runs):
        shape = (run.length_mm, tuple(run.attachments_mm))
        members = known.get(shape)
        if members is None:
            members = known[shape] = members_of(_checked(run), rules)
            for _, member in members:
                if member not in makeable:
                    makeable[member] = can_be_made(member, longest)
        bad = [member for _, member in members if not makeable[member]]
        if bad:
            refused.append(_refusal(at, run, rules, bad[0], longest))
            continue
        expansions.extend((at, start) for start, _ in members[1:])
        if run.joined:
            expansions.append((at, tenths(run.length_mm)))
        for start, member in members:
            free = rules.splice_short_runs or member.length > kept_whole
            if member.length <= longest and not (free and member.windows):
                whole.setdefault(member.length, []).append(MemberPlace(at, start))
            else:
                kinds.setdefault(member, []).append(MemberPlace(at, start))
    return SortedRuns(whole, kinds, tuple(refused), tuple(expansions), longest)


def _checked(run: RunToCut) -> RunToCut:
    if not run.length_mm > 0:
        raise Refused(
            say(
                "{place}: a run needs a length above 0, found {length_mm}",
                place=run.place,
                length_mm=figure(run.length_mm, "g", " mm", "length"),
            )
        )
    return run


def _refusal(at: int, run: RunToCut, rules: JointRules, member: Member, longest: int) -> Refusal:
    extra = _extra_attachments(run, rules, longest)
    bar = shortest_sufficient_bar(member, longest)
    why = say(
        "no splice can stand clear of the attachments, outside the middle thirds and cantilevers, with pieces of at "
        "least {least} on {count} attachments or more and none longer than {longest}",
        least=_mm(rules.min_piece_length_mm),
        count=rules.min_attachments_per_piece,
        longest=_mm(longest / 10),
    )
    return Refusal(at, run.place, tenths(run.length_mm), why, tuple(tenths(a) for a in extra), bar)


def _mm(length: float) -> Figure:
    return figure(length, "g", " mm", "length")


def _extra_attachments(run: RunToCut, rules: JointRules, longest: int) -> tuple[float, ...]:
    """The fewest further attachments (one, or two) in the middle of spans or ends that let the run be made.

    Places nearest the run's middle are tried first, and no more than MOST_TRIED choices of them, fewer on long runs.
    """
    stands = tuple(run.attachments_mm)
    edges = (0.0, *stands, run.length_mm)
    middles = [round((a + b) / 2, 1) for a, b in pairwise(edges) if b - a > 1]
    middles = sorted(set(middles) - set(stands), key=lambda m: (abs(m - run.length_mm / 2), m))
    singles = [(m,) for m in middles]
    near = middles[:40]
    pairs = [(a, b) for i, a in enumerate(near) for b in near[i + 1 :]]
    most = max(5, min(MOST_TRIED, MOST_TRIED * 20 // max(1, len(stands))))
    for extra in [*singles, *pairs][:most]:
        changed = CutRun(run.place, run.length_mm, tuple(sorted((*stands, *extra))))
        if all(can_be_made(member, longest) for _, member in members_of(changed, rules)):
            return tuple(sorted(extra))
    return ()


def findings_of(runs: Sequence[RunToCut], rules: JointRules, found: SortedRuns) -> tuple[Finding, ...]:
    """What the estimator must see: runs that cannot be made, expansion splices that stand badly."""
    return (*(_refusal_finding(refusal) for refusal in found.refused), *_expansion_findings(runs, rules, found))


def _refusal_finding(refusal: Refusal) -> Finding:
    return Finding(
        "run_cannot_be_spliced",
        "error",
        say(
            "{run}: {length} cannot be made: {why}; what would do: {ways}",
            run=refusal.place,
            length=_mm(refusal.length / 10),
            why=refusal.why,
            ways=_ways_out(refusal),
        ),
        found=refusal.length / 10,
        allowed=None if refusal.shortest_bar is None else refusal.shortest_bar / 10,
        unit="mm",
        place=refusal.place,
    )


def _ways_out(refusal: Refusal) -> Sentence:
    ways = []
    if refusal.extra_attachments:
        places = [_mm(place / 10) for place in refusal.extra_attachments]
        both = say("{first} and {second}", first=places[0], second=places[1]) if len(places) == 2 else places[0]
        ways.append(say("another attachment near {places} from its start", places=both))
    if refusal.shortest_bar is not None:
        ways.append(say("a bar of at least {length}", length=_mm(refusal.shortest_bar / 10)))
    return say("{first}, or {second}", first=ways[0], second=ways[1]) if len(ways) == 2 else joined("", ways)


def _expansion_findings(runs: Sequence[RunToCut], rules: JointRules, found: SortedRuns) -> list[Finding]:
    """Expansion splices where a splice would not be allowed to stand: one warning an array, with its places."""
    near: dict[Place, list[tuple[float, Place]]] = {}
    for run, at in found.expansions:
        lies = runs[run].place
        least = min((abs(a - at / 10) for a in runs[run].attachments_mm), default=None)
        if least is not None and least < rules.splice_clear_of_attachment_mm - 1e-3:
            near.setdefault(Place(roof=lies.roof, array=lies.array), []).append((least, lies))
    return [_near_attachment(where, each, rules.splice_clear_of_attachment_mm) for where, each in near.items()]


def _near_attachment(where: Place, near: list[tuple[float, Place]], clear_mm: float) -> Finding:
    least = min(distance for distance, _ in near)
    named = [replace(lies, roof="", array="") for _, lies in near[:MOST_PLACES_TOLD]]
    more = [say("{count} more", count=len(near) - len(named))] if len(near) > len(named) else []
    text = say(
        "{where}: {count} expansion splices stand nearer to an attachment than the {clear} a splice is to keep clear, "
        "the nearest {distance} from it: {places}",
        where=where,
        count=len(near),
        clear=_mm(clear_mm),
        distance=_mm(least),
        places=joined("; ", (*named, *more)),
    )
    return Finding(
        "expansion_splice_near_attachment", "warning", text, found=least, allowed=clear_mm, unit="mm", place=where
    )


def expansion_count(run: RunToCut, rules: JointRules) -> int:
    """Expansion splices of a run.

    >>> from estimator.places import Place
    >>> run = CutRun(Place(roof="South", array="A", row=1, rail=1), 30_000.0)
    >>> expansion_count(run, JointRules(max_continuous_length_mm=12_000.0))
    2
    """
    return len(part_ends(tenths(run.length_mm), rules.max_continuous_length_mm)) - 1
