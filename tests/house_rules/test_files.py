"""The size and the names of files and functions, and words that have no place in the project."""

import ast
import re
from collections import Counter
from pathlib import Path

from tests.conftest import FIRST
from tests.sources import nodes_of, tree_of

ROOT = Path(__file__).parents[2]
SOURCES = sorted(p for folder in ("estimator", "tests", "api_tests") for p in (ROOT / folder).rglob("*.py"))
PACKAGE = [p for p in SOURCES if p.is_relative_to(ROOT / "estimator")]
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "estimator", "pricebooks", "api_tests", "tests", "Dockerfile",
    "LICENSE",
}  # fmt: skip
BUILT = {"build", "dist", "estimator.egg-info", "estimator-demo", "estimator-data", "out", "var"}


def test_there_are_sources_to_check():
    assert len(PACKAGE) > 50


def test_a_file_has_at_most_400_lines():
    lines = {str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines()) for path in SOURCES}
    assert {name: count for name, count in lines.items() if count > 400} == {}


WRITTEN_BY_HAND = [p for p in PACKAGE if "versions" not in p.parts]  # a migration is one list of steps


MANY_SIDE_BY_SIDE = {".", "storage/migrations/versions"}  # vocabulary and entries; one step after the other


def test_a_folder_has_at_most_fifteen_modules_side_by_side():
    folders = Counter(p.parent.relative_to(ROOT / "estimator").as_posix() for p in PACKAGE if p.name != "__init__.py")
    assert {name for name, count in folders.items() if count > 15} == MANY_SIDE_BY_SIDE


def _body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    body = function.body
    if isinstance(body[0], ast.Expr) and isinstance(body[0].value, ast.Constant) and len(body) > 1:
        body = body[1:]
    return (body[-1].end_lineno or 0) - body[0].lineno + 1


def test_a_function_body_has_at_most_40_lines():
    long = [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in WRITTEN_BY_HAND
        for node in nodes_of(path)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and _body_lines(node) > 40
    ]
    assert long == []


def test_no_module_is_named_for_being_handy():
    names = {part for p in PACKAGE for part in p.relative_to(ROOT).with_suffix("").parts}
    assert names.isdisjoint({"utils", "util", "helpers", "helper", "common", "misc"})


def test_the_top_level_is_as_designed():
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")} - BUILT
    assert found <= TOP_LEVEL, found - TOP_LEVEL
    assert found >= TOP_LEVEL, TOP_LEVEL - found


def test_the_guide_for_developers_stays_under_12_kilobytes():
    assert (ROOT / "DEVELOPERS.md").stat().st_size < 12_000


def test_the_files_that_are_to_be_tested_first_are_there():
    assert [name for name in FIRST if not (ROOT / name).is_file()] == []


def test_no_registry_host_and_no_path_of_a_machine_stands_in_the_project():
    forbidden = re.compile(
        "|".join(
            [
                "py" + r"pi\.org",
                "python" + "hosted",
                "registry" + r"\.npmjs",
                "deb" + r"\.debian",
                r"(?<![\w.])/wo" + "rk/",
            ]
        )
    )
    texts = [p for p in ROOT.rglob("*") if p.is_file() and p.suffix in {".py", ".md", ".toml", ".txt", ".csv", ".json"}]
    texts = [p for p in texts if not set(p.relative_to(ROOT).parts) & ({".venv", ".git"} | BUILT)]
    assert [str(p) for p in texts if forbidden.search(p.read_text(encoding="utf-8", errors="ignore"))] == []


def test_each_folder_says_what_it_takes_and_gives():
    """A folder's __init__.py says what the folder is for."""
    heads = sorted((ROOT / "estimator").rglob("__init__.py"))
    assert [str(path.relative_to(ROOT)) for path in heads if not ast.get_docstring(tree_of(path))] == []
