"""Work of a setting-out is counted while it is done: the same number each time, and no more than is allowed."""

from datetime import date

import pytest

from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import books_folder
from estimator.errors import JobRefused
from estimator.job import Choices
from estimator.layout import lay_out
from estimator.layout.work import MOST, Work, setting_out_work
from estimator.mounting import mounting_choices
from estimator.storage.books import read_book
from estimator.trial import Trial, place
from tests.benchmarks.jobs import job_document

ON = date(2026, 12, 1)


@pytest.fixture(scope="module")
def book():
    return read_book(books_folder() / "hanse-eu" / "2026-12")


def job_of(modules, direct=False):
    document = job_document(modules, "loads")
    if direct:
        document["mounting"] = {"arrangement": "direct", "material": "aluminium", "bracket": "HB-A66"}
    return read_job(document, JobSchema())


def work_of(job, book, most=MOST):
    mounting = mounting_choices(job, book, Choices())[0][0]
    work = Work(most)
    place(Trial(job, book, Choices(), ON, (), work), lay_out(job), mounting)
    return work.done


@pytest.mark.parametrize("direct", [False, True])
def test_work_is_counted_alike_each_time_and_ends_a_setting_out_that_takes_more(book, direct):
    job = job_of(24, direct)
    done = work_of(job, book)
    assert done > 0
    assert work_of(job, book) == done
    assert work_of(job, book, most=done) == done
    with pytest.raises(JobRefused) as refused:
        work_of(job, book, most=done * 0.6)
    assert [fault.pointer for fault in refused.value.faults] == ["/roofs"]


def test_long_lines_take_more_than_their_number_tells(book):
    """What is reckoned before goes by lines; what is counted goes by what is solved on them."""
    short, long = job_of(8), job_of(40)
    assert setting_out_work(short, 1) == setting_out_work(long, 1)
    assert work_of(long, book) > 3 * work_of(short, book)


def test_all_mountings_of_a_calculation_share_what_they_may_take():
    work = Work(most=30.0)
    work.solve(200)
    with pytest.raises(JobRefused):
        work.solve(200)
