"""Parameters of the search for plans without splices, in one place.

How they were found: by trial on generated rail jobs (few lengths often, many lengths seldom, one to four bar lengths,
limited bars, off-cuts with a value) and on public classes of instances, each changed alone while proven share, gap and
work were looked at. There is no other source. None of them touches what is claimed to be proven.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WorkRates:
    """What one unit of work stands for: about a millisecond of a slow machine, measured once for each kind of step."""

    master_cells: int = 150_000
    """Rows times columns of a linear program over patterns, for each solution."""
    knapsack_points: int = 1_000_000
    """Sizes times places on a bar, in one pricing."""
    master_steps: int = 5_000
    """Simplex steps times rows of the master."""
    filling_points: int = 2_000_000
    """Sizes times places on a bar, where one bar is filled."""
    greedy_fillings: int = 200
    """Bars filled greedily."""
    mip_cells: int = 20_000
    """Rows times patterns that the whole-number solver is given."""
    listed_patterns: int = 200
    """Patterns listed."""
    tree_cells: int = 1_000_000
    """Rows times listed patterns, at each node."""
    tree_steps: int = 10_000
    """Simplex steps times rows of the program over listed patterns."""
    cut_cells: int = 5_000
    """Rows times patterns looked at in a round of Chvatal-Gomory cuts."""


@dataclass(frozen=True, slots=True)
class ColumnTuning:
    """Column generation."""

    a_round: int = 30
    """Patterns added a round at most: fewer take more rounds, more make the program slow."""
    sizes_each: int = 3
    """With many sizes one pattern a round for so many of them, if that is more."""
    most_singles: int = 4_000
    """Up to so many pairs of bar and size the program begins with each size alone on every bar."""
    sparse_share: float = 0.4
    """Up to this share of places on a bar that sums of sizes reach, pricing looks at these alone."""
    most_costs: int = 400_000
    """Up to so many costs it is told apart which can occur."""


@dataclass(frozen=True, slots=True)
class HeuristicTuning:
    """Plans without proof. Shares are parts (1/n) of all work."""

    greedy_share: int = 20
    """Of greedy plans."""
    root_share: int = 8
    """Of a dive from the root, and of bars filled one by one there."""
    short_dive: int = 8
    """Part of it that a first, short dive has; with dozens of pieces to a bar filling then does better."""
    most_at_root: int = 1_000
    """Work of either at most."""
    small_rest: int = 45
    """So few pieces left over by a dive get a search of their own."""
    steps_back: int = 6
    """Steps a dive goes back where that search does not do it."""
    rest_work: int = 150
    """Work of that search."""
    passes: int = 3
    """Plans tried for given numbers of bars."""
    open_passes: int = 6
    """Plans tried where any number may be taken."""
    first_power: float = 1.02
    """Longer pieces are worth more than their length: this power of it at first."""
    powers: tuple[float, float] = (1.0, 1.06)
    """Range of that power later."""
    weights: tuple[float, float] = (0.5, 2.0)
    """Range of the weight of the old value against what the piece just cost."""


@dataclass(frozen=True, slots=True)
class EnumerationTuning:
    """Listed patterns, the cuts and the tree over them."""

    most_cells: int = 16_000_000
    """Sizes times places up to which patterns are listed at all."""
    few: int = 40
    """Pieces left over by a rounded node up to which it is filled up greedily."""
    mip_from: int = 40
    """Sizes from which the whole-number solver has a quick try."""
    mip_per_size: int = 60
    """Patterns for each size up to which it has."""
    mip_work: int = 10
    """Work that its start takes."""
    mip_checks: int = 3
    """Its own checks after which it is stopped."""
    cut_rounds: int = 30
    """Rounds of cuts at the root."""
    idle_rounds: int = 4
    """Rounds that may lift the bound by less than `lifted` one after the other."""
    lifted: float = 1e-3
    """Part of the gap that a round has to close."""
    cuts_a_round: int = 20
    """Cuts taken a round."""
    basis_rows: int = 40
    """Rows of the basis looked at."""
    multiples: tuple[int, ...] = (1, -1, 2, 3)
    """Multiples of such a row tried."""
    broken: float = 1e-4
    """A cut is broken if by more than this."""
    largest: int = 1 << 20
    """Largest number in a cut."""
    most_parts: int = 2000
    """Largest denominator of a row of the basis."""
    columns_a_round: int = 150
    """Listed patterns taken into the program at once."""
    shortage: float = 4.0
    """Price of a missing piece at first, in dearest bars."""
    gap_shares: tuple[int, ...] = (1, 4, 16, 64)
    """Parts of the gap closed at once, tried one after the other."""
    little_waste: float = 0.02
    """Part of a bar that may be wasted in all where prices by length are tried."""
    many_alike: int = 5
    """Pieces of a length on average up to which they are."""
    first_work: int = 150
    """Work of closing the gap at the root."""


@dataclass(frozen=True, slots=True)
class BranchingTuning:
    """The search over numbers of bars."""

    root_work: float = 0.75
    """Part of all work that the first linear program may take; what is left rounds its optimum."""
    point_shares: tuple[int, ...] = (8, 64, 512)
    """Parts of the gap whose numbers of bars are listed at once, tried one after the other."""
    tight: int = 10_000
    """Room left over below this part (1/n) of the need: bars are not filled one by one then."""
    levels_at_once: int = 3
    """Dives at one number of bars before others have their turn."""
    dive_work: int = 700
    """Work of a dive at one of many numbers of bars."""
    most_patterns: int = 250_000
    """Listed patterns at most, however patient the search."""
    most_points: int = 2_000
    """Numbers of bars listed at most."""
    most_steps: int = 20_000
    """Steps of listing them."""
    most_proofs: int = 6
    """Proofs used while listing: the first and the latest ones."""
    feasibility_rounds: int = 60
    """Rounds of columns for one number of bars."""


WORK = WorkRates()
COLUMNS = ColumnTuning()
HEURISTICS = HeuristicTuning()
ENUMERATION = EnumerationTuning()
BRANCHING = BranchingTuning()
