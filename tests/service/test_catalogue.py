"""Which pricebook fits a site where nobody names one."""

import shutil
from datetime import date

import pytest

from estimator.demo import books_folder
from estimator.errors import PricebookRefused
from estimator.job import Address, Site
from estimator.service.catalogue import Catalogue
from estimator.storage.books import read_book
from tests.builders import a_job

ON = date(2026, 11, 25)


@pytest.fixture
def catalogue(tmp_path):
    """The demonstration book in dollars, and the one in euros under a name that sorts behind it."""
    shutil.copytree(books_folder() / "prairie-us", tmp_path / "prairie-us")
    shutil.copytree(books_folder() / "hanse-eu", tmp_path / "zonal-eu")
    for file in (tmp_path / "zonal-eu").glob("*/book.toml"):
        file.write_text(file.read_text(encoding="utf-8").replace('"hanse-eu"', '"zonal-eu"'), encoding="utf-8")
    return Catalogue([tmp_path])


# Source: Regulation (EU) 2025/1407: Bulgaria pays in euros from 1 January 2026 (from memory); ISO 4217 for the others.
@pytest.mark.parametrize(
    ("country", "book"),
    [("DE", "zonal-eu"), ("FR", "zonal-eu"), ("BG", "zonal-eu"), ("US", "prairie-us"), ("EC", "prairie-us")],
)
def test_a_site_gets_the_book_of_its_country_else_of_its_currency(catalogue, country, book):
    job = a_job(site=Site(address=Address(("Street 1",), "1000", "Town", "", country)))
    assert catalogue.choose("", None, None, ON, job).id == book


@pytest.mark.parametrize("edition", [None, "2026-12"])
def test_of_all_books_the_one_that_is_used_is_read(catalogue, monkeypatch, edition):
    read = []
    monkeypatch.setattr(
        "estimator.service.catalogue.read_book", lambda folder: read.append(folder) or read_book(folder)
    )
    job = a_job(site=Site(address=Address(("Street 1",), "1000", "Town", "", "DE")))
    for _ in range(2):
        assert catalogue.choose("", edition and "zonal-eu", edition, ON, job).id == "zonal-eu"
    assert [folder.parent.name for folder in read] == ["zonal-eu"]


def test_a_book_that_is_named_is_read_although_another_is_at_fault(catalogue, tmp_path):
    (tmp_path / "prairie-us" / "2026-12" / "parts.csv").write_text("nonsense\n", encoding="utf-8")
    assert catalogue.get("", "zonal-eu", "2026-12").edition == "2026-12"
    with pytest.raises(PricebookRefused):
        catalogue.get("", "prairie-us", "2026-12")
