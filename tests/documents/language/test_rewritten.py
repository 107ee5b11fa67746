"""What older quotes say is told in today's words, in every language."""

import pytest

from estimator.documents.language.rewritten import REWRITTEN
from estimator.documents.language.texts import Texts, reader_for
from estimator.sentences import say
from tests.documents.language.test_texts import LANGUAGES, SOURCES, messages, said


@pytest.fixture(scope="module")
def today():
    """Every sentence that is said today."""
    return {*messages(SOURCES), *(text for text, _, _ in said())}


@pytest.mark.parametrize("old", REWRITTEN)
def test_an_older_sentence_leads_to_one_that_is_said_today(old, today):
    assert REWRITTEN[old] in today
    assert REWRITTEN[old] not in REWRITTEN
    assert old not in today


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("old", REWRITTEN)
def test_an_older_sentence_is_told_in_the_readers_language(old, language):
    reader = reader_for(language, "", "metric")
    kept = say("bracket {bracket}", bracket=say(old))
    assert reader.say(say(old)) == Texts(reader.texts.locale).t(REWRITTEN[old])
    assert reader.say(kept).endswith(reader.say(say(old)))
