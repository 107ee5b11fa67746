"""Every demo job is read, lies on its roof, and can be mounted with its book; between them they show the whole job."""

import json
from datetime import date

import pytest

from estimator.attachment import limits_for, set_out
from estimator.attachment.capacity.attachment import find_capacity
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import books_folder, demo_jobs
from estimator.job import Choices
from estimator.layout import lay_out
from estimator.loads.find import find_pressures
from estimator.mounting import mounting_choices
from estimator.storage.books import book_in_force, find_editions, read_book

DEMOS = demo_jobs()
TODAY = date(2026, 11, 25)


def read(demo):
    return JobSchema().load(json.loads(demo.file.read_text(encoding="utf-8")))


def the_book(name):
    return read_book(book_in_force(find_editions([books_folder()]), name, TODAY).folder)


@pytest.fixture(params=DEMOS, ids=lambda demo: demo.file.stem, scope="module")
def demo(request):
    return request.param


@pytest.fixture(scope="module")
def job(demo):
    return read(demo)


@pytest.fixture(scope="module")
def book(demo):
    return the_book(demo.pricebook)


def test_every_module_lies_where_it_may(job):
    assert [each.message for each in lay_out(job).findings] == []


def test_at_least_one_mounting_can_be_set_out_without_a_breach(job, book):
    layout = lay_out(job)
    choices, findings, _ = mounting_choices(job, book, Choices())
    assert [each.message for each in findings if each.severity == "error"] == []
    breaches = [
        [
            each.message
            for each in set_out(job, layout, choice, limits_for(job, choice)).findings
            if each.severity == "error"
        ]
        for choice in choices
    ]
    assert [] in breaches, breaches


def test_the_loads_asked_for_are_found(job):
    for roof in job.roofs:
        assert find_pressures(job.site.loads, roof, job.module).zones


def test_the_book_has_a_strength_for_the_roofs_sheet_in_every_direction(job, book):
    choices, _, _ = mounting_choices(job, book, Choices())
    for roof in job.roofs:
        for bracket in {choice.bracket.part: choice.bracket for choice in choices}.values():
            for method in ("asd", "lrfd"):
                capacity = find_capacity(bracket, roof.sheet, method)
                assert all(capacity.strength(direction) for direction in ("uplift", "downward", "along_slope"))


def test_tier_and_freight_zone_are_the_books(job, book):
    assert job.customer.tier in book.tiers
    assert job.site.freight_zone in {rate.zone for rate in book.freight}


def test_the_demo_jobs_show_the_whole_job():
    jobs = [read(demo) for demo in DEMOS]
    roofs = [roof for job in jobs for roof in job.roofs]
    arrays = [array for roof in roofs for array in roof.arrays]
    assert {demo.pricebook for demo in DEMOS} == {"prairie-us", "hanse-eu"}
    assert {job.mounting.arrangement for job in jobs} == {None, "rail_on_side", "rail_on_top", "direct"}
    assert {job.mounting.rail_direction for job in jobs} >= {"across_ribs", "along_ribs"}
    assert {job.mounting.material for job in jobs} == {None, "aluminium", "steel"}
    assert {job.site.loads.standard for job in jobs} == {"asce7-16", "asce7-22", "en1991", "given"}
    assert {array.orientation for array in arrays} == {"portrait", "landscape"}
    assert {roof.sheet.material for roof in roofs} >= {"steel", "foam_core_steel"}
    assert any(len(job.roofs) > 1 for job in jobs)
    assert any(len(roof.arrays) > 1 for roof in roofs)
    assert any(roof.obstructions for roof in roofs)


def test_cells_are_left_out_as_pairs_and_as_drawn_rows():
    texts = [demo.file.read_text(encoding="utf-8") for demo in DEMOS]
    assert any('"omit"' in text for text in texts)
    assert any('"cells"' in text for text in texts)


def test_a_skylight_parts_a_row():
    job = read(next(demo for demo in DEMOS if demo.file.stem == "cold-store-us"))
    rows = [segment.line for segment in lay_out(job).roofs[0].arrays[0].row_segments]
    assert sorted(rows) == [0, 1, 1, 2, 3]


def test_names_are_written_in_latin_greek_and_cyrillic_letters():
    names = "".join(read(demo).customer.name for demo in DEMOS)
    assert all(any(sign in names for sign in signs) for signs in ("üöä", "łżŁŻ", "éèÉ", "ñÑ", "αοΑ", "аоС"))
