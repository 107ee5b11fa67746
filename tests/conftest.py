"""Property tests draw the same examples on every check run, so that a change is judged by the change alone."""

import os

from hypothesis import settings

settings.register_profile("check_run", derandomize=True, deadline=None)
if os.environ.get("CI") or os.environ.get("ESTIMATOR_REQUIRE_REFERENCES"):
    settings.load_profile("check_run")
