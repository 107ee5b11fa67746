"""The plan for the screen draws what was counted, tells of a part what was set out, and finds the place of a check."""

import re

import pytest

from estimator.documents.drawing.plan import drawn_of, plans_of
from estimator.documents.drawing.spots import spot_of
from estimator.documents.language.texts import reader_for
from estimator.documents.plan.facts import facts_of
from estimator.documents.plan.screen import MOST_FINE, screen_plan, window_of
from estimator.places import Place
from tests.documents.drawing.roofs import a_drawn_roof
from tests.documents.offers import an_offer

READER = reader_for("en", "US", "metric")


def drawn_in(svg, layer):
    path = re.search(rf'<path class="layer {layer}" d="([^"]*)"', svg)
    return path[1].count("M") if path else 0


@pytest.fixture(scope="module")
def estimate():
    return an_offer("loaded").estimate


def test_a_roof_on_the_screen_has_as_many_parts_as_were_counted(estimate):
    counts = estimate.counts.counts
    pictures = [screen_plan(plan, READER).svg for plan in plans_of(estimate)]
    assert sum(drawn_in(svg, "modules") for svg in pictures) == counts.modules
    assert sum(drawn_in(svg, "attachments") for svg in pictures) == counts.attachments
    assert sum(drawn_in(svg, "rails") for svg in pictures) == counts.runs
    assert "style=" not in "".join(pictures)


def test_what_is_told_of_parts_is_what_was_set_out(estimate):
    drawn, counts = drawn_of(estimate), estimate.counts.counts
    told = [facts_of(drawn, roof, READER) for roof in range(len(estimate.job.roofs))]
    assert sum(len(each["modules"]) for each in told) == counts.modules
    assert sum(len(each["attachments"]) for each in told) == counts.attachments
    run = estimate.setting_out.runs[0]
    rail = told[run.roof]["rails"][0]
    assert rail[:4] == pytest.approx([run.start_x, run.start_y, run.start_x + run.length_mm, run.start_y], abs=0.06)
    assert f"{len(run.attachments_mm)} attachments" in rail[5]
    if run.utilisations:
        first = told[run.roof]["attachments"][0]
        assert first[-1] == f"attachment used to {round(100 * run.utilisations[0], 1):g}%"


def test_what_is_told_within_a_window_is_what_of_the_whole_meets_it(estimate):
    drawn = drawn_of(estimate)
    for roof, known in enumerate(estimate.job.roofs):
        whole = facts_of(drawn, roof, READER)
        x, y = known.eave_length_mm / 3, known.slope_length_mm / 3
        window = (x, y, 2 * x, 2 * y)
        part = facts_of(drawn, roof, READER, window)
        for kind, every in whole.items():
            meets = [e for e in every if e[0] <= 2 * x and e[2] >= x and e[1] <= 2 * y and e[3] >= y]
            assert part[kind] == meets


def test_words_are_made_only_of_what_stands_within_a_window(monkeypatch):
    """A part of a large roof takes no longer than a small roof: counted are the lengths that are put into words."""
    drawn = drawn_of(an_offer("plain").estimate)
    said = []
    monkeypatch.setattr(type(READER.formats), "length", lambda _self, mm: said.append(mm) or str(mm))
    facts_of(drawn, 0, READER)
    every, said[:] = len(said), []
    told = facts_of(drawn, 0, READER, (0.0, 0.0, 1.0, 1.0))
    assert every >= 50 and len(said) <= 4 and not any(told.values())


def test_a_module_is_used_as_far_as_the_worst_attachment_under_it(estimate):
    drawn = drawn_of(estimate)
    told = facts_of(drawn, 0, READER)
    shares = {each[-1] for each in told["attachments"] if "used" in each[-1]}
    assert {each[-1] for each in told["modules"] if "used" in each[-1]} <= shares


def test_a_large_roof_is_drawn_by_rows_until_a_part_is_asked_for():
    plan = a_drawn_roof(49)
    assert len(plan.modules) > MOST_FINE
    picture = screen_plan(plan, READER)
    assert picture.coarse
    assert drawn_in(picture.svg, "modules") < len(plan.modules) / 10
    assert drawn_in(picture.svg, "attachments") == 0
    assert len(picture.svg) < 200_000
    x0, y0, x1, y1 = plan.modules[100]
    fine = window_of(plan, (x0 + 1, y0 + 1, x1 - 1, y1 - 1))
    assert drawn_in(fine, "modules") == 1
    assert window_of(plan, (0, 0, plan.width_mm, plan.height_mm)) == ""


def test_a_check_finds_its_place_on_the_plan(estimate):
    drawn = drawn_of(estimate)
    run = next(run for run in estimate.setting_out.runs if run.axis == "x")
    number, box = spot_of(drawn, run.place)
    assert number == run.roof
    assert box[1] == box[3] == run.start_y
    roof, array = drawn.job.roofs[run.roof], drawn.job.roofs[run.roof].arrays[run.array]
    _, cell = spot_of(drawn, Place(roof=roof.name, array=array.name, row=run.line + 1, column=1))
    assert cell[0] == pytest.approx(array.x_mm)
    _, whole = spot_of(drawn, Place(roof=roof.name))
    assert whole == (0.0, 0.0, roof.eave_length_mm, roof.slope_length_mm)
    assert spot_of(drawn, Place(subject="loads")) is None
