"""Takes: a layout, a mounting choice and its limits or pressures.

Gives: which ribs carry a bracket, the rail as a continuous beam, and every check on them.
May not: count parts or know prices.
"""

from estimator.attachment.geometry.limit_steps import LimitSteps as LimitSteps
from estimator.attachment.geometry.limits import limits_for as limits_for
from estimator.attachment.geometry.setting_out import set_out as set_out
from estimator.attachment.geometry.spacing.one_run import NoPlacement as NoPlacement
from estimator.attachment.geometry.spacing.one_run import place_evenly as place_evenly
from estimator.attachment.geometry.spacing.one_run import place_on_ribs as place_on_ribs
from estimator.attachment.records import Limits as Limits
from estimator.attachment.records import Run as Run
from estimator.attachment.records import Seat as Seat
from estimator.attachment.records import SettingOut as SettingOut
