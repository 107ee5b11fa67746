"""What a document holds beyond the fields of its form: each place as a JSON Pointer with its value as JSON, on a line.

So nothing is hidden and nothing is lost: a line that is not touched changes nothing, one that is taken away is taken
away, a new one is put in. Source of pointers: RFC 6901.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from copy import deepcopy
from dataclasses import dataclass

import orjson

from estimator.errors import Fault
from estimator.sentences import say
from estimator.web.forms.entries import Document

SIGN = " = "
FURTHER = "further"
"""The field's name."""
AT = f"/{FURTHER}"
ALLOWED = 'such as /roofs/0/purlins/spacing = "5 ft"'
MOST_LINES = 2_000


@dataclass(frozen=True, slots=True)
class Further:
    """The document with the lines in it; with faults it is as it was, and the text is to be shown again."""

    document: Document
    faults: tuple[Fault, ...] = ()


def further_lines(document: Document, covered: Collection[str]) -> dict[str, str]:
    """Pointer and value of whatever no field shows; ``covered``: the paths of fields, without the first stroke."""
    ways = {path[:at] for path in covered for at, sign in enumerate(path) if sign == "/"}
    found = {}
    for pointer, value in _leaves(document, "", covered, ways):
        if SIGN not in pointer and "\n" not in pointer:
            found[pointer] = orjson.dumps(value).decode()
    return found


def further_text(lines: dict[str, str]) -> str:
    """The lines as the field shows them."""
    return "\n".join(f"{pointer}{SIGN}{value}" for pointer, value in lines.items())


def further_read(text: str, document: Document, before: dict[str, str], covered: Collection[str]) -> Further:
    """The lines laid over a document that was made from one whose lines were ``before``."""
    typed, faults = _typed(text)
    made = deepcopy(document)
    for pointer in [each for each in reversed(before) if each not in typed]:
        _set(made, pointer, None, gone=True)
    for pointer, (line, value) in typed.items():
        if before.get(pointer) == line:
            continue
        own = pointer[1:]
        if any(own == path or own.startswith(f"{path}/") or path.startswith(f"{own}/") for path in covered):
            faults.append(Fault(pointer, say("this has fields of its own")))
        elif not _set(made, pointer, value):
            faults.append(Fault(pointer, say("there is no such place"), ALLOWED))
    return Further(document, tuple(faults)) if faults else Further(made)


def _typed(text: str) -> tuple[dict[str, tuple[str, Document]], list[Fault]]:
    typed: dict[str, tuple[str, Document]] = {}
    faults = []
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    for line in lines[:MOST_LINES]:
        pointer, sign, value = line.partition(SIGN)
        try:
            if not pointer.startswith("/") or not sign:
                raise ValueError
            if pointer in typed:
                faults.append(Fault(pointer, say("named twice")))
            typed[pointer] = (value.strip(), orjson.loads(value))
        except ValueError:
            faults.append(
                Fault(
                    AT,
                    say("{line} is not a JSON Pointer and a JSON value with = between", line=repr(line[:200])),
                    ALLOWED,
                )
            )
    return typed, faults


def _leaves(
    value: Document, path: str, covered: Collection[str], ways: Collection[str]
) -> Iterator[tuple[str, Document]]:
    own = path[1:]
    if own in covered:
        return
    inside = not path or own in ways
    if inside and isinstance(value, dict):
        for name, each in value.items():
            yield from _leaves(each, f"{path}/{_escaped(str(name))}", covered, ways)
    elif inside and isinstance(value, list):
        for at, each in enumerate(value):
            yield from _leaves(each, f"{path}/{at}", covered, ways)
    else:
        yield path, value


def _set(document: Document, pointer: str, value: Document, *, gone: bool = False) -> bool:
    """Set or take away what a pointer names; objects on the way are made, lists grow by their next place only."""
    *way, last = [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]
    for step in way:
        if isinstance(document, dict):
            if not isinstance(document.get(step), (dict, list)):
                if gone:
                    return False
                document[step] = {}
            document = document[step]
        elif isinstance(document, list) and step.isdigit() and int(step) < len(document):
            document = document[int(step)]
        else:
            return False
    return _placed(document, last, value, gone)


def _placed(document: Document, last: str, value: Document, gone: bool) -> bool:
    if isinstance(document, dict):
        if gone:
            document.pop(last, None)
        else:
            document[last] = value
        return True
    if not isinstance(document, list) or not last.isdigit() or int(last) > len(document):
        return False
    if gone:
        del document[int(last) : int(last) + 1]
    else:
        document[int(last) : int(last) + 1] = [value]
    return True


def _escaped(name: str) -> str:
    return name.replace("~", "~0").replace("/", "~1")
