"""Takes: net lines.

Gives: what is ordered, with spares, packs and whole bars; the only place where counts are rounded up.
May not: know prices.
"""

from estimator.buying.buy import buy as buy
from estimator.buying.buy import line_mass as line_mass
from estimator.buying.findings import quantity_findings as quantity_findings
from estimator.buying.lead_times import lead_time_findings as lead_time_findings
from estimator.buying.records import BuyLine as BuyLine
from estimator.buying.spares import NO_SPARES as NO_SPARES
from estimator.buying.spares import spare_rule as spare_rule
from estimator.buying.spares import spares_for as spares_for
