"""Stored jobs and choices in the words of today: arrangements renamed, cells left out counted from 1.

A job's version is raised where its document changes, so that a change made to the old one is refused as stale.
"""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

NEW_WORDS = {"side_rail": "rail_on_side", "bottom_rail": "rail_on_top"}
OLD_WORDS = {new: old for old, new in NEW_WORDS.items()}
AT_ONCE = 200

JOB = sa.table("job", sa.column("id"), sa.column("document", types.Json()), sa.column("version", sa.Integer()))
QUOTE = sa.table(
    "quote", sa.column("id"), sa.column("job_document", types.Json()), sa.column("choices", types.Json())
)


def upgrade() -> None:
    """Forth."""
    _convert(NEW_WORDS, 1)


def downgrade() -> None:
    """Back."""
    _convert(OLD_WORDS, -1)


def _convert(words, step):
    connection = op.get_bind()
    for row in _rows(connection, JOB):
        document = job_document(row["document"], words, step)
        if document != row["document"]:
            changed = {"document": document, "version": row["version"] + 1}
            connection.execute(sa.update(JOB).where(JOB.c.id == row["id"]).values(changed))
    for row in _rows(connection, QUOTE):
        changed = {
            "job_document": job_document(row["job_document"], words, step),
            "choices": with_arrangement(row["choices"], words),
        }
        if any(row[name] != document for name, document in changed.items()):
            connection.execute(sa.update(QUOTE).where(QUOTE.c.id == row["id"]).values(changed))


def _rows(connection, table):
    """All rows by their ids, some at a time."""
    last = ""
    while True:
        statement = sa.select(table).where(table.c.id > last).order_by(table.c.id).limit(AT_ONCE)
        rows = connection.execute(statement).mappings().all()
        if not rows:
            return
        yield from rows
        last = rows[-1]["id"]


def job_document(document, words, step):
    """A job as it was posted, in other words and counted another way; what is not understood stays as it is."""
    if not isinstance(document, dict):
        return document
    changed = dict(document)
    if "mounting" in changed:
        changed["mounting"] = with_arrangement(changed["mounting"], words)
    if isinstance(changed.get("roofs"), list):
        changed["roofs"] = [_roof(roof, step) for roof in changed["roofs"]]
    return changed


def with_arrangement(document, words):
    """A mounting, or choices, with the arrangement in other words."""
    if not isinstance(document, dict) or not isinstance(document.get("arrangement"), str):
        return document
    return {**document, "arrangement": words.get(document["arrangement"], document["arrangement"])}


def _roof(roof, step):
    if not isinstance(roof, dict) or not isinstance(roof.get("arrays"), list):
        return roof
    return {**roof, "arrays": [_array(array, step) for array in roof["arrays"]]}


def _array(array, step):
    if not isinstance(array, dict) or not isinstance(array.get("omit"), list):
        return array
    return {**array, "omit": [_cell(cell, step) for cell in array["omit"]]}


def _cell(cell, step):
    if not isinstance(cell, list) or not all(isinstance(number, (int, float)) for number in cell):
        return cell
    return [number + step for number in cell]
