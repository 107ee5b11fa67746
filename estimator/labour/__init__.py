"""Takes: the counts of a job and the book's activities.

Gives: hours by activity and their price.
May not: know parts or layouts.
"""

from estimator.labour.plan import no_labour as no_labour
from estimator.labour.plan import plan_labour as plan_labour
from estimator.labour.records import Labour as Labour
from estimator.labour.records import LabourLine as LabourLine
