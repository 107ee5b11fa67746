"""What a sentence of the tool is made of, so that tests look at its facts and not at its English."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from estimator.contract.fault_codes import code_of
from estimator.errors import EstimatorError, Fault
from estimator.sentences import Figure, Sentence, Value


@contextmanager
def refusing(kind: type[EstimatorError], *faults: tuple[str, str], holds: tuple[object, ...] = ()) -> Iterator[None]:
    """What is inside is refused: as this kind itself, with these faults (pointer, code), ``holds`` among its values."""
    with pytest.raises(kind) as refused:
        yield
    found: tuple[Fault, ...] = getattr(refused.value, "faults", ())
    assert type(refused.value) is kind
    assert [(fault.pointer, code_of(fault)) for fault in found] == list(faults)
    held = [*facts(refused.value.told), *(fact for fault in found for fact in facts(fault.message))]
    assert [value for value in holds if value not in held] == []


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
