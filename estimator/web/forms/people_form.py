"""The form of an account: who it is, what they may, and how they read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from estimator.documents.language.texts import mark
from estimator.errors import Fault
from estimator.sentences import LANGUAGES
from estimator.web.forms.entries import FormEntry
from estimator.web.forms.views import FieldView
from estimator.web.labels import ROLE_WORDS, UNIT_WORDS

TERMS = ("name", "role", "language", "units")
"""What may be changed of an account later."""
ENTRIES = {
    "login": FormEntry("login", mark("Signs in as (an e-mail address, say)")),
    "name": FormEntry("name", mark("Name, as quotes print it")),
    "role": FormEntry("role", mark("Role"), "choice", choices=tuple(ROLE_WORDS.items())),
    "language": FormEntry("language", mark("Language"), "choice", choices=tuple(LANGUAGES.items())),
    "units": FormEntry("units", mark("Units"), "choice", choices=tuple(UNIT_WORDS.items())),
}


def person_fields(terms: Mapping[str, str], names: Iterable[str], faults: Iterable[Fault] = ()) -> list[FieldView]:
    """The fields of those names, with what stands in them and what is wrong with it."""
    told = {fault.pointer.removeprefix("/"): str(fault.message) for fault in faults}
    return [FieldView(name, ENTRIES[name], "", terms.get(name, ""), told.get(name, "")) for name in names]


def typed_terms(form: Mapping[str, str], names: Iterable[str]) -> dict[str, str]:
    """What was typed of these, as far as it was sent."""
    return {name: form[name].strip() for name in names if name in form}
