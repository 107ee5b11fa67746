"""A first pricebook is written, read without a fault, and prices the sample job; an edition is held against another."""

import json
import re

import pytest
from click.testing import CliRunner

from estimator.cli import main
from estimator.demo import books_folder

EU = sorted(path for path in (books_folder() / "hanse-eu").iterdir() if path.is_dir())[-1]


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    runner = CliRunner()
    return lambda *words: runner.invoke(main, [str(word) for word in words])


@pytest.mark.parametrize(("units", "locale"), [("metric", "de-DE"), ("us", "en-US"), ("metric", "fr-FR")])
def test_a_first_book_has_no_fault_and_prices_the_sample_job(run, tmp_path, units, locale):
    folder = tmp_path / "books" / "our-house" / "2026-11"
    made = run("new-pricebook", folder, "--units", units, "--locale", locale, "--valid-from", "2026-11-01")
    assert made.exit_code == 0, made.output
    assert "no fault" in run("check-pricebook", folder).output
    job = tmp_path / "job.json"
    job.write_text(run("sample-job", "--units", units).stdout, encoding="utf-8")
    words = ("--pricebooks", tmp_path / "books", "--pricebook", "our-house", "--on", "2026-11-25", "--json")
    quoted = run("quote", job, *words, "--out", tmp_path / "out")
    estimate = json.loads(quoted.stdout)["estimate"]
    assert estimate["counts"]["modules"] == 28
    assert [each for each in estimate["checks"] if each["severity"] == "error"] == []


def test_a_german_book_is_written_with_commas_and_remarks(run, tmp_path):
    folder = tmp_path / "books" / "our-house" / "2026-11"
    run("new-pricebook", folder)
    text = (folder / "parts.csv").read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert ";6,10;" in text
    assert re.search(r"^rate = 0.30", (folder / "book.toml").read_text(encoding="utf-8"), re.MULTILINE)


def test_a_folder_that_holds_something_is_left_alone(run, tmp_path):
    folder = tmp_path / "books" / "our-house" / "2026-11"
    folder.mkdir(parents=True)
    (folder / "parts.csv").write_text("mine", encoding="utf-8")
    refused = run("new-pricebook", folder)
    assert refused.exit_code == 2
    assert "something is there already" in refused.output
    assert [path.name for path in folder.iterdir()] == ["parts.csv"]


def test_an_edition_against_itself_has_no_difference(run):
    done = run("check-pricebook", EU, "--against", EU.name)
    assert (done.exit_code, "no difference" in done.output) == (0, True)
