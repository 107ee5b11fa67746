"""Takes: a layout, a setting-out, a cut plan and the book's assembly rules.

Gives: the counts by name, and net parts with every line's derivation.
May not: add spares, round to packs, or know prices.
"""

from estimator.takeoff.counting import count as count
from estimator.takeoff.counting import count_shares as count_shares
from estimator.takeoff.cut_shares import CutShare as CutShare
from estimator.takeoff.net import net_lines as net_lines
from estimator.takeoff.records import ArrayCounts as ArrayCounts
from estimator.takeoff.records import Counts as Counts
from estimator.takeoff.records import JobCounts as JobCounts
from estimator.takeoff.records import NetLine as NetLine
from estimator.takeoff.records import RoofCounts as RoofCounts
from estimator.takeoff.records import RuleShare as RuleShare
from estimator.takeoff.sums import sums_differ as sums_differ
