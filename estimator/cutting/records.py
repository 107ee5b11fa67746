"""The records of the cut plan: what is asked, what is offered, what comes out.

Lengths are whole tenths of a millimetre, money is whole numbers of the currency's smallest kept unit.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, MutableMapping
from dataclasses import dataclass, field
from typing import Any, Literal, Protocol

from estimator.places import Place
from estimator.sentences import Sentence

TENTHS_PER_MM = 10
TENTHS_PER_M = 10_000

Kept = Literal["none", "part", "whole"]
StopTest = Callable[[], bool]
Memory = MutableMapping[Hashable, Any]
"""Results of searches by all that they depend on; who owns it bounds it."""


def never() -> bool:
    """The stop test that never stops: the search then ends at its work limit."""
    return False


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a search is: work done of the most it may do, the best plan's cost and what is proven; None: not yet.

    ``way`` tells which of how many ways to build it is about, from 1, while several are compared.
    """

    work: int
    most: int
    cost: int | None
    bound: int | None
    way: tuple[int, int] | None = None


Watch = Callable[[Standing], None]


def unwatched(standing: Standing) -> None:
    """Nobody looks on."""


@dataclass(frozen=True, slots=True)
class PriceLevel:
    """From so many bars bought on, each of them costs this."""

    from_bars: int
    price: int


@dataclass(frozen=True, slots=True)
class Stock:
    """Bars of one length on offer, or one kind of off-cut in the yard, at the price of one bar.

    ``breaks`` are further prices, by ascending number of bars; ``price_from`` says from how many bars on ``price``
    holds (0: from the first).
    """

    part: str
    length: int
    price: int
    available: int | None = None
    is_offcut: bool = False
    breaks: tuple[PriceLevel, ...] = ()
    price_from: int = 0


@dataclass(frozen=True, slots=True)
class Demand:
    """So many pieces of one length."""

    length: int
    count: int


@dataclass(frozen=True, slots=True)
class Saw:
    """How bars are cut and what an off-cut is worth.

    `end_trim` is cut from both ends of a new bar, its own kerf included; an off-cut from the yard has sawn ends
    already and is not trimmed. An off-cut of at least `reusable_length` is kept; its value never exceeds the
    price of the bar it came from. No `reusable_length` means that no off-cut is kept.
    """

    kerf: int = 0
    end_trim: int = 0
    reusable_length: int | None = None
    offcut_value_per_m: int = 0


@dataclass(frozen=True, slots=True)
class Effort:
    """How far a search may go: a work limit (the same on every machine), and a stop test for a time budget.

    One unit of work is about a millisecond of a slow machine, reckoned from the sizes of what is solved. With the
    stop test left alone, the same input always gives the same plan. Mountings and price levels that are compared often
    ask for the same search: in a `memory` it is done once. Whoever looks on at `watch` changes nothing. A `patient`
    search does not give up when all of its methods had their turn, but goes on in more thorough rounds until the plan
    is proven or the effort spent. With a `gap` the search among spliced plans ends as soon as the plan
    costs at most that part of itself more than the bound. Plans made `before` are where a search of runs begins: as far
    as they still hold, the result costs no more.
    """

    work_limit: int = 8_000
    should_stop: StopTest = never
    memory: Memory | None = field(default=None, compare=False, repr=False)
    watch: Watch = field(default=unwatched, compare=False, repr=False)
    patient: bool = False
    gap: float = 0.0
    before: tuple[CutPlan, ...] = field(default=(), repr=False)


@dataclass(frozen=True, slots=True)
class CuttingProblem:
    """Pieces to be cut, bars on offer, and the saw."""

    stocks: tuple[Stock, ...]
    demands: tuple[Demand, ...]
    saw: Saw = field(default_factory=Saw)


@dataclass(frozen=True, slots=True)
class Pattern:
    """`count` bars of one stock (its index in the problem), all cut into the same pieces, longest first."""

    stock: int
    count: int
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class CutSolution:
    """Patterns that cover every demand exactly, their cost and the proven lower bound.

    `proven_optimal` holds only if the bound, evaluated in whole numbers, equals the cost.
    """

    patterns: tuple[Pattern, ...]
    cost: int
    lower_bound: int
    work: int = 0

    @property
    def proven_optimal(self) -> bool:
        """Whether no cheaper plan can exist."""
        return self.lower_bound >= self.cost

    @property
    def gap(self) -> int:
        """How much cheaper a plan could at most be, in the smallest unit of money."""
        return max(0, self.cost - self.lower_bound)


class RunToCut(Protocol):
    """What the plan needs to know of a rail run; the setting out's own record fits."""

    @property
    def place(self) -> Place:
        """Where the run lies: roof, array, row, rail."""

    @property
    def length_mm(self) -> float:
        """The run's length."""

    @property
    def attachments_mm(self) -> tuple[float, ...]:
        """The attachments' distances from the run's start, ascending."""

    @property
    def joined(self) -> bool:
        """Whether an expansion splice joins the run's end to the next run."""


@dataclass(frozen=True, slots=True)
class CutRun:
    """A rail run with its place, a length and its attachments: the least that can be cut."""

    place: Place
    length_mm: float
    attachments_mm: tuple[float, ...] = ()
    joined: bool = False


