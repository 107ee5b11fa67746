"""What holds for every test run: the examples that property tests draw, the order of files, and searches that are kept.

Property tests draw the same examples on every run, so that a change is judged by the change alone.
``ESTIMATOR_EXPLORE=1`` draws other examples on every run instead, and keeps those that failed in ``.hypothesis``.
"""

import gc
import os
import shutil
import tempfile

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

gc.set_threshold(50_000, 20, 10)
"""A process that has collected all tests holds millions of objects; looked through seldom, it is a tenth quicker."""

FIRST = (
    "tests/web/test_everybody.py",
    "tests/house_rules/test_machine_checks.py",
    "tests/api/test_against_description.py",
    "tests/web/test_second_persons.py",
    "tests/documents/workbook_reading/test_workbook_large.py",
    "api_tests/test_ending.py",
    "api_tests/test_operations.py",
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


FOLDER_OF_SEARCHES = "FOLDER_OF_SEARCHES"


def pytest_configure(config):
    """All processes of a run keep the searches that tests make in passing in one folder; see ``tests/searches.py``."""
    if FOLDER_OF_SEARCHES not in os.environ:
        folder = os.environ[FOLDER_OF_SEARCHES] = tempfile.mkdtemp(prefix="searches")
        config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))


def pytest_collection_modifyitems(items):
    order = {name: at for at, name in enumerate(FIRST)}
    items.sort(key=lambda item: order.get(item.nodeid.partition("::")[0], len(FIRST)))
