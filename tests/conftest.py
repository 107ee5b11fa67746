"""What holds for every test run: the examples that property tests draw, and the order of files.

Property tests draw the same examples on every run, so that a change is judged by the change alone.
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

FIRST = (
    "tests/house_rules/test_machine_checks.py",
    "tests/outside/test_spliced_all_compositions.py",
    "tests/cutting/splicing/test_spliced_optima.py",
    "tests/outside/test_cutting_all_patterns.py",
    "tests/outside/test_cutting_optima.py",
    "tests/outside/test_workbook_recalculation.py",
    "tests/cutting/plan/test_checked_plans.py",
    "tests/demo/test_demo_jobs.py",
    "tests/cli/estimating/test_commands.py",
)
"""Files whose few tests take long: begun first, so that both processes of a run end at about the same time."""


def pytest_collection_modifyitems(items):
    order = {name: at for at, name in enumerate(FIRST)}
    items.sort(key=lambda item: order.get(item.nodeid.partition("::")[0], len(FIRST)))