@dataclass(frozen=True, slots=True)
class JointRules:
    """Where a rail may be joined, all in mm (from the rail's record in the pricebook).

    A run that some bar on offer can make in one piece stays whole, unless `splice_short_runs` is set or bars that long
    do not suffice.
    """

    splice_clear_of_attachment_mm: float = 0.0
    min_piece_length_mm: float = 0.0
    min_attachments_per_piece: int = 0
    max_continuous_length_mm: float | None = None
    splice_short_runs: bool = False


@dataclass(frozen=True, slots=True)
class PiecePlace:
    """Where one piece goes: the run's index, the piece's number in it, its start and length in tenths of a mm."""

    run: int
    number: int
    start: int
    length: int


@dataclass(frozen=True, slots=True)
class BarPattern:
    """`count` bars cut alike: pieces in cutting order, and for every bar of the group the place of each piece.

    Bars without pieces stay whole: they are bought to reach a price. ``price`` is the one charged; it holds from
    ``price_from`` bars of the part on (0: from the first).
    """

    part: str
    stock_length: int
    count: int
    pieces: tuple[int, ...]
    labels: tuple[tuple[PiecePlace, ...], ...]
    offcut: int
    reusable: bool
    price: int
    cuts: int
    from_yard: bool = False
    price_from: int = 0


@dataclass(frozen=True, slots=True)
class Joint:
    """Two pieces of a run meet here, in tenths of a mm from the run's start."""

    run: int
    at: int
    kind: Literal["splice", "expansion"]


@dataclass(frozen=True, slots=True)
class BarsOfLength:
    """How many bars of one part and length the plan takes; the price it was planned at holds from `price_from` on."""

    part: str
    length: int
    count: int
    price: int
    price_from: int = 0


@dataclass(frozen=True, slots=True)
class PlainMethod:
    """What a plain way of buying would take: bars, their length, rigid splices, and the cost with all its splices.

    Where the method cannot make a run by the rules or the bars available, `possible` is false and the rest is zero.
    """

    name: Literal["rounded_up", "full_bars"]
    possible: bool
    cost: int
    bars: int
    length: int
    splices: int


@dataclass(frozen=True, slots=True)
class Refusal:
    """A run that the rules of splicing leave no way to make, with both ways out.

    `extra_attachments` are the places (tenths of a mm from the run's start) of the fewest further attachments
    with which it can be made; `shortest_bar` is the bar length with which it could be made as it is set out.
    Either is empty where that way does not exist.
    """

    run: int
    place: Place
    length: int
    why: Sentence
    extra_attachments: tuple[int, ...]
    shortest_bar: int | None


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Every bar, every piece and its place, every joint; the cost and the proven bound beside it.

    ``cost`` is ``bar_cost + splice_cost + expansion_cost - offcut_value``. The rule of equal parts fixes how many
    expansion splices there are, so their cost stands in every plan, in the bound and in the plain methods alike.
    ``kept`` tells whether it is a plan made before, as nothing cheaper was found: whole, or in part with the rest anew.
    """

    bars: tuple[BarPattern, ...]
    joints: tuple[Joint, ...]
    cost: int
    lower_bound: int
    pieces: int
    cuts: int
    splices: int
    expansion_splices: int
    bars_by_length: tuple[BarsOfLength, ...]
    run_places: tuple[Place, ...]
    bought_length: int
    waste_length: int
    reusable_length: int
    bar_cost: int
    splice_cost: int
    offcut_value: int
    against_rounded_up: PlainMethod
    against_full_bars: PlainMethod
    refused: tuple[Refusal, ...] = ()
    findings: tuple[Any, ...] = ()
    work: int = 0
    expansion_cost: int = 0
    kept: Kept = "none"

    @property
    def proven_optimal(self) -> bool:
        """Whether no cheaper plan can exist under the same rules."""
        return self.lower_bound >= self.cost

    @property
    def gap(self) -> int:
        """How much cheaper a plan could at most be, in the smallest unit of money."""
        return max(0, self.cost - self.lower_bound)

    @property
    def bars_to_buy(self) -> int:
        """Bars without the off-cuts that lie in the yard already, however short."""
        return sum(bar.count for bar in self.bars if not bar.from_yard)

    @property
    def length_to_buy(self) -> int:
        """Length of the same, tenths of a mm."""
        return sum(bar.stock_length * bar.count for bar in self.bars if not bar.from_yard)

    @property
    def waste_share(self) -> float:
        """Share of the bought length that ends as saw dust or as an off-cut too short to keep."""
        return self.waste_length / self.bought_length if self.bought_length else 0.0


@dataclass(frozen=True, slots=True)
class OrderPlan:
    """One plan over several jobs, the same jobs planned apart, and what cutting together saves."""

    together: CutPlan
    apart: tuple[CutPlan, ...]
    run_offsets: tuple[int, ...]

    @property
    def saving(self) -> int:
        """Cost of the separate plans less that of the common one."""
        return sum(plan.cost for plan in self.apart) - self.together.cost
