"""Which arrangement, bracket, rail and clamps a job may be mounted with, and how high the modules then lie.

Takes the job, the pricebook and the choices; gives every MountingChoice that fits, why the others fall away, and the
clearances under the modules. May not place an attachment, compute a strength or know what a choice costs.
"""

from estimator.mounting.fit import misfits as misfits
from estimator.mounting.heights import clearances as clearances
from estimator.mounting.options import Unfit as Unfit
from estimator.mounting.options import mounting_choices as mounting_choices
from estimator.mounting.records import Clearance as Clearance
from estimator.mounting.records import MountingChoice as MountingChoice
