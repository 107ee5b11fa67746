"""Plausible requests: a valid job or cut list with one thing or two moved, removed, scaled, doubled or exchanged.

What goes wrong in practice is nearly right: an array that was dragged off the roof, a length in the wrong unit, a
field that a form left empty. The same number makes the same request.
"""

import copy
import random
from datetime import date

from api_tests.posted import a_job

FACTORS = (-1, 0, 0.1, 0.5, 0.9, 1.1, 2, 3, 10)
SHIFTS = (-20_000, -3_000, -250, -1, 1, 250, 3_000, 20_000)
MOST_ROWS, MOST_COLUMNS = 6, 15
"""Larger arrays are as right or wrong as small ones, and take longer."""
CHOICES = {"pricebook": "hanse-eu", "priced_on": "2026-11-25"}

EN = {"standard": "en1991", "wind_speed": 22.0, "terrain": "III", "mean_roof_height": 8_000, "roof_form": "gable",
      "ground_snow": 850.0, "building": {"length": 30_000, "width": 12_000}}  # fmt: skip
ASCE = {"standard": "asce7-16", "wind_speed": "115 mph", "exposure": "C", "mean_roof_height": "20 ft",
        "ground_snow": "30 psf", "roof_form": "gable", "building": {"length": "180 ft", "width": "80 ft"}}  # fmt: skip
CELLS = {"name": "B", "x": 9_500, "y": 1_200, "cells": ["####", "#..#"], "orientation": "landscape",
         "gap_x": 20, "gap_y": 20}  # fmt: skip
OMITTED = {"name": "C", "x": 1_500, "y": 5_200, "rows": 2, "columns": 4, "orientation": "portrait",
           "gap_x": "0.75 in", "gap_y": 20, "omit": [[1, 2], [2, 3]]}  # fmt: skip
GAPPED = {"name": "D", "x": 1_500, "y": 1_200, "rows": 1, "columns": 9, "orientation": "portrait",
          "gap_x": 20, "gap_y": 20, "wider_gaps": [{"after_column": 4, "width": "3 in"}]}  # fmt: skip


def _job(loads, arrays=None, **mounting):
    job = a_job("PLAUSIBLE")
    job["site"] = {**job["site"], "loads": loads}
    roof = job["roofs"][0]
    roof["keep_clear"] = {"eave": 300, "ridge": 300, "left": 300, "right": "12 in"}
    roof["obstructions"] = [{"name": "skylight", "x": 8_000, "y": 6_000, "width": 1_200, "height": 1_200}]
    roof["arrays"] = arrays or roof["arrays"]
    spans = {"max_span": 1_000, "max_cantilever": 300, "spans_given_by": "An engineer"}
    job["mounting"] = {"material": "aluminium", **(spans if loads["standard"] == "given" else {}), **mounting}
    return job


GIVEN = {"standard": "given"}
JOBS = (
    _job(GIVEN, arrangement="direct"),
    _job(EN, arrangement="direct"),
    _job(ASCE, arrangement="rail_on_side"),
    _job(EN, [CELLS, OMITTED], arrangement="rail_on_top", stagger=True),
    _job(GIVEN, [GAPPED], arrangement="rail_on_side", rail_direction="across_ribs"),
    _job(GIVEN, [OMITTED], arrangement="rail_on_top", rail_direction="along_ribs", rails_per_row=2, rail_overhang=50),
    _job(ASCE, [OMITTED]),
)
WEIGHTS = (6, 6, 1, 0.3, 1, 3, 0.3)
"""How often each is taken: those with rails take ten times as long as those without."""
CUT_LIST = {
    "unit": "mm",
    "kerf": 3,
    "end_trim": 10,
    "stocks": [{"length": 6_000, "price": "54.53"}, {"length": 1_900, "price": "4", "available": 3, "offcut": True}],
    "pieces": [{"length": 1_722, "count": 7}, {"length": "8 ft", "count": 2}, {"length": 990, "count": 11}],
}


def plausible(number):
    """An address and what is posted there."""
    chance = random.Random(number)
    if chance.random() < 0.1:
        return "/v1/cut-plans", _spoiled(CUT_LIST, chance)
    job = _spoiled(chance.choices(JOBS, WEIGHTS)[0], chance)
    return "/v1/estimates", {"job": _small(job), **CHOICES, "priced_on": _day(chance)}


def _day(chance):
    return CHOICES["priced_on"] if chance.random() < 0.98 else date(2026, 1, 1).isoformat()


def _spoiled(document, chance):
    spoiled = copy.deepcopy(document)
    for _ in range(chance.choice((1, 1, 1, 2, 2, 3))):
        _spoil(spoiled, chance)
    return spoiled


def _spoil(document, chance):
    places = list(_places(document))
    parent, key = chance.choice(places)
    old = parent[key]
    if isinstance(old, (int, float)) and not isinstance(old, bool) and chance.random() < 0.85:
        scaled = old * chance.choice(FACTORS) if chance.random() < 0.5 else old + chance.choice(SHIFTS)
        parent[key] = int(scaled) if isinstance(old, int) else scaled
    elif isinstance(old, list) and old and chance.random() < 0.6:
        parent[key] = chance.choice(([], old + copy.deepcopy(old[-1:]), old[1:], old[::-1]))
    elif chance.random() < 0.5:
        del parent[key]
    else:
        other, its = chance.choice(places)
        parent[key] = copy.deepcopy(chance.choice((None, "", 0, [], {}, other[its] if its in _keys(other) else None)))


def _places(document):
    for key in _keys(document):
        yield document, key
        yield from _places(document[key])


def _keys(document):
    if isinstance(document, dict):
        return list(document)
    return list(range(len(document))) if isinstance(document, list) else []


def _small(job):
    for roof in _each(job, "roofs"):
        for array in _each(roof, "arrays"):
            for name, most in (("rows", MOST_ROWS), ("columns", MOST_COLUMNS)):
                if isinstance(array.get(name), int):
                    array[name] = min(array[name], most)
    return job


def _each(document, name):
    found = document.get(name)
    return [each for each in found if isinstance(each, dict)] if isinstance(found, list) else []
