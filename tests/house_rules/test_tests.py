"""How tests are written: beside the package, on nothing private."""

import ast
from pathlib import Path

from tests.sources import nodes_of

ROOT = Path(__file__).parents[2]
TESTS = sorted(path for folder in ("tests", "api_tests") for path in (ROOT / folder).rglob("*.py"))
WITHOUT_TESTS_OF_THEIR_OWN = {"demo"}  # shipped data: the jobs are tried in tests/demo


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
