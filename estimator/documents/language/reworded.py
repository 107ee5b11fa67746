"""Sentences of stored offers that the core says in other words today: the old template, and the one of today.

A stored sentence keeps its template and values, and the template is the key of the catalogues. So whoever rewords a
sentence of the core puts its old template here, once and for all; a template reworded twice has two entries, both
with the words of today. A test goes through every template of the database that version 0.1 wrote.
"""

from __future__ import annotations

from collections.abc import Mapping

from estimator.sentences import Sentence

REWORDED: Mapping[str, str] = {}
"""Old template and that of today. The places filled in keep their names, unless ``PLACES`` says otherwise."""

NO_LONGER_SAID = frozenset(
    {
        "rails",
        "{count} modules of the array do",
        "{roof}, array {array}, row {row}, column {column}: {what} (rows counted from the eave, columns from the left)",
        "{where}: no loads computed; spans and cantilevers given in the job are used as given",
    }
)
"""Templates that only stored offers hold: nothing of today says the same, so they stay in the catalogues."""

PLACES: Mapping[str, Mapping[str, str]] = {}
"""By old template: places that have another name today, old and new."""


def in_words_of_today(sentence: Sentence) -> Sentence:
    """The sentence by its template of today; most are said as ever."""
    template = REWORDED.get(sentence.template)
    if template is None:
        return sentence
    names = PLACES.get(sentence.template, {})
    return Sentence(template, [(names.get(name, name), value) for name, value in sentence.values])
