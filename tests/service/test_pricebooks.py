"""Editions that an organisation puts in: which may stand beside each other. The house's rules."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest

from estimator.contract.fault_codes import code_of, refusal_code
from estimator.errors import AlreadyUsed, ChoiceRefused
from estimator.service.catalogue import Catalogue
from estimator.service.context import store_nothing
from estimator.service.editions import edition_before, withdraw_edition
from estimator.service.pricebooks import packed, upload_edition
from estimator.service.quoting.repricing.repricings import RepricingRequest, post_repricing
from tests.service.contexts import a_client, a_context
from tests.storage.books.book_files import us_files

FIRST = b"2026-11-24"


def an_edition(name, first_day=FIRST):
    files = dict(us_files())
    head = files["book.toml"].replace(b'edition = "2026-12"', f'edition = "{name}"'.encode(), 1)
    files["book.toml"] = head.replace(FIRST, first_day, 1)
    return packed(files)


def with_catalogue(context):
    object.__setattr__(context, "catalogue", Catalogue((), context.engine))
    return context, a_client(context, "pricing")


@pytest.fixture
def house(tmp_path):
    context, client = with_catalogue(a_context(tmp_path)[0])
    yield context, client
    context.engine.dispose()


def put(house, *edition):
    return upload_edition(*house, an_edition(*edition), store_nothing)


def test_two_editions_do_not_begin_on_one_day(house):
    put(house, "first")
    with pytest.raises(AlreadyUsed) as refused:
        put(house, "second")
    assert refusal_code(refused.value.told, "") == "edition_begins_then"


def test_what_corrects_a_withdrawn_edition_may_begin_when_it_did(house):
    context, client = house
    earlier, wrong = put(house, "earlier", b"2026-11-01"), put(house, "wrong")
    withdraw_edition(context, client, (wrong.id, wrong.edition), "a bracket at the price of a pack", store_nothing)
    right, later = put(house, "right"), put(house, "later", b"2026-12-24")
    assert edition_before(context, client, right) == earlier.edition
    assert edition_before(context, client, later) == right.edition


def test_of_two_machines_that_put_in_at_one_moment_one_is_refused(machines):
    houses = [with_catalogue(each) for each in machines]
    barrier = Barrier(2)

    def begin(house, name):
        barrier.wait()
        try:
            return put(house, name)
        except AlreadyUsed as refusal:
            return refusal

    with ThreadPoolExecutor(2) as pool:
        results = list(pool.map(begin, houses, ("one", "other")))
    assert [isinstance(each, AlreadyUsed) for each in results].count(True) == 1


def test_an_edition_to_hold_quotes_against_that_there_is_not(house):
    context, client = house
    book = put(house, "first")
    request = RepricingRequest(book.id, "second", book.valid_from)
    with pytest.raises(ChoiceRefused) as refused:
        post_repricing(context, client, request, store_nothing)
    [fault] = refused.value.faults
    assert (fault.pointer, code_of(fault), fault.allowed) == ("/edition", "unknown_name", "first")
