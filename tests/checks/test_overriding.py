"""An override names a check by code and place; one that version 0.1 kept names the place in its words."""

import json
from dataclasses import replace
from datetime import date

import pytest

from estimator.attachment import SettingOut
from estimator.checks import named_by_place, standing_errors, unmatched
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import books_folder, demo_jobs
from estimator.errors import Finding
from estimator.estimate import estimate
from estimator.job import CheckOverride, Choices
from estimator.places import Place
from estimator.sentences import say
from estimator.storage.books import book_in_force, find_editions, read_book
from tests.builders import a_job

TODAY = date(2026, 11, 25)
ROW = Place(roof="South", array="A", row=1, rail=1)
TOO_LONG = Finding("cantilever_too_long", "error", say("too long"), replace(ROW, end="left"))


def override(place, code="cantilever_too_long"):
    return CheckOverride(code, place, "agreed")


def test_an_override_lets_the_check_of_its_code_and_place_stand_and_no_other():
    other = replace(TOO_LONG, place=replace(ROW, end="right"))
    assert standing_errors((TOO_LONG, other), (override(TOO_LONG.place),)) == (other,)
    assert standing_errors((TOO_LONG,), (override(TOO_LONG.place, code="span_too_long"),)) == (TOO_LONG,)


def test_warnings_and_notes_never_stand_in_the_way():
    assert standing_errors((replace(TOO_LONG, severity="warning"), replace(TOO_LONG, severity="note")), ()) == ()


def test_an_override_of_nothing_is_told_by_its_number():
    overrides = (override(TOO_LONG.place), override(ROW), override(TOO_LONG.place, code="no_such"))
    assert unmatched((TOO_LONG,), overrides) == (1, 2)


def demanding(name):
    """A demo job as of version 0.1, no gap wider: under far more wind, wide strips to be kept clear, given spans."""
    demo = next(each for each in demo_jobs() if each.file.stem == name)
    job = JobSchema().load(json.loads(demo.file.read_text(encoding="utf-8")))
    loads, clear = job.site.loads, {"eave_mm": 3000.0, "left_mm": 6000.0}
    harder = replace(loads, wind_speed_mph=loads.wind_speed_mph * 1.6)
    plain = {roof.name: tuple(replace(each, wider_gaps=()) for each in roof.arrays) for roof in job.roofs}
    roofs = tuple(
        replace(roof, keep_clear=replace(roof.keep_clear, **clear), arrays=plain[roof.name]) for roof in job.roofs
    )
    mounting = replace(job.mounting, max_span_mm=2400.0, max_cantilever_mm=500.0)
    job = replace(job, site=replace(job.site, loads=harder), roofs=roofs, mounting=mounting)
    book = read_book(book_in_force(find_editions([books_folder()]), demo.pricebook, TODAY).folder)
    known_then = {"weak_inertia_mm4": None, "weak_section_modulus_mm3": None}
    return job, replace(book, rails={name: replace(rail, **known_then) for name, rail in book.rails.items()})


# as version 0.1 named these places when it estimated the same job
KEPT_BY_0_1 = [
    ("module_in_keep_clear", "South / A / left"),
    ("module_in_keep_clear", "South / A / eave"),
    ("rail_in_keep_clear", "South / A / rails / left"),
    ("rail_in_keep_clear", "South / A / rails / eave"),
    ("attachment_overloaded", "South / A / row 1 / rail 1 / attachment 10 of 11, 737 in from the rail's start"),
    ("rail_deflection", "South / A / row 1 / rail 1 / cantilever from 821 in to 825.79 in"),
    ("attachment_overloaded", "South / A / row 4, part 1 / rail 1 / attachment 2 of 5, 89 in from the rail's start"),
]


@pytest.fixture(scope="module")
def made():
    job, book = demanding("sugarhouse-us")
    overrides = tuple(CheckOverride(code, Place(told=words), "agreed") for code, words in KEPT_BY_0_1)
    with pytest.MonkeyPatch.context() as patched:  # version 0.1 took every module as exposed at an array edge
        patched.setattr("estimator.loads.asce7.pressures.inner_cells", lambda *_: ())
        return estimate(job, book, Choices(overrides=overrides), TODAY)


def test_what_version_0_1_let_stand_in_words_still_stands(made):
    assert made.errors == ()
    assert sum(check.severity == "error" for check in made.checks) == len(KEPT_BY_0_1)


def test_words_of_version_0_1_become_the_place_they_meant(made):
    assert not any(each.place.told for each in made.overridden)
    worst = [each.place for each in made.overridden if each.code == "attachment_overloaded"]
    assert worst == [replace(ROW, attachment=10), replace(ROW, row=4, section=1, attachment=2)]
    (bent,) = [each.place for each in made.overridden if each.code == "rail_deflection"]
    assert bent == replace(ROW, span=11)


@pytest.mark.parametrize(("place", "words"), [
    (Place(roof="South", array="A", column=3), "South / A / column 3"),
    (replace(ROW, end="left"), "South / A / row 1 / rail 1 / left end"),
    (Place(roof="South", array="A", seam=1, column=2, attachment=3), "South / A / seam 0 / column 2 / attachment 3"),
    (Place(roof="South", array="A", row=1, column=1, obstruction="vent"), "South / A / vent"),
    (Place(roof="South"), "South"),
])  # fmt: skip
def test_each_form_of_place_is_known_by_the_words_of_version_0_1(place, words):
    codes = {"vent": "module_on_obstruction"}
    check = replace(TOO_LONG, code=codes.get(place.obstruction, TOO_LONG.code), place=place)
    nothing = SettingOut((), (), None, (), ())
    (named,) = named_by_place((CheckOverride(check.code, Place(told=words), "agreed"),), (check,), a_job(), nothing)
    assert named.place == place


def test_words_that_name_no_check_stay_as_they_were():
    kept = (override(Place(told="North / B / column 9")),)
    assert named_by_place(kept, (TOO_LONG,), a_job(), SettingOut((), (), None, (), ())) == kept
