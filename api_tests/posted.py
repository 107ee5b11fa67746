"""Jobs as a CRM posts them."""

import copy
import itertools
from datetime import UTC, datetime, timedelta

_numbers = itertools.count(1)

ARRAY = {
    "name": "A",
    "x": 1500,
    "y": 1200,
    "rows": 2,
    "columns": 5,
    "orientation": "portrait",
    "gap_x": 20,
    "gap_y": 20,
}


def in_days(count):
    """The day so many days from today, as ISO 8601 writes it: what is needed in the past could not be ordered."""
    return (datetime.now(UTC) + timedelta(days=count)).date().isoformat()


JOB = {
    "title": "Packing hall",
    "display_units": "metric",
    "customer": {
        "name": "Gut Ährenfeld GmbH",
        "email": "bau@example.org",
        "address": {"lines": ["Feldweg 1"], "postcode": "24103", "city": "Kiel", "country": "DE"},
        "tier": "trade",
    },
    "site": {
        "address": {"lines": ["Feldweg 1"], "postcode": "24103", "city": "Kiel", "country": "DE"},
        "needed_on": in_days(120),
        "freight_zone": "",
        "loads": {"standard": "given"},
    },
    "module": {
        "name": "plain 430 W",
        "length": 1762,
        "width": 1134,
        "thickness": 30,
        "mass": 21.5,
        "power": 430,
        "clamping_zone": {"long_side": [0.1, 0.4], "short_side": [0.0, 0.4]},
    },
    "roofs": [
        {
            "name": "South",
            "eave_length": 20_000,
            "slope_length": 9_000,
            "slope": 10,
            "ribs": {"spacing": 250, "first_at": 125, "height": 35, "crown_width": 40, "web_angle": 65},
            "sheet": {"material": "steel", "thickness": 0.63, "ultimate_strength": 390},
            "arrays": [ARRAY],
        }
    ],
    "mounting": {
        "arrangement": "direct",
        "material": "aluminium",
        "max_span": 1000,
        "max_cantilever": 300,
        "spans_given_by": "An engineer",
    },
}


def a_job(reference=None, **changes):
    """A small job without rail that no other test has posted."""
    job = copy.deepcopy(JOB)
    job["reference"] = reference or f"API-{next(_numbers)}"
    return {**job, **changes}


def on_rails(**changes):
    """The same job on side rails."""
    job = a_job(**changes)
    job["mounting"] = {
        "arrangement": "rail_on_side",
        "material": "aluminium",
        "max_span": 1000,
        "max_cantilever": 300,
        "spans_given_by": "An engineer",
    }
    return job


def with_array(**changes):
    """The same job with another array."""
    job = a_job()
    job["roofs"][0]["arrays"] = [{**ARRAY, **changes}]
    return job


def changed(pointer, value, base=None):
    """A job with one value set at a JSON Pointer."""
    job = base or a_job()
    place = job
    *steps, last = [int(step) if step.isdigit() else step for step in pointer.strip("/").split("/")]
    for step in steps:
        place = place[step]
    place[last] = value
    return job
