"""Parameters of the searches for cut plans, in one place.

How they were found: by trial on generated rail jobs (few lengths often, many lengths seldom, one to four bar lengths,
limited bars, off-cuts with a value) and on public classes of instances, each changed alone while proven share, gap and
work were looked at. There is no other source. None of them touches what is claimed to be proven.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WorkRates:
    """What one unit of work is: about a millisecond of a slow machine, measured once for each kind of step."""

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


@dataclass(frozen=True, slots=True)
class SplicingWork:
    """What one unit of work stands for where spliced runs are planned, as `WorkRates` for plans without splices."""

    nodes: int = 20_000
    """Places of joints, in one search for the cheapest ways of all kinds."""
    cells: int = 500_000
    """Pairs of nodes and prices, in one pass over position graphs."""
    room: int = 100_000
    """Sizes times units of the widest bar, for each solution of a program."""
    columns: int = 400_000
    """Sizes times columns of it."""
    iterations: int = 16
    """Simplex steps of the whole-number program."""
    stop_cells: int = 6_000
    """What a window of a position graph costs beside its nodes, in cells."""
    look_cells: int = 2
    """Cells of one look from a node at one price."""
    pieces: int = 500_000
    """Pieces between two places looked at where a member is put back."""


@dataclass(frozen=True, slots=True)
class SplicingPriceTuning:
    """Prices of sizes, and columns that are worth having at them."""

    patterns_a_round: int = 40
    """Patterns added a round at most."""
    lowerings: int = 9
    """Times prices are lowered until no bar is overpaid; then all are 0."""
    ways_a_round: int = 2
    """Ways of each kind added a round on position graphs."""
    close: float = 5e-5
    """Part of its value up to which the bound of a program is driven."""
    centre_weight: int = 2
    """Weight of the best prices so far against those of the program, where both are mixed."""
    misses: int = 3
    """Mixed prices that may bring nothing, one after the other, before the program's own are tried at once."""
    added: float = 1e-7
    """A way is added if it is cheaper than the program knows by more than this part of its price."""
    cuts_a_round: int = 3
    """Cuts over numbers of bars that are asked for at once."""


@dataclass(frozen=True, slots=True)
class WayTuning:
    """Ways to make members: their places, and how many are followed."""

    stretch_step: int = 200
    """Tenths of a mm from one entry to the next in the tables that bound what is left of a member."""
    pairs_at_once: int = 2_000_000
    """Pairs of joints looked at together: 16 MB an array."""
    many: int = 400
    """Ways begun of each kind that go on in a proof, if kinds are many; no more ever where none is asked for."""
    pairs_of_proof: int = 6_000_000
    """In a proof, ways begun of all kinds times those of each kind, if that is more."""
    pairs_of_all: int = 25_000
    """The same where no proof is asked for."""
    fewest: int = 12
    """Ways begun of each kind that go on at least."""
    marked: int = 3
    """Sums of so many marked lengths, counted from either end, are places."""
    kept: int = 4
    """Ways of each kind that are kept for later prices, the latest."""
    kinds_at_once: int = 100
    """Kinds gone through together in a proof, so that memory is bounded."""
    chained: int = 3
    """Sums of so many marked lengths are nodes of a position graph."""
    counted: int = 3
    """Joints up to which the least number of a member is kept to on an outward lattice."""
    places: int = 200
    """Such sums at most."""
    steps: int = 150
    """Prices looked at from a node, as work is reckoned."""
    group_cells: int = 1_500_000
    """Members are laid side by side until one window of all has so many (node, price) pairs: 12 MB an array."""
    usual_prices: int = 150
    """Prices reckoned with for that."""
    widest_group: float = 1.5
    """The largest graph of a group has at most so many times the nodes of its smallest one ..."""
    few_nodes: int = 100
    """... and so many more."""


@dataclass(frozen=True, slots=True)
class QuickTuning:
    """The quick search."""

    few_kinds: int = 60
    """Up to so many kinds each has a row of its own; else they are put together in blocks."""
    many_kinds: int = 400
    """With more kinds the coarser of two units is taken for lengths rounded up."""
    blocks: int = 60
    """Blocks where kinds are put together."""
    unit: int = 400
    """Unit (tenths) of straight prices."""
    packed: int = 200
    """Unit to whose nearest multiple lengths are rounded where a plan is packed."""
    above: tuple[int, int] = (200, 400)
    """Unit of lengths rounded up with fewer, and with many kinds."""
    spared: tuple[float, float] = (0.25, 0.0)
    """Part of that unit which is spared where kinds are in blocks: joints are moved to make room for it."""
    close_above: float = 1e-3
    """Part of its value up to which the program over lengths rounded up is driven."""
    close: float = 2e-4
    """The same with straight prices."""
    rounds: int = 60
    """Rounds of columns at most."""
    progress: float = 2e-4
    """Part of its value by which a program and its bound come nearer in a round, or in some together ..."""
    idle: int = 4
    """... of which so many may bring less with blocks or few members. Else that would find dearer plans."""
    centre_weight: tuple[int, int] = (2, 1)
    """Weight of the best prices so far with few kinds, and with blocks."""
    elsewhere_work: int = 300
    """Work of the bound at other prices of bars."""
    beyond: float = 0.005
    """That bound is driven beyond what is asked by this part, since a proof over stretches falls a little short."""
    nearly: float = 0.01
    """Part of a plan's cost up to which its bound tells that joints have room."""
    more_work: int = 3
    """Times the work that kinds in blocks may take."""
    inside: int = 200
    """Unit of the inside lattice where joints have little room."""
    outside: tuple[int, int] = (200, 2)
    """Unit and stretches of the outward lattice there."""
    stretches_of_blocks: int = 25
    """Length (tenths) of the stretches of a proof with blocks."""
    stretches: tuple[int, int] = (50, 25)
    """Lengths (tenths) of the stretches of proofs, tried one after the other."""


