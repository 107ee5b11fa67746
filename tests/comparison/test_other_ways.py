"""The same job another way, side by side: each side is what the whole takeoff gives when it is asked for outright."""

from dataclasses import replace
from datetime import date

import pytest

from estimator.arrangements import PROPERTIES
from estimator.comparison import compare_everything, compare_materials
from estimator.estimate import estimate
from estimator.job import Choices, Mounting
from tests.builders import a_book, a_job
from tests.facts import facts

ON = date(2026, 6, 1)
GIVEN = Mounting(
    arrangement="rail_on_side",
    material="aluminium",
    max_span_mm=1250.0,
    max_cantilever_mm=350.0,
    spans_given_by="An engineer",
)


@pytest.fixture(scope="module")
def aim():
    return a_job(mounting=GIVEN), a_book(), Choices(), ON


@pytest.fixture(scope="module")
def chosen(aim):
    return estimate(*aim)


def test_the_other_material_is_what_asking_for_it_outright_gives(aim, chosen):
    found = compare_materials(chosen, aim)
    steel = estimate(aim[0], aim[1], Choices(material="steel", arrangement="rail_on_side"), ON)
    assert found.steel is not None and found.aluminium is not None
    assert (found.steel.bracket, found.steel.rail) == (steel.mounting.bracket.part, steel.mounting.rail.rail)
    assert found.steel.parts == steel.bill.totals.parts
    assert found.steel.attachments == steel.counts.counts.attachments
    assert found.steel.mass_kg == pytest.approx(steel.freight.parts_mass_kg)


def test_savings_are_steel_less_aluminium(aim, chosen):
    found = compare_materials(chosen, aim)
    assert found.saving_total == found.steel.total - found.aluminium.total
    assert found.saving_freight == found.steel.freight - found.aluminium.freight
    assert found.saving_mass_kg == pytest.approx(found.steel.mass_kg - found.aluminium.mass_kg, abs=5e-4)
    assert found.saving_mass_share == pytest.approx(found.saving_mass_kg / found.steel.mass_kg, abs=5e-5)


def test_a_material_that_cannot_be_built_with_says_why_and_saves_nothing(aim, chosen):
    book = replace(aim[1], brackets={name: each for name, each in aim[1].brackets.items() if each.material != "steel"})
    found = compare_materials(chosen, (aim[0], book, *aim[2:]))
    assert found.steel is None and found.aluminium is not None
    assert (found.saving_total, found.saving_mass_kg, len(found.why_not)) == (None, None, 1)


def test_every_other_arrangement_is_tried_or_says_why_not(aim, chosen):
    found = compare_everything(chosen, aim)
    tried = {side.option for side in found.others if side.subject == "arrangement"}
    named = {fact for each in found.why_not for fact in (*facts(each), str(each))}
    for arrangement in {"rail_on_top", "direct"} - tried:
        assert any(PROPERTIES[arrangement].spoken in str(each) for each in named)
    assert tried | {"rail_on_side"} <= set(PROPERTIES)
    assert tried, "at least one other arrangement can be built with the book of the tests"
