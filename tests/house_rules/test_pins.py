"""The exact versions that the README installs: within the ranges, each with its hashes, the same in both files."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
RUN_TIME = [Requirement(text) for text in PROJECT["dependencies"]]
TEST = [Requirement(text) for text in PROJECT["optional-dependencies"]["test"]]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def pinned(name):
    """Version by name, of one file of pins; a pin without a hash fails here."""
    text = (ROOT / ".ci" / name).read_text(encoding="utf-8")
    pins = dict(
        re.findall(r"^([a-z0-9._-]+)(?:\[[\w,-]+\])?==([^\s;]+)(?:[^\n]*)\\\n +--hash=sha256:", text, re.MULTILINE)
    )
    assert len(pins) == len(re.findall(r"^[a-z]", text, re.MULTILINE)), "every pin has a hash"
    return pins


SERVER = [
    Requirement(text)
    for extra in ("postgresql", "traces", "openid")
    for text in PROJECT["optional-dependencies"][extra]
]


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("requirements.txt", RUN_TIME),
        ("requirements-server.txt", [*RUN_TIME, *SERVER]),
        ("requirements-test.txt", [*RUN_TIME, *TEST]),
    ],
)
def test_every_dependency_is_pinned_within_its_range(name, wanted):
    pins = pinned(name)
    wrong = [str(each) for each in wanted if not each.specifier.contains(pins.get(canonicalize_name(each.name), "0"))]
    assert wrong == [], f"make .ci/{name} anew, as DEVELOPERS.md says"


def test_the_tests_run_with_the_versions_that_are_run():
    tested = pinned("requirements-test.txt")
    for run in (pinned("requirements.txt"), pinned("requirements-server.txt")):
        assert {name: tested[name] for name in run} == run


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-test.txt"])
def test_the_readme_installs_the_pins_and_then_nothing_but_the_project(name):
    assert (
        f".venv/bin/pip install --no-deps --require-hashes -r .ci/{name} \\\n  && .venv/bin/pip install --no-deps . "
        in README
    )
