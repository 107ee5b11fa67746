"""What programs know a fault by: a stable name for each kind, whatever its words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from estimator.contract.fault_codes import files, jobs, pricebooks, refusals
from estimator.errors import Fault
from estimator.sentences import Sentence

OTHER = "other"
CODES: dict[str, tuple[str, ...]] = {
    code: tuple(each for told in (jobs.CODES, pricebooks.CODES, files.CODES) for each in told.get(code, ()))
    for code in sorted({*jobs.CODES, *pricebooks.CODES, *files.CODES})
}
"""The sentences that say each kind of fault."""
_BY_TEMPLATE = {template: code for code, templates in CODES.items() for template in templates}


_BY_REFUSAL = {template: code for code, templates in refusals.CODES.items() for template in templates}


def refusal_code(said: str, kind: str) -> str:
    """The name of what a whole refusal says, else that of its kind of problem.

    >>> from estimator.sentences import say
    >>> refusal_code(say("no such quote"), "not-found"), refusal_code(say("missing"), "not-json")
    ('no_quote', 'not_json')
    """
    return next(_names_in(said, _BY_REFUSAL), kind.replace("-", "_"))


def code_of(fault: Fault) -> str:
    """The name of a fault's kind: that of its sentence, else of the first one inside it; ``other`` where none has one.

    >>> from estimator.sentences import joined, say
    >>> code_of(Fault("/roofs/0/slope", say("missing"))), code_of(Fault("/", joined("; ", (say("missing"), "A"))))
    ('missing', 'missing')
    >>> code_of(Fault("/roofs", Sentence("in words of somebody else")))
    'other'
    """
    return next(_names_in(fault.message, _BY_TEMPLATE), OTHER)


def _names_in(said: str, by_template: Mapping[str, str]) -> Iterator[str]:
    """The names of a sentence and of those inside it, from the outside in."""
    if not isinstance(said, Sentence):
        return
    if said.template in by_template:
        yield by_template[said.template]
    for _, value in said.values:
        if isinstance(value, Sentence):
            yield from _names_in(value, by_template)
