"""The database that version 0.1 wrote, and the house that works on with it.

``kept/version-0.1.tar.xz`` was written by version 0.1.0 (commit c677e79) and is never written again. A fresh database
was made by its migrations, then filled over HTTP by its own service, with a clock that began on 2 November 2026 and was
turned by days in between: keys of every role, one revoked, one outlived, one replaced; an uploaded edition with a logo;
twenty jobs of two houses in four languages, in metric and US units and both; quotes with rail on the side, rail on top,
without rail, along and across the ribs, with expansion splices, with loads by ASCE 7-16, ASCE 7-22, EN 1991 and given
ones; quotes drafted, issued, accepted, declined, revised, expired, sent back as a workbook, issued with failed checks
overridden (when drafted and when issued); five order lists, two of them cut together where one saved bars and one did
not; and kept answers to requests, one of them still running. Beside the database the archive holds

- ``pricebooks/``: the editions of that time;
- ``answers/``: what version 0.1 answered for each quote, comparison, order list and job, and (``then/``) what a
  revision and a new order gave;
- ``printed/``: the texts of the papers as version 0.1 printed them, and ``receipt.json``: the job that was posted with
  the Idempotency-Key "job-15";
- ``workbooks/sent-back.xlsx``: the workbook as it was sent back for the first revision of ``top``, and ``orders/``:
  workbooks of two order lists. Workbooks of quotes stand in the database, with the documents kept at issue.

``kept/manifest.json`` says what must hold. Reading all this needs no code of version 0.1.
"""

import json
import re
import tarfile
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

from estimator.app import create_app, open_context
from estimator.settings import from_environment

TO_THE_GRAM = 0.000501
"""Half a gram, kg: what masses in answers are rounded by."""
KEPT = Path(__file__).parent / "kept"
ARCHIVE = KEPT / "version-0.1.tar.xz"
MANIFEST = json.loads((KEPT / "manifest.json").read_text(encoding="utf-8"))
QUOTES = MANIFEST["quotes"]
ORDERS = MANIFEST["orders"]


@cache
def files() -> dict[str, bytes]:
    """Everything in the archive, by name."""
    with tarfile.open(ARCHIVE, "r:xz") as archive:
        return {member.name: archive.extractfile(member).read() for member in archive}


def answer(name):
    """An answer of version 0.1, such as ``quotes/draft``, in today's terms."""
    return as_of_today(json.loads(files()[f"answers/{name}.json"]))


WORDS_OF_TODAY = {"side_rail": "rail_on_side", "bottom_rail": "rail_on_top"}
"""Words of answers, as names or as values, that are others today. Whoever renames one says so here."""
COUNTED_FROM_1 = frozenset({"row", "column", "seam", "rail", "run", "piece", "line_of_run", "omit"})
"""Numbers of answers, by name, that version 0.1 counted from 0."""


def as_of_today(value, name=""):
    """An answer of version 0.1 in today's terms."""
    if isinstance(value, dict):
        return {WORDS_OF_TODAY.get(each, each): as_of_today(inner, each) for each, inner in value.items()}
    if isinstance(value, list):
        return [as_of_today(inner, name) for inner in value]
    if isinstance(value, str):
        return _in_words_of_today(value, name)
    return value + 1 if type(value) is int and name in COUNTED_FROM_1 else value


def _in_words_of_today(words, name):
    """An attachment stands behind a stroke now, as all of a place does; seams count from 1; a single pack is one."""
    if name == "why":
        return words.replace("1 packs of", "1 pack of") if words.startswith("1 ") else words
    if name != "worst_at":
        return WORDS_OF_TODAY.get(words, words)
    words = words.replace(", attachment", " / attachment")
    return re.sub(r"seam (\d+)", lambda found: f"seam {int(found[1]) + 1}", words)


def lost(old, new, place=""):
    """Where an answer of today lacks or changes what version 0.1 answered; what is new in it is left out."""
    if isinstance(old, dict) and isinstance(new, dict):
        return [each for name in old for each in lost(old[name], new.get(name), f"{place}/{name}")]
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        return [each for at, value in enumerate(old) for each in lost(value, new[at], f"{place}/{at}")]
    if isinstance(new, str) and new.startswith("1 "):
        new = new.replace("1 packs of", "1 pack of")  # as it is stored, and as it is said today
    numbers = isinstance(old, (int, float)) and isinstance(new, (int, float))
    if numbers and place.endswith("mass") and abs(old - new) <= TO_THE_GRAM:
        return []  # masses are rounded in answers today
    return [] if old == new else [(place, old, new)]


def printed(name):
    """The text of a paper as version 0.1 printed it, such as ``draft/quote.pdf``."""
    return files()[f"printed/{name}.txt"].decode()


@dataclass
class House:
    """The house on the day the database was last written, with the service of today."""

    engine: object
    http: object
    folder: Path

    def call(self, method, path, role="estimator", **more):
        headers = {"Authorization": f"Bearer {MANIFEST['keys'][role]}", **more.pop("headers", {})}
        return self.http.open(path, method=method, headers=headers, **more)

    def get(self, path, role="estimator", **more):
        return self.call("GET", path, role, **more)

    def post(self, path, document=None, role="estimator", **more):
        return self.call("POST", path, role, **({"json": document} if document is not None else {}), **more)

    def quote(self, name):
        whole = {"include": "runs,loads,cut_plan,derivations,choices"}
        return self.get(f"/v1/quotes/{QUOTES[name]['id']}", owner(name), query_string=whole)

    def paper(self, name, file):
        return self.get(f"/v1/quotes/{QUOTES[name]['id']}/{file}", owner(name))


def owner(name):
    """Whose key reads a quote or order list."""
    return "stranger" if name == "stranger" else "admin"


def unpack(folder: Path) -> str:
    """The database and its pricebooks in a folder; the database's address."""
    (folder / "estimator.db").write_bytes(files()["estimator.db"])
    for name, content in files().items():
        if name.startswith("pricebooks/"):
            place = folder / name
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
    return f"sqlite:///{folder / 'estimator.db'}"


def open_house(folder: Path, later=timedelta()) -> House:
    """The old database, brought to today's form, behind the service of today."""
    environment = {
        "ESTIMATOR_DATA": str(folder),
        "ESTIMATOR_DATABASE_URL": unpack(folder),
        "ESTIMATOR_PRICEBOOKS": str(folder / "pricebooks"),
        "ESTIMATOR_CURSOR_SECRET": "kept",
        "ESTIMATOR_RATE_BURST": "100000",
    }
    settings = from_environment(environment)
    now = datetime.fromisoformat(MANIFEST["at"]) + later
    context = replace(open_context(settings), clock=lambda: now)
    return House(context.engine, create_app(settings, context).test_client(), folder)
