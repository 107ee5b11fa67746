"""The demonstration can be run on any later day."""

from datetime import date

from estimator.demo import books_folder, demo_jobs
from estimator.service.catalogue import Catalogue


def test_the_demonstration_books_have_prices_on_a_day_far_ahead():
    catalogue = Catalogue([books_folder()])
    for each in demo_jobs():
        assert catalogue.choose("house", each.pricebook, None, date(2060, 2, 29), None).id == each.pricebook
