"""Several couriers over one PostgreSQL: nothing is told twice while all live, and each quote's story in its order."""

import json
from collections import defaultdict
from concurrent.futures import ThreadPoolExecutor
from threading import Lock

from estimator.service.context import store_nothing
from estimator.service.outbox.deliveries import deliver_next
from estimator.service.outbox.outbound import SendingOutcome
from estimator.service.outbox.webhooks import make_webhook
from estimator.service.quoting import quotes
from tests.service.contexts import a_client, a_draft


def test_four_couriers_of_two_machines_tell_every_event_once_and_in_order(machines):
    client, story, lock = a_client(machines[0]), defaultdict(list), Lock()
    make_webhook(machines[0], client, "https://crm.example.org/", ("quote.drafted", "quote.issued"), store_nothing)
    for at in range(12):
        quote = a_draft(machines[0], client, f"T-{at}").card
        quotes.issue_quote(machines[0], client, quote.id, 1, (), store_nothing)

    def heard(_url, _headers, body):
        told = json.loads(body)
        with lock:
            story[told["data"]["number"]].append(told["type"])
        return SendingOutcome(1, 204)

    def courier(at):
        idle = 0
        while idle < 5:
            idle = 0 if deliver_next(machines[at % 2], heard) else idle + 1

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(courier, range(4)))
    assert len(story) == 12
    assert set(map(tuple, story.values())) == {("quote.drafted", "quote.issued")}
