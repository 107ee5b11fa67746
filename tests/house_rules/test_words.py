"""Facts before sentences: neither the package nor its tests look for English in what a finding or a refusal says."""

import ast
from pathlib import Path

from tests.sources import nodes_of

ROOT = Path(__file__).parents[2]
PACKAGE = sorted((ROOT / "estimator").rglob("*.py"))
TESTS = sorted(path for folder in ("tests", "api_tests") for path in (ROOT / folder).rglob("*.py"))
PLACES_IN_WORDS = {"estimator/errors.py"}
"""Files that may look whether a sentence kept long ago begins with its place: it was kept as words alone."""
WORDS_THEMSELVES = {"sentences", "language", "house_rules"}
"""Rooms whose tests are about words."""
PLAIN_WORDS = {
    "tests/attachment/beam/test_beam.py",  # a beam that a caller made wrong: plain ValueErrors, known by words alone
    "tests/documents/pdf/test_pdf_file.py",  # likewise a file of the library that is not as it was
    "tests/documents/workbook/test_workbook.py",  # cell and formula, as a developer reads them
    "tests/tasks/test_pool.py",  # the trace of a fault of ours in another process
}
"""Files in which what is raised has no code."""
IN_WORDS = {
    "api_tests/test_first_hour.py",  # the form of a header that a request lacks
    "tests/loads/test_faults_in_units.py",  # how a number is said in two units
    "tests/storage/test_kept_sentences.py",  # what a sentence kept long ago says
    "tests/test_plausible.py",  # how a number is said in another unit
}
"""Files that test the words themselves."""


def is_words(node):
    """Whether an expression is what a finding, a fault or a problem says, or an error as a text."""
    if isinstance(node, ast.Attribute):
        return node.attr in {"message", "told"}
    if isinstance(node, ast.Subscript):
        return isinstance(node.slice, ast.Constant) and node.slice.value in {"message", "detail"}
    if isinstance(node, ast.Call):
        of_an_error = [
            each for each in node.args if isinstance(each, ast.Attribute) and each.attr in {"value", "message"}
        ]
        return isinstance(node.func, ast.Name) and node.func.id == "str" and bool(of_an_error)
    return isinstance(node, ast.Name) and node.id == "message"


def is_text(node):
    """Whether an expression is a text as it stands, filled in or not; signs alone are none."""
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str) and any(letter.isalpha() for letter in node.value)
    return isinstance(node, ast.JoinedStr)


def looks_for_words(node):
    """Whether a comparison or a call looks for English in what is said."""
    if isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        return any(is_text(side) for side in sides) and any(is_words(side) for side in sides)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        begins = node.func.attr in {"startswith", "endswith", "count", "index", "find"} and is_words(node.func.value)
        return begins and any(is_text(each) for each in node.args)
    return False


def test_what_looks_for_words_is_found():
    for text in (
        "'too short' in found[0].message",
        "any('x' in f.message for f in found)",
        "message.startswith('row')",
        "'no' in answer.get_json()['errors'][0]['detail']",
        "'no' in str(refused.value)",
        "f.told == f'no {x}'",
    ):
        assert any(looks_for_words(node) for node in ast.walk(ast.parse(text))), text
    for text in ("'R-AL' in facts(found[0].message)", "code_of(fault) == 'missing'", "fault.message == other.message"):
        assert not any(looks_for_words(node) for node in ast.walk(ast.parse(text))), text


def test_findings_and_refusals_are_told_apart_by_code_place_and_values_not_by_their_english():
    english = [
        f"{name}:{node.lineno}"
        for path in TESTS
        for name in [path.relative_to(ROOT).as_posix()]
        if path.parent.name not in WORDS_THEMSELVES and name not in IN_WORDS
        for node in nodes_of(path)
        if looks_for_words(node)
    ]
    assert english == []


def test_no_refusal_is_matched_by_its_words():
    matched = {
        path.relative_to(ROOT).as_posix()
        for path in TESTS
        for node in nodes_of(path)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in {"raises", "warns"}
        and any(each.arg == "match" for each in node.keywords)
    }
    assert matched == PLAIN_WORDS


def test_the_package_reads_nothing_out_of_its_own_english():
    english = {
        path.relative_to(ROOT).as_posix() for path in PACKAGE for node in nodes_of(path) if looks_for_words(node)
    }
    assert english == PLACES_IN_WORDS
