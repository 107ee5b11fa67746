"""Every stored record has one tag with a version, and none changes its fields without a higher version.

``kept/fields.txt`` lists the fields of every version there ever was: lines are added, none is changed or taken out.
"""

import dataclasses
import typing
from pathlib import Path

import pytest

from estimator.comparison.records import Offer
from estimator.errors import Finding
from estimator.job import KeepClear
from estimator.orders.records import OrderLists
from estimator.storage.records import codec
from estimator.storage.records.codec import freeze, thaw
from estimator.storage.records.places_before_tags import PLACES
from estimator.storage.records.tags import RECORDS, TAGS
from estimator.storage.records.upgrades import STEPS, added, changed, dropped, renamed, to

ROOTS = (Offer, OrderLists)
FIELDS = {
    tag: names.split()
    for tag, names in (
        line.split(":") for line in (Path(__file__).parents[1] / "kept/fields.txt").read_text().splitlines()
    )
}


def records_within(hint):
    if dataclasses.is_dataclass(hint):
        yield hint
    for inner in typing.get_args(hint):
        yield from records_within(inner)


def stored_records():
    """Every record type that a field of a stored record may hold."""
    found, waiting = set(), list(ROOTS)
    while waiting:
        kind = waiting.pop()
        if kind not in found:
            found.add(kind)
            for hint in typing.get_type_hints(kind).values():
                waiting.extend(records_within(hint))
    return found


def number(tag):
    return int(tag.rpartition("/")[2])


def name(tag):
    return tag.rpartition("/")[0]


def test_every_record_that_is_stored_has_a_tag_and_nothing_else_has():
    assert set(RECORDS.values()) == stored_records()


def test_a_record_has_one_tag_and_a_name_has_one_version():
    assert len(set(RECORDS.values())) == len(RECORDS)
    assert len({name(tag) for tag in RECORDS}) == len(RECORDS)


@pytest.mark.parametrize("tag", RECORDS)
def test_a_record_has_the_fields_listed_for_its_version(tag):
    """A field added, renamed or removed needs a higher version in tags.py and a step in upgrades.py."""
    assert [field.name for field in dataclasses.fields(RECORDS[tag])] == FIELDS.get(tag)


def test_every_version_there_ever_was_is_listed_and_leads_to_one_of_today():
    assert set(FIELDS) == set(RECORDS) | set(STEPS)
    assert set(PLACES.values()) <= set(FIELDS)
    assert not set(RECORDS) & set(STEPS)
    for tag in RECORDS:
        assert {f"{name(tag)}/{version}" for version in range(1, number(tag))} <= set(STEPS)


def test_what_is_written_names_no_module():
    kept = codec.zlib.decompress(freeze(Finding("a", "note", "b")))
    assert b'"@":"finding/' in kept
    assert b"errors" not in kept


def test_an_old_record_takes_every_step_to_the_record_of_today(monkeypatch):
    """As if later versions had renamed and dropped fields, then recounted one and added another."""

    @dataclasses.dataclass(frozen=True)
    class Later:
        eave_cells: int
        left_mm: float
        source: str

    kept = freeze((KeepClear(2, 1.0, 2.0, 3.0), "beside"))
    today = TAGS[KeepClear]
    second, third = (f"keep_clear/{number(today) + more}" for more in (1, 2))
    steps = {
        today: to(second, renamed(eave_mm="eave_cells"), dropped("ridge_mm", "right_mm")),
        second: to(third, changed("eave_cells", lambda cells: cells + 1), added(source="")),
    }
    monkeypatch.setattr(codec, "STEPS", STEPS | steps)
    monkeypatch.setattr(codec, "RECORDS", {third: Later} | {tag: each for tag, each in RECORDS.items() if tag != today})
    assert thaw(kept) == (Later(3, 2.0, ""), "beside")


def test_loads_of_all_standards_become_those_of_their_own():
    fields = dict.fromkeys(FIELDS["loads/1"])
    asked = {"method": "lrfd", "wind_speed_m_s": 115 * 0.44704, "exposure": "C", "roof_form": "gable", "factors": ()}
    tag, made = STEPS["loads/1"](fields | asked | {"standard": "asce7-16", "building_width_mm": 9000.0})
    by_asce7 = RECORDS[tag](**made)
    assert (by_asce7.wind_speed_mph, by_asce7.exposure, by_asce7.building.width_mm) == (115.0, "C", 9000.0)
    tag, made = STEPS["loads/1"](fields | {"standard": "en1991", "wind_speed_m_s": 26.0, "exposure": "II"})
    tag, made = STEPS[tag](made)
    assert (RECORDS[tag](**made).wind_speed_m_s, RECORDS[tag](**made).terrain) == (26.0, "II")
    assert RECORDS[tag](**made).annex == "recommended"
    tag, made = STEPS["loads/1"](fields | {"standard": "given", "given": (), "method": "asd"})
    assert RECORDS[tag](**made).pressures == ()
