"""The setting-out sheet for the crew: string lines, offsets, checks, and the plan."""

from estimator.documents.setting_out.paper import PAPER as PAPER
