"""A name says one thing: no two classes share one, and the arrangements are called by one word each."""

import ast
import re
from collections import defaultdict
from pathlib import Path

from tests.sources import nodes_of

ROOT = Path(__file__).parents[2]
PACKAGE = sorted((ROOT / "estimator").rglob("*.py"))
OF_A_LIBRARY = {"Meta"}  # marshmallow looks for a class of this name within a schema
OLDER_WORDS = re.compile("side_rail" + "|" + "bottom_rail")
MAY_KNOW_OLDER_WORDS = {
    "estimator/arrangements.py",  # the one table from old words to new
    "estimator/contract/requests/posted_job/arrangement.py",  # refuses them, naming the new ones
    "estimator/documents/language/rewritten.py",  # tells older sentences in today's words
    "estimator/storage/books/rows/older_words.py",  # reads older editions
    "estimator/storage/migrations/versions/0002_words_and_places_of_jobs.py",  # converts stored jobs
    "estimator/storage/records/upgrades.py",  # converts stored records
}


def classes():
    """Every class of the package by its name, private and inner ones too."""
    found = defaultdict(list)
    for path in PACKAGE:
        for node in nodes_of(path):
            if isinstance(node, ast.ClassDef):
                found[node.name].append(str(path.relative_to(ROOT)))
    return found


def test_no_two_classes_share_a_name():
    shared = {name: where for name, where in classes().items() if len(where) > 1 and name not in OF_A_LIBRARY}
    assert shared == {}


def test_only_what_reads_older_things_knows_the_older_words_for_arrangements():
    knowing = {str(path.relative_to(ROOT)) for path in PACKAGE if OLDER_WORDS.search(path.read_text(encoding="utf-8"))}
    assert knowing <= MAY_KNOW_OLDER_WORDS
