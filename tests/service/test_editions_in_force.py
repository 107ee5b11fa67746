"""Editions of shared folders are told once when they come into force, however many machines look. The house's rule."""

import shutil
from concurrent.futures import ThreadPoolExecutor

import pytest

from estimator.service.catalogue import Catalogue
from estimator.service.editions import put_in, tell_in_force
from estimator.service.outbox.events import list_events
from tests.service.contexts import a_client, a_context
from tests.storage.books.book_files import EU


@pytest.fixture
def house(tmp_path):
    context, clock, _ = a_context(tmp_path)
    shared = tmp_path / "shared"
    shared.mkdir()
    object.__setattr__(context, "catalogue", Catalogue((shared,)))
    yield context, clock, a_client(context), shared
    context.engine.dispose()


def put_in_folder(shared, edition, first_day):
    folder = shared / "hanse-eu" / edition
    shutil.copytree(EU, folder)
    head = folder / "book.toml"
    text = head.read_bytes().replace(b'"2026-12"', f'"{edition}"'.encode(), 1)
    head.write_bytes(text.replace(b"2026-11-24", first_day.encode(), 1))


def told(context, client):
    events = list_events(context, client, after=0, limit=99, kind="edition.in_force")
    return [each.document["edition"] for each in events]


def test_what_is_in_force_at_the_first_look_is_no_news_and_what_comes_later_is_told_on_its_day(house):
    context, clock, client, shared = house
    put_in_folder(shared, "of-before", "2026-05-01")
    assert tell_in_force(context) == 0
    put_in_folder(shared, "of-june-10", "2026-06-10")
    put_in_folder(shared, "put-in-late", "2026-05-20")
    assert [tell_in_force(context) for _ in range(2)] == [1, 0]
    assert told(context, client) == ["put-in-late"]
    clock.turn(days=8)  # 9 June
    assert tell_in_force(context) == 0
    clock.turn(days=1)
    assert [tell_in_force(context) for _ in range(2)] == [1, 0]
    assert told(context, client) == ["put-in-late", "of-june-10"]
    newcomer = a_client(context, organisation="another house")
    assert tell_in_force(context) == 0
    assert told(context, newcomer) == []


@pytest.mark.parametrize("put", ["in a shared folder", "in by the house"])
def test_an_edition_whose_days_are_over_is_not_told(house, put):
    context, _, client, shared = house
    tell_in_force(context)
    put_in_folder(shared, "over", "2026-01-01")
    head = shared / "hanse-eu" / "over" / "book.toml"
    lines = head.read_text(encoding="utf-8").splitlines()
    head.write_text(
        "\n".join("valid_until = 2026-05-31" if each.startswith("valid_until") else each for each in lines),
        encoding="utf-8",
    )
    if put == "in by the house":
        with context.writing() as session:
            put_in(session, context, client, context.catalogue.get("", "hanse-eu", "over"))
    assert [tell_in_force(context) for _ in range(2)] == [0, 0]
    assert told(context, client) == []


def test_two_machines_tell_it_once(machines, tmp_path):
    shared = tmp_path / "shared"
    shared.mkdir()
    for each in machines:
        object.__setattr__(each, "catalogue", Catalogue((shared,)))
    client = a_client(machines[0])
    tell_in_force(machines[0])
    put_in_folder(shared, "of-may", "2026-05-01")
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(tell_in_force, machines * 4))
    assert told(machines[1], client) == ["of-may"]
