"""What a sentence of the tool is made of, so that tests look at its facts and not at its English."""

from estimator.sentences import Figure, Sentence, Value


def facts(sentence: str) -> list[object]:
    """The values that fill a sentence and the sentences within it: figures by value, everything else as it is."""
    if not isinstance(sentence, Sentence):
        return []
    return [fact for _, value in sentence.values for fact in _facts_of(value)]


def _facts_of(value: Value) -> list[object]:
    if isinstance(value, Figure):
        return [value.value]
    if isinstance(value, Sentence):
        return [str(value), *facts(value)]
    return [value]


def templates(sentence: str) -> list[str]:
    """The templates of a sentence and of the sentences within it."""
    if not isinstance(sentence, Sentence):
        return []
    inner = [each for _, value in sentence.values if isinstance(value, Sentence) for each in templates(value)]
    return [sentence.template, *inner]
