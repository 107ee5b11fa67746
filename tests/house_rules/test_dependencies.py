"""An audit of what is installed with the service that needs no network: licences, origins, strays, undeclared imports.

It tells: under which licence each pinned package stands (as its own metadata says), that each is a released version
with a hash and from no other place, that nothing is pinned that no dependency asks for, and that the package imports
nothing it does not declare. It cannot tell: known vulnerabilities, versions that were withdrawn, projects that nobody
keeps any more, or whether a licence's text is what the metadata says; these need a list from outside, on a day with a
network (``.ci/run newest`` shows at least whether newer versions pass).
"""

import ast
import re
import sys
import tomllib
from importlib.metadata import PackageNotFoundError, distribution, packages_distributions
from pathlib import Path

import pytest
from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.sources import nodes_of

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
FILES = ("requirements.txt", "requirements-server.txt")
ALLOWED = re.compile(
    r"\b(MIT|MIT-0|BSD|0BSD|Apache|ISC|PSF|Python Software Foundation|MPL|Mozilla Public|ZPL|HPND|Unlicense|CC0|Zlib)",
    re.IGNORECASE,
)
KNOWN = {
    "psycopg": "LGPL-3.0: used unchanged as a library of its own, only where PostgreSQL is used",
    "psycopg-binary": "LGPL-3.0, as psycopg",
    "psycopg-pool": "LGPL-3.0, as psycopg",
    "python-stdnum": "LGPL-2.1 or later: used unchanged as a library of its own",
    "certifi": "MPL-2.0",
}
"""Licences that the pattern does not know or that want a word."""


def pins(name):
    text = (ROOT / ".ci" / name).read_text(encoding="utf-8")
    return {
        canonicalize_name(found) for found in re.findall(r"^([A-Za-z0-9._-]+)(?:\[[^\]]*\])?==", text, re.MULTILINE)
    }


def installed(name):
    try:
        return distribution(name)
    except PackageNotFoundError:
        return None


def licence(found):
    """What a package's own metadata says of its licence."""
    said = found.metadata.get("License-Expression") or found.metadata.get("License") or ""
    classifiers = [each for each in found.metadata.get_all("Classifier") or () if each.startswith("License ::")]
    return " ".join([said[:200], *classifiers])


@pytest.mark.parametrize("name", FILES)
def test_every_package_stands_under_a_licence_that_serves(name):
    found = {each: installed(each) for each in pins(name)}
    here = {each: dist for each, dist in found.items() if dist is not None}
    assert len(here) >= 0.8 * len(found), "too little is installed to tell"
    wrong = {
        each: licence(dist) for each, dist in here.items() if each not in KNOWN and not ALLOWED.search(licence(dist))
    }
    assert wrong == {}


@pytest.mark.parametrize("name", [*FILES, "requirements-test.txt"])
def test_every_pin_is_a_released_version_with_hashes_from_no_other_place(name):
    text = (ROOT / ".ci" / name).read_text(encoding="utf-8")
    assert not re.search(r"://|^\s*-e |^\s*--(index|find|extra-index|trusted)", text, re.MULTILINE)
    for entry in re.split(r"\n(?=[A-Za-z0-9])", text.strip()):
        if re.match(r"[A-Za-z0-9]", entry):
            assert re.match(r"[A-Za-z0-9._-]+(\[[^\]]*\])?==\d[^\s]*", entry), entry[:80]
            assert "--hash=sha256:" in entry, entry[:80]
            assert not re.match(r"[^=]+==\d[\d.]*(a|b|rc|\.dev)\d", entry) or "opentelemetry" in entry, entry[:80]


@pytest.mark.parametrize("name", FILES)
def test_nothing_is_pinned_that_no_dependency_asks_for(name):
    extras = {"requirements.txt": (), "requirements-server.txt": ("postgresql", "traces", "openid")}[name]
    wanted = [Requirement(each) for each in PROJECT["dependencies"]]
    wanted += [Requirement(each) for extra in extras for each in PROJECT["optional-dependencies"][extra]]
    reached, waiting = set(), wanted
    while waiting:
        each = waiting.pop()
        key = (canonicalize_name(each.name), frozenset(each.extras))
        if key in reached:
            continue
        reached.add(key)
        found = installed(each.name)
        for text in (found.requires or ()) if found else ():
            inner = Requirement(text)
            if inner.marker is None or any(
                inner.marker.evaluate({**default_environment(), "extra": extra}) for extra in (*each.extras, "")
            ):
                waiting.append(inner)
    elsewhere = {
        "colorama",
        "tzdata",
        "pywin32",
        "win32-setctime",
        "greenlet",
        "typing-extensions",
        "backports-asyncio-runner",
    }
    assert pins(name) - {reached_name for reached_name, _ in reached} - elsewhere == set()


def test_the_package_imports_only_what_it_declares():
    declared = {canonicalize_name(Requirement(each).name) for each in PROJECT["dependencies"]}
    optional = {
        canonicalize_name(Requirement(each).name)
        for extra in ("postgresql", "traces", "openid")
        for each in PROJECT["optional-dependencies"][extra]
    }
    brought = {"werkzeug": "flask", "jinja2": "flask"}  # parts of Flask that it hands on
    owners, strange = packages_distributions(), {}
    for path in sorted((ROOT / "estimator").rglob("*.py")):
        for node in nodes_of(path):
            names = (
                [each.name for each in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom) and not node.level
                else []
            )
            for top in {name.partition(".")[0] for name in names} - {
                "estimator",
                "pricebooks",
                "_typeshed",
                "",
                *sys.stdlib_module_names,
            }:
                found = {canonicalize_name(each) for each in owners.get(top, [top])}
                if not found & (declared | optional) and brought.get(top) is None:
                    strange[top] = str(path.relative_to(ROOT))
    assert strange == {}


CORE = (
    "layout", "loads", "mounting", "attachment", "cutting", "takeoff", "buying", "freight", "labour", "pricing",
    "comparison", "orders", "pricebook",
)  # fmt: skip
TABLES_OF_MATHEMATICS = {"attachment/capacity/annex_d.py"}
"""Student's distribution: a function of two numbers, dear to work out and the same for ever."""


def test_the_core_keeps_nothing_between_calls():
    """What one calculation leaves for the next is owned by whoever calls, and passed in."""
    sources = [path for room in CORE for path in (ROOT / "estimator" / room).rglob("*.py")]
    sources += (ROOT / "estimator").glob("*.py")
    keeping = {
        path.relative_to(ROOT / "estimator").as_posix()
        for path in sources
        for node in nodes_of(path)
        if isinstance(node, ast.Global)
        or (isinstance(node, ast.ImportFrom) and {each.name for each in node.names} & {"cache", "lru_cache"})
    }
    assert keeping == TABLES_OF_MATHEMATICS
