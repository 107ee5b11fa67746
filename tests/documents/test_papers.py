"""One list of papers: addresses, links, answers by Accept, the command line and README's table are made of it."""

import ast
import re
from importlib import import_module
from pathlib import Path

import pytest

from estimator.api.resources import order_lists
from estimator.api.resources.quotes import documents as quote_documents
from estimator.cli.estimating.papers import write_papers
from estimator.documents.papers import ORDER_FORMS, ORDER_PAPERS, QUOTE_FORMS, QUOTE_PAPERS
from tests.documents.offers import DATED, an_offer
from tests.sources import nodes_of

ROOT = Path(__file__).parents[2]
DOCUMENTS = ROOT / "estimator" / "documents"
PAPERS = (*QUOTE_PAPERS, *ORDER_PAPERS)


def test_every_folder_that_hands_out_a_paper_is_on_the_list():
    folders = [path.parent.name for path in DOCUMENTS.glob("*/paper.py")]
    handed_out = [import_module(f"estimator.documents.{name}").PAPER for name in folders]
    assert {each.name for each in handed_out} == {each.name for each in PAPERS} == set(folders)


def imported_rooms(folder):
    """Which rooms of the documents a room's files import."""
    for path in (DOCUMENTS / folder).rglob("*.py"):
        for node in nodes_of(path):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("estimator.documents."):
                yield node.module.split(".")[2]


def test_no_paper_imports_another_and_nothing_below_imports_a_paper():
    papers = {path.parent.name for path in DOCUMENTS.glob("*/paper.py")}
    rooms = {path.parent.name for path in DOCUMENTS.glob("*/__init__.py")}
    arrows = {(room, other) for room in rooms for other in imported_rooms(room) if other in papers and other != room}
    assert arrows == {
        ("workbook_reading", "workbook")
    }  # what comes back is read against the workbook as it was written


@pytest.mark.parametrize("forms", [QUOTE_FORMS, ORDER_FORMS], ids=["quote", "order"])
def test_no_two_forms_share_a_name_a_file_or_a_link(forms):
    for field in ("name", "file", "called"):
        values = [getattr(form, field) for form in forms.values()]
        assert len(values) == len(set(values)), field


def test_readme_shows_the_list():
    told = re.findall(r"^\| (.+?) \| (.+?) \| (`.+?) \|$", (ROOT / "README.md").read_text(encoding="utf-8"), re.M)
    rows = [
        (paper.name.replace("_", " "), ", ".join(paper.audience), ", ".join(f"`{form.file}`" for form in paper.forms))
        for paper in PAPERS
    ]
    assert [row for row in told if row[1] != "---"] == rows


def test_every_form_has_an_address_of_its_media_type():
    quotes = {(route.path, route.documents) for route in quote_documents.routes.routes}
    assert {(f"/quotes/<quote_id>/{form.file}", (form.media,)) for form in QUOTE_FORMS.values()} <= quotes
    orders = {(route.path, route.documents) for route in order_lists.routes.routes}
    here = "/order-lists/<order_list_id>"
    assert {(f"{here}/{form.file}", (form.media,)) for form in ORDER_FORMS.values()} <= orders
    own = {(f"{here}/suppliers/{form.address('<supplier>')}", (form.media,)) for form in ORDER_FORMS.values()
           if form.of_supplier}  # fmt: skip
    assert own <= orders


def test_accept_gives_every_media_type_that_a_form_has():
    assert set(quote_documents.BY_MEDIA) == {form.media for form in QUOTE_FORMS.values()}
    assert quote_documents.BY_MEDIA["application/pdf"].name == "quote_pdf"


def test_the_command_line_writes_every_paper_of_a_quote(tmp_path):
    papers = write_papers(an_offer(), DATED, tmp_path, lambda _: None)
    written = {path.name for path in papers.files}
    assert {form.file for form in QUOTE_FORMS.values()} <= written
    for form in ORDER_FORMS.values():
        there = any(name.startswith(f"{form.stem}-") and name.endswith(f".{form.ending}") for name in written)
        assert there or not form.early
