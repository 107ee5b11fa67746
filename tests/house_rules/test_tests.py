"""How tests are written: beside the package, on facts instead of English, on nothing private."""

import ast
import re
from pathlib import Path

from tests.sources import nodes_of

ROOT = Path(__file__).parents[2]
TESTS = sorted(path for folder in ("tests", "api_tests") for path in (ROOT / folder).rglob("*.py"))
WITHOUT_TESTS_OF_THEIR_OWN = {"demo"}  # shipped data: the jobs are tried in tests/demo
WORDS_OF_A_FINDING = re.compile(r"""assert .*["'] (not )?in .*\b(finding|found|check|error|f)s?\b(\[\d+\])?\.message""")
"""An English text looked for in a finding's message."""


def test_every_room_of_the_package_has_tests_beside_it():
    rooms = {path.name for path in (ROOT / "estimator").iterdir() if (path / "__init__.py").is_file()}
    tested = {path.name for path in (ROOT / "tests").iterdir() if path.is_dir()}
    assert rooms - tested - WITHOUT_TESTS_OF_THEIR_OWN == set()
    steps = {path.name for path in (ROOT / "estimator" / "cutting").iterdir() if (path / "__init__.py").is_file()}
    assert steps - {path.name for path in (ROOT / "tests" / "cutting").iterdir() if path.is_dir()} == set()


def test_tests_import_nothing_private():
    private = [
        f"{path.relative_to(ROOT)}: {alias.name}"
        for path in TESTS
        for node in nodes_of(path)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("estimator")
        for alias in node.names
        if alias.name.startswith("_")
    ]
    assert private == []


def test_findings_are_told_apart_by_code_place_and_numbers_not_by_their_english():
    """Refusals of an input have no code: their words may be looked for, findings' words may not."""
    english = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in TESTS
        if path.parent.name not in {"sentences", "language", "house_rules"}
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if WORDS_OF_A_FINDING.search(line) and "facts(" not in line
    ]
    assert english == []
