"""How tests are written: beside the package, on nothing private."""

import ast
import re
from pathlib import Path

from tests.sources import nodes_of

ROOT = Path(__file__).parents[2]
TESTS = sorted(path for folder in ("tests", "api_tests") for path in (ROOT / folder).rglob("*.py"))
PACKAGE = ROOT / "estimator"
PATH_IN_PACKAGE = re.compile(r"estimator(\.\w+)+\Z")
OF_NO_ROOM = {"benchmarks", "house_rules", "outside", "properties", "units", "sentences", "worked"}
"""Folders of tests of several rooms, or of a loose file of the package."""
TESTED_ELSEWHERE = {
    "api/description": "api/test_against_description.py",
    "contract/problems": "contract/test_faults.py",
    "documents/picking": "documents/order",
    "documents/purchasing": "documents/order",
    "documents/xlsx": "documents/workbook",
    "loads/actions": "loads/test_find_pressures.py",
    "service/dispatch": "service/outbox",
    "storage/migrations": "storage/test_migrations.py",
    "web/desk": "web/test_signing_in.py",
}
"""Rooms without tests of their own, and what tries them."""


def _rooms(deepest: int) -> set[str]:
    rooms = {head.parent.relative_to(PACKAGE) for head in PACKAGE.rglob("__init__.py") if head.parent != PACKAGE}
    return {room.as_posix() for room in rooms if len(room.parts) <= deepest}


def test_every_room_of_the_package_has_tests_beside_it():
    tested = {path.parent.relative_to(ROOT / "tests") for path in TESTS if path.is_relative_to(ROOT / "tests")}
    holding = {place.as_posix() for room in tested for place in (room, *room.parents)}
    assert _rooms(2) - holding == TESTED_ELSEWHERE.keys()
    assert [place for place in TESTED_ELSEWHERE.values() if not (ROOT / "tests" / place).exists()] == []


def test_folders_of_tests_are_rooms_of_the_package():
    folders = {path.parent.relative_to(ROOT / "tests") for path in TESTS if path.is_relative_to(ROOT / "tests")}
    mirrored = {folder for folder in folders if folder.parts and folder.parts[0] not in OF_NO_ROOM}
    assert {folder.as_posix() for folder in mirrored} - _rooms(9) == set()


def _of_the_package(path: Path) -> set[str]:
    """Names that a test module imports from the package."""
    return {
        alias.asname or alias.name
        for node in nodes_of(path)
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "estimator"
        for alias in node.names
    }


def _private(name: str) -> bool:
    return name.startswith("_") and not name.startswith("__")


def test_tests_import_nothing_private():
    private = [
        f"{path.relative_to(ROOT)}: {name}" for path in TESTS for name in _of_the_package(path) if _private(name)
    ]
    assert private == []


def test_tests_reach_for_nothing_private():
    """Neither an attribute of what is imported from the package, nor a name or path replaced while a test runs."""
    reached = []
    for path in TESTS:
        imported = _of_the_package(path)
        for node in nodes_of(path):
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in imported:
                names = [node.attr]
            elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("setattr"):
                names = [arg.value for arg in node.args if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and PATH_IN_PACKAGE.match(node.value):
                names = node.value.split(".")
            else:
                continue
            reached += [f"{path.relative_to(ROOT)}:{node.lineno}: {name}" for name in names if _private(name)]
    assert reached == []
