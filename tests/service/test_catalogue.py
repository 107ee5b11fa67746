"""Which pricebook fits a site where nobody names one."""

import shutil
from datetime import date

import pytest

from estimator.demo import books_folder
from estimator.job import Address, Site
from estimator.service.catalogue import Catalogue
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
