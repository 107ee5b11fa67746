"""The first hour: from an empty folder to a quote's PDF, command by command, as README and /docs show it.

README's block is ``script()`` word for word, and a test runs it against a service that it starts itself.
"""

from __future__ import annotations

from dataclasses import dataclass

ADDRESS = "http://127.0.0.1:8080"


@dataclass(frozen=True, slots=True)
class FirstStep:
    """One step: what it does, and the command that does it."""

    says: str
    command: str


STEPS = (
    FirstStep(
        "Start the service on a database of its own, in the background, and wait until it is ready",
        f"""SERVICE={ADDRESS}
estimator serve --data first-hour > admin-key.txt 2> service.log &
curl -sS --retry 60 --retry-delay 1 --retry-connrefused $SERVICE/readyz""",
    ),
    FirstStep(
        "Make a key that may post jobs and issue quotes",
        'KEY=$(estimator keys create --data first-hour --role estimator --name "First hour" | sed "s/^key: //")\n'
        'echo "Authorization: Bearer $KEY" > authorization.txt',
    ),
    FirstStep("Take a small job: one roof, 28 modules around a skylight", "estimator sample-job > job.json"),
    FirstStep(
        "Post it; with the same Idempotency-Key it is stored once, however often it is sent",
        'curl -sS --fail-with-body -D headers.txt -H @authorization.txt -H "Content-Type: application/json" \\\n'
        '  -H "Idempotency-Key: sample-1-job" --data @job.json $SERVICE/v1/jobs -o job-answer.json\n'
        'JOB=$(sed -n "s/^[Ll]ocation: *//p" headers.txt | tr -d "\\r")',
    ),
    FirstStep(
        "Price it: a draft quote by the pricebook of the site's country, with the name of who prepared it",
        'curl -sS --fail-with-body -D headers.txt -H @authorization.txt -H "Content-Type: application/json" \\\n'
        '  -H "Idempotency-Key: sample-1-quote" --data \'{"validity_days": 30, "prepared_by": "A. Miller"}\' \\\n'
        "  $SERVICE$JOB/quotes -o quote.json\n"
        'QUOTE=$(sed -n "s/^[Ll]ocation: *//p" headers.txt | tr -d "\\r")\n'
        'ETAG=$(sed -n "s/^[Ee][Tt]ag: *//p" headers.txt | tr -d "\\r")',
    ),
    FirstStep(
        "Issue it; If-Match says which version is meant, so that nobody's change is lost",
        'curl -sS --fail-with-body -X POST -H @authorization.txt -H "If-Match: $ETAG" '
        "$SERVICE$QUOTE/issue -o issued.json",
    ),
    FirstStep(
        "Take its papers: the quote for the customer, the workbook for the estimator",
        "curl -sS --fail-with-body -H @authorization.txt $SERVICE$QUOTE/quote.pdf -o quote.pdf\n"
        "curl -sS --fail-with-body -H @authorization.txt $SERVICE$QUOTE/workbook.xlsx -o workbook.xlsx",
    ),
    FirstStep("Stop the service", "kill $!"),
)


def script() -> str:
    """The whole hour as one shell script, a comment above each step."""
    return "\n\n".join(f"# {step.says}\n{step.command}" for step in STEPS) + "\n"
