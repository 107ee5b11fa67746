"""What programs know a fault by: a stable name for each kind, whatever its words."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.contract.fault_codes import files, jobs, pricebooks
from estimator.errors import Fault
from estimator.sentences import Sentence

OTHER = "other"
CODES: dict[str, tuple[str, ...]] = {
    code: tuple(each for told in (jobs.CODES, pricebooks.CODES, files.CODES) for each in told.get(code, ()))
    for code in sorted({*jobs.CODES, *pricebooks.CODES, *files.CODES})
}
"""The sentences that say each kind of fault."""
_BY_TEMPLATE = {template: code for code, templates in CODES.items() for template in templates}


def code_of(fault: Fault) -> str:
    """The name of a fault's kind: that of its sentence, else of the first one inside it; ``other`` where none has one.

    >>> from estimator.sentences import joined, say
    >>> code_of(Fault("/roofs/0/slope", say("missing"))), code_of(Fault("/", joined("; ", (say("missing"), "A"))))
    ('missing', 'missing')
    >>> code_of(Fault("/roofs", Sentence("in words of somebody else")))
    'other'
    """
    return next(_codes_in(fault.message), OTHER)


def _codes_in(said: Sentence) -> Iterator[str]:
    """The names of a sentence and of those inside it, from the outside in."""
    if said.template in _BY_TEMPLATE:
        yield _BY_TEMPLATE[said.template]
    for _, value in said.values:
        if isinstance(value, Sentence):
            yield from _codes_in(value)
