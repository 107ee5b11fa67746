"""The command line: documents in a folder, readable faults, JSON where a program reads, status 2 for bad input."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from estimator.cli import main
from estimator.demo import books_folder, demo_jobs, sample_job

JOB = next(demo.file for demo in demo_jobs() if demo.file.stem == "dairy-direct-eu")
CUT_LIST = {
    "unit": "mm",
    "kerf": 3,
    "stocks": [{"length": 6000, "price": "21.50", "available": None}],
    "pieces": [{"length": 1722, "count": 40}],
}


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in ("ESTIMATOR_DATA", "ESTIMATOR_PRICEBOOKS", "ESTIMATOR_DATABASE_URL"):
        monkeypatch.delenv(name, raising=False)
    runner = CliRunner()
    return lambda *words: runner.invoke(main, [str(word) for word in words])


def saved(path, document):
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def test_a_quote_is_written_into_a_folder(run, tmp_path):
    done = run("quote", JOB, "--on", "2026-11-25", "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"workbook.xlsx", "quote.pdf", "plan.svg", "plan.dxf", "setting-out.pdf", "estimate.json"} <= names
    assert {name.rpartition(".")[2] for name in names if name.startswith("order-list-")} >= {"csv", "xlsx"}
    estimate = json.loads((tmp_path / "out" / "estimate.json").read_text(encoding="utf-8"))
    assert "hanse-eu 2026-12" in done.output
    assert estimate["provenance"]["pricebook"] == "hanse-eu"
    assert estimate["totals"]["total"] in done.output


def test_with_json_only_json_is_printed(run, tmp_path):
    done = run("quote", JOB, "--on", "2026-11-25", "--out", tmp_path / "out", "--json")
    printed = json.loads(done.stdout)
    assert printed["estimate"]["counts"]["modules"] == 84
    assert "quote.pdf" in printed["files"]


def test_the_same_job_gives_the_same_files(run, tmp_path):
    for name in ("one", "two"):
        run("quote", JOB, "--on", "2026-11-25", "--out", tmp_path / name)
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes(), path.name


def test_a_job_with_faults_is_told_line_by_line_and_nothing_is_written(run, tmp_path):
    job = json.loads(JOB.read_text(encoding="utf-8"))
    job["module"]["mass"], job["colour"] = -1, "red"
    file = saved(tmp_path / "job.json", job)
    done = run("quote", file, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "/module/mass: -1 kg is out of range (allowed: above 0, at most 500 kg)" in done.stderr
    assert "/colour: unknown field" in done.stderr
    assert not (tmp_path / "out").exists()
    as_json = run("quote", file, "--out", tmp_path / "out", "--json")
    assert as_json.exit_code == 2
    assert {each["pointer"] for each in json.loads(as_json.stdout)["errors"]} == {"/module/mass", "/colour"}


@pytest.mark.parametrize("content", ["", "{", "[]", '{"a": NaN}'])
def test_a_file_that_holds_no_job_is_refused(run, tmp_path, content):
    file = tmp_path / "job.json"
    file.write_text(content, encoding="utf-8")
    done = run("quote", file, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert done.stderr.startswith("Error:")
    assert run("quote", tmp_path / "missing.json", "--out", tmp_path / "out").exit_code == 2


def test_a_pricebook_or_day_that_is_not_there_is_named(run, tmp_path):
    unknown = run("quote", JOB, "--pricebook", "nobodys", "--out", tmp_path / "out")
    assert unknown.exit_code == 2
    assert "hanse-eu" in unknown.stderr
    assert run("quote", JOB, "--on", "1999-01-01", "--out", tmp_path / "out").exit_code == 2
    assert run("quote", JOB, "--on", "tomorrow", "--out", tmp_path / "out").exit_code == 2


def test_a_cut_list_is_planned(run, tmp_path):
    """3 pieces of 1722 mm and 2 cuts fit 6000 mm, 4 do not: 14 bars. By hand."""
    file = saved(tmp_path / "cut.json", CUT_LIST)
    printed = json.loads(run("cut", file, "--json").stdout)
    assert printed["cost"] == printed["lower_bound"] == "301.00"
    assert printed["proven_optimal"] is True
    assert sum(bar["count"] for bar in printed["bars"]) == 14
    assert "proven least" in run("cut", file).stdout


def test_a_cut_list_with_faults_is_refused(run, tmp_path):
    for change in ({"unit": "furlong"}, {"stocks": []}, {"pieces": [{"length": 7000, "count": 1}]}, {"x": 1}):
        done = run("cut", saved(tmp_path / "cut.json", {**CUT_LIST, **change}))
        assert done.exit_code == 2, change
        assert done.stderr.startswith("Error:")


def test_loads_are_told_with_factors_and_clauses(run):
    """qh = 0.00256 Kz Kzt Kd Ke V^2 with Kz 0.90 (20 ft, exposure C), Kd 0.85, V 105 mph. Source: ASCE 7-16 26.10."""
    file = JOB.with_name("cold-store-us.json")
    roof = json.loads(run("loads", file, "--on", "2026-11-25", "--json").stdout)["roofs"][0]
    assert roof["own"]["velocity_pressure"] == pytest.approx(0.00256 * 0.90 * 0.85 * 105**2, rel=1e-9)
    assert all(zone["uplift"] < 0 < zone["downward"] for zone in roof["zones"])
    assert any(zone["spans"] for zone in roof["zones"])
    strengths = {each["direction"]: each for each in roof["strength"]["attachment"]}
    assert strengths.keys() == {"uplift", "downward", "along_slope"}
    for each in strengths.values():
        factor = 1 / each["factor"] if each["divided"] else each["factor"]
        assert each["strength"] == pytest.approx(each["nominal"] * factor)
    done = run("loads", file, "--on", "2026-11-25")
    assert done.exit_code == 0
    assert "ASCE 7-16 Eq. 26.10-1" in done.stdout
    assert "Caution" in done.stdout


def test_loads_make_no_cut_plan(run, monkeypatch):
    """The plan takes seconds and says nothing of loads; the mounting left open is still chosen, and named."""

    def refuse(*_args):
        raise AssertionError("a cut plan was made")

    monkeypatch.setattr("estimator.estimate.plan_cuts", refuse)
    done = run("loads", JOB.with_name("cold-store-us.json"), "--on", "2026-11-25")
    assert done.exit_code == 0 and "bracket TG-A" in done.stdout


def test_every_fault_of_a_pricebook_is_told(run, tmp_path):
    good = run("check-pricebook", books_folder())
    assert good.exit_code == 0
    assert good.stdout.count("no fault") >= 4
    folder = tmp_path / "book" / "2026-12"
    folder.mkdir(parents=True)
    for path in (books_folder() / "hanse-eu" / "2026-12").iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    (folder / "suppliers.csv").unlink()
    (folder / "freight.csv").write_text("zone;colour\n", encoding="utf-8")
    bad = run("check-pricebook", folder)
    assert bad.exit_code == 2
    assert "suppliers.csv" in bad.stderr
    assert "freight.csv" in bad.stderr
    assert json.loads(run("check-pricebook", folder, "--json").stdout)["type"] == "/problems/invalid-pricebook"
    assert run("check-pricebook", Path("nowhere")).exit_code == 2


def test_keys_are_made_listed_and_revoked(run, tmp_path):
    data = ("--data", tmp_path / "data")
    made = run("keys", "create", *data, "--role", "crm", "--name", "the CRM")
    assert made.stdout.startswith("key: est_")
    prefix = made.stdout.split("_")[1]
    listed = json.loads(run("keys", "list", *data, "--json").stdout)
    assert [(each["prefix"], each["role"]) for each in listed] == [(prefix, "crm")]
    assert "revoked" in run("keys", "revoke", *data, prefix).stdout
    assert run("keys", "revoke", *data, "nobody").exit_code == 2
    assert run("keys", "create", *data, "--role", "owner", "--name", "x").exit_code == 2


def test_settings_that_cannot_be_read_are_all_named(run, tmp_path, monkeypatch):
    monkeypatch.setenv("ESTIMATOR_PORT", "http")
    monkeypatch.setenv("ESTIMATOR_LOG_LEVEL", "shout")
    done = run("serve", "--data", tmp_path / "data")
    assert done.exit_code == 2
    assert "ESTIMATOR_PORT" in done.stderr
    assert "ESTIMATOR_LOG_LEVEL" in done.stderr


RAILED = next(demo.file for demo in demo_jobs() if demo.file.stem == "sugarhouse-us")


def test_off_cuts_and_a_margin_come_in_with_a_file_of_choices(run, tmp_path):
    offcut = {"rail": "TG-RA15", "length": "20 ft", "price": "3.00", "count": 2}
    choices = saved(tmp_path / "choices.json", {"offcuts": [offcut], "margin": "0.30", "pricebook": "prairie-us"})
    done = run("quote", RAILED, "--on", "2026-11-25", "--choices", choices, "--out", tmp_path / "out", "--json")
    assert done.exit_code == 0, done.output
    estimate = json.loads(done.stdout)["estimate"]
    yard = [bar for bar in estimate["cut_plan"]["bars"] if bar["from_yard"]]
    assert 1 <= sum(bar["count"] for bar in yard) <= 2
    assert all((bar["stock"], bar["price"]) == (6096.0, "3.00") for bar in yard)
    assert "TG-RA15-offcut-6096" in [line["part"] for line in estimate["lines"]]


def test_faults_of_the_choices_stand_at_their_place(run, tmp_path):
    bad = saved(tmp_path / "bad.json", {"offcuts": [{"rail": "TG-RA20", "length": -1, "price": "1"}], "colour": "red"})
    done = run("quote", RAILED, "--choices", bad, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "/offcuts/0/length" in done.stderr
    assert "/colour: unknown field" in done.stderr
    unknown = saved(tmp_path / "unknown.json", {"offcuts": [{"rail": "NO-RAIL", "length": 3000, "price": "1"}]})
    done = run("quote", RAILED, "--on", "2026-11-25", "--choices", unknown, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "/offcuts/0/rail: rail 'NO-RAIL' is not in pricebook prairie-us" in done.stderr


def test_a_cut_list_takes_off_cuts_untrimmed_and_no_more_than_are_on_hand(run, tmp_path):
    stocks = [{"length": 6000, "price": "60"}, {"length": 4000, "price": "1", "available": 1, "offcut": True}]
    cut_list = {"end_trim": 10, "stocks": stocks, "pieces": [{"length": 4000, "count": 2}]}
    done = run("cut", saved(tmp_path / "cut.json", cut_list), "--json")
    answer = json.loads(done.stdout)
    assert (answer["cost"], answer["proven_optimal"]) == ("61.00", True)


@pytest.mark.parametrize(("units", "book"), [("metric", "hanse-eu"), ("us", "prairie-us")])
def test_the_sample_job_quotes_without_a_standing_check(run, tmp_path, units, book):
    """What a beginner posts first can be issued; its own book is chosen by the site's country."""
    job = tmp_path / "job.json"
    job.write_text(run("sample-job", "--units", units).stdout, encoding="utf-8")
    done = run("quote", job, "--on", "2026-11-25", "--out", tmp_path / "out", "--json")
    estimate = json.loads(done.stdout)["estimate"]
    assert estimate["counts"]["modules"] == 3 * 10 - 2  # drawn: three rows of ten, two cells left out
    assert estimate["provenance"]["pricebook"] == book
    assert [each for each in estimate["checks"] if each["severity"] == "error"] == []


