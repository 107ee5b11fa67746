"""Takes: a job.

Gives: where its modules, segments and ribs lie, and every breach of an edge, strip or obstruction.
May not: know brackets, loads or prices.
"""

from estimator.layout.cells import module_extent as module_extent
from estimator.layout.cells import module_rectangles as module_rectangles
from estimator.layout.edges import Breach as Breach
from estimator.layout.edges import breaches as breaches
from estimator.layout.lay import describe as describe
from estimator.layout.lay import lay_out as lay_out
from estimator.layout.records import ArrayLayout as ArrayLayout
from estimator.layout.records import Layout as Layout
from estimator.layout.records import RoofLayout as RoofLayout
from estimator.layout.records import Segment as Segment
from estimator.layout.ribs import TOLERANCE_MM as TOLERANCE_MM