@dataclass(frozen=True, slots=True)
class RecreationTuning:
    """Members taken out of a plan and put back."""

    members: int = 60
    """Up to so many members it is tried."""
    unit: int = 1250
    """Distance (tenths) of places beside those that bars give."""
    step: int = 10
    """Lengths are priced in whole steps of so many tenths, rounded up."""
    fillings: int = 40
    """Lengths at most that would fill a bar of the plan and whose ends are places, too."""
    credits: tuple[float, ...] = (0.0, 0.5, 0.8, 0.95, 1.0)
    """Parts of what is left of a new bar that are credited, one after the other or by chance."""
    shares: int = 24
    """Parts of a bar: it may be parted between two pieces at any; lengths within one cost the same more by chance."""
    noise: float = 0.3
    """Part of the cheapest bar's price that chance adds to a piece at most."""
    together: int = 5
    """Members taken out at once at most."""
    bonus: int = 2_000
    """The longest piece comes cheaper by this part (1/n) of a bar, a shorter one by the square of its part of that."""
    threshold: float = 0.01
    """Part of its cost by which a plan may become dearer at first; less and less later."""
    rounds: int = 300
    """Times that it is tried before the plan is cut out in full."""
    rounds_each: int = 30
    """Of these so many for each member at most."""
    lattice_work: int = 150
    """Work that is left then for plans and bounds on lattices, where joints have little room."""


@dataclass(frozen=True, slots=True)
class ThoroughTuning:
    """The thorough search, and what both searches share: plans cut out, repaired, rounded, and price levels."""

    little_levels: tuple[tuple[int, tuple[float, ...], int, int], ...] = ((400, (0.0,), 400, 1),)
    """Levels where little work is allowed: unit (tenths) and parts of it spared inside, unit and stretches outside."""
    levels: tuple[tuple[int, tuple[float, ...], int, int], ...] = (
        (200, (0.0, 0.5), 200, 4),
        (100, (0.0, 0.5), 100, 4),
        (50, (0.0, 0.5), 50, 2),
        (25, (0.0, 0.5), 25, 2),
    )
    """Levels else."""
    little_work: int = 200
    """Work below which little is allowed."""
    whole_rows: int = 100
    """Sizes up to which the whole-number program rounds."""
    leaves: int = 6
    """Parts of the search that are left for a finer lattice, before it is taken."""
    inner_share: float = 0.35
    """Part of the work left that an inside program may take."""
    little_share: float = 0.8
    """The same where little work is allowed."""
    close_inside: float = 5e-4
    """Part of its value up to which an inside program is driven."""
    close_branch: float = 1e-3
    """The same of an outward one while branching."""
    least_share: int = 15
    """Work that any program has at least."""
    root_share: float = 0.4
    """Part of the work for the first outward bound."""
    coarseness: float = 0.002
    """Part of the value that the lattices may err by before a finer one is taken."""
    finer_work: int = 3
    """Times the work so far that must be left for it."""
    most_work: int = 4_000
    """A search for compositions goes no further, whatever is allowed."""
    cut_work: int = 20
    """Work that one proposal has at least to be cut out in full."""
    cut_share: int = 25
    """Part (1/n) of all work that it may take."""
    last_share: int = 8
    """The same for the best one at last."""
    apart: int = 400
    """Members up to which each has joints of its own where they are moved."""
    too_long: float = 100.0
    """Price of a tenth of a mm that a bar does not hold, against one left on an off-cut."""
    columns_a_row: float = 1.4
    """Columns of the whole-number program for each size ..."""
    least_columns: int = 200
    """... and at least."""
    nodes: int = 40
    """Its nodes."""
    at_once: float = 0.15
    """Part of what is still broken that a dive raises at once."""
    dive_steps: int = 200
    """Steps of a dive."""
    dive_rounds: int = 6
    """Rounds of new columns in each."""
    cover_steps: int = 20_000
    """Steps of finding whole bars that hold a length."""
    combinations: int = 4_096
    """Combinations of price levels told apart."""
    tries: int = 24
    """Searches at different levels."""


WORK = WorkRates()
COLUMNS = ColumnTuning()
HEURISTICS = HeuristicTuning()
ENUMERATION = EnumerationTuning()
BRANCHING = BranchingTuning()
SPLICING_WORK = SplicingWork()
PRICING = SplicingPriceTuning()
WAYS = WayTuning()
QUICK = QuickTuning()
RECREATION = RecreationTuning()
THOROUGH = ThoroughTuning()