def test_loads_tell_what_is_hardly_meant_in_the_job_s_units(run, tmp_path):
    """A bare 30 for ground snow is 30 Pa: with or without a bracket that fits, it is told."""
    job = json.loads(JOB.with_name("cold-store-us.json").read_text(encoding="utf-8"))
    job["site"]["loads"]["ground_snow"] = 30
    told = run("loads", saved(tmp_path / "job.json", job), "--on", "2026-12-05")
    assert "30 psf would be 1436 Pa" in told.stdout
    job["roofs"][0]["ribs"]["spacing"] = 4900
    without = json.loads(run("loads", saved(tmp_path / "job.json", job), "--on", "2026-12-05", "--json").stdout)
    assert "value_implausible" in {check["code"] for check in without["all_checks"]}


def test_seconds_search_on_for_a_quote_and_never_make_it_dearer(run, tmp_path):
    """The bound of a longer search is no lower, and its plan no dearer; proven within the time, or the time is used."""
    plans, small = [], tmp_path / "job.json"
    small.write_text(sample_job("us"), encoding="utf-8")
    for more in ((), ("--seconds", "60")):
        where = tmp_path / str(len(plans))
        done = run("quote", small, "--on", "2026-11-25", *more, "--out", where, "--json")
        assert done.exit_code == 0, done.output
        plans.append(json.loads(done.stdout)["estimate"]["cut_plan"])
    usual, longer = plans
    assert float(longer["cost"]) <= float(usual["cost"])
    assert float(longer["lower_bound"]) >= float(usual["lower_bound"])
    assert longer["proven_optimal"] or not usual["proven_optimal"]
    assert run("quote", RAILED, "--seconds", "0", "--out", tmp_path).exit_code == 2


def test_workers_of_their_own_need_postgresql(run, tmp_path, monkeypatch):
    monkeypatch.setenv("ESTIMATOR_DATA", str(tmp_path / "data"))
    done = run("work", "--processes", "1")
    assert done.exit_code == 2
    assert "PostgreSQL" in done.stderr
