"""Plausible requests by the thousand: nearly right jobs and cut lists, of which none may make the service fail.

Run: python -m tests.benchmarks.bench_plausible [how many, 100,000 unless told] [the first number, 0 unless told]
"""

import logging
import sys
import tempfile
import time
from collections import Counter

import structlog

from estimator.app import create_app, open_context
from estimator.service.access.keys import first_key
from estimator.settings import from_environment
from tests.properties.plausible_jobs import plausible

SLOW_SECONDS = 2.0


def main(count=100_000, first=0):
    structlog.configure(wrapper_class=structlog.make_filtering_bound_logger(logging.ERROR))
    with tempfile.TemporaryDirectory() as folder:
        limits = {"ESTIMATOR_RATE_BURST": "1000000", "ESTIMATOR_RATE_PER_SECOND": "1000000"}
        settings = from_environment({"ESTIMATOR_DATA": folder, **limits})
        context = open_context(settings)
        client, headers = create_app(settings, context).test_client(), {"Authorization": f"Bearer {first_key(context)}"}
        answered, failed, slow = Counter(), [], []
        for number in range(first, first + count):
            path, document = plausible(number)
            began = time.process_time()
            status = client.post(path, json=document, headers=headers).status_code
            spent = time.process_time() - began
            answered[status] += 1
            failed += [number] if status >= 500 else []
            slow += [(number, round(spent, 1))] if spent > SLOW_SECONDS else []
        context.engine.dispose()
    print(f"{count} requests from {first}: {dict(answered)}; failed: {failed}; over {SLOW_SECONDS} s: {slow}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
