"""Property tests draw the same examples on every run, so that a change is judged by the change alone.

``ESTIMATOR_EXPLORE=1`` draws other examples on every run instead, and keeps those that failed in ``.hypothesis``.
"""

import os

from hypothesis import settings
from hypothesis.internal.conjecture import providers

settings.register_profile("same", derandomize=True, database=None, deadline=None)
settings.register_profile("explore", deadline=None, print_blob=True)

if os.environ.get("ESTIMATOR_EXPLORE", "") == "1":
    settings.load_profile("explore")
else:
    settings.load_profile("same")
    # Literals of the modules loaded so far would be among the values drawn: one file run alone would draw others than
    # all files together, and a package that is installed others than a checkout. There is no public switch for it.
    providers._get_local_constants = lambda: providers._local_constants
