"""The PDF library's file written again: with its structure tree, everything in it packed.

The library writes every object by itself and unpacked. Here streams are packed, all other objects lie packed together
in object streams, and a packed table says where each one is. The same file and tags give the same bytes.
Source: ISO 32000-1, clauses 7.5.7 (object streams), 7.5.8 (cross-reference streams), 7.4.4.4 (predictors).
"""

from __future__ import annotations

import hashlib
import re
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.documents.pdf.structure import StructureTree
from estimator.documents.pdf.tags import Tags

MOST_TOGETHER = 200
"""Objects of one object stream: a reader that wants one unpacks them all."""
_START = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"
_PLACES = re.compile(rb"xref\n0 (\d+)\n((?:\d{10} \d{5} [nf] \n)+)trailer\n(.*)startxref\n\d+\n%%EOF\n$", re.DOTALL)
_OBJECT = re.compile(rb"(\d+) 0 obj\n(.*)\nendobj\n", re.DOTALL)
_STREAM = re.compile(rb"(<<.*?/Length (\d+).*?>>)\nstream\n", re.DOTALL)
_REFERENCE = rb"/%s (\d+) 0 R"


@dataclass(frozen=True, slots=True)
class _Plain:
    """The objects of the library's file by number, each as it stands; the numbers of its root and its properties."""

    objects: dict[int, bytes]
    root: int
    about: int

    def pages(self) -> list[int]:
        """The pages' numbers in their order: the library hangs them all on one node."""
        tree = int(_found(_REFERENCE % b"Pages", self.objects[self.root])[1])
        kids = _found(rb"/Kids\s*\[((?:\s*\d+ 0 R)+)\s*\]", self.objects[tree])[1]
        return [int(number) for number in re.findall(rb"(\d+) 0 R", kids)]


def packed_with_structure(pdf: bytes, tags: Tags) -> bytes:
    """The finished file.

    Args:
        pdf: the file as the library wrote it, unpacked.
        tags: what was marked on its pages.

    """
    plain = _read(pdf)
    pages = plain.pages()
    tree = StructureTree(tags.root, max(plain.objects) + 1, pages)
    objects = dict(plain.objects)
    for at, page in enumerate(pages):
        objects[page] = _with_entries(objects[page], f"/StructParents {at}/Tabs/S")
    objects[plain.root] = _with_entries(
        objects[plain.root],
        f"/StructTreeRoot {tree.first} 0 R/MarkInfo<</Marked true>>/ViewerPreferences<</DisplayDocTitle true>>",
    )
    objects.update(enumerate((text.encode("ascii") for text in tree.texts), start=tree.first))
    return _written(objects, plain.root, plain.about)


def _read(pdf: bytes) -> _Plain:
    """Take the library's file apart by its own table of places."""
    table = _PLACES.search(pdf, pdf.rindex(b"\nxref\n"))
    if table is None:
        raise ValueError("the PDF library's file has no table of objects where it should stand")
    places = sorted(int(line[:10]) for line in table[2].splitlines() if line[17:18] == b"n")
    objects = {}
    for start, end in zip(places, [*places[1:], table.start()], strict=True):
        one = _OBJECT.match(pdf, start, end)
        if one is None:
            raise ValueError(f"no object of the PDF library's file stands at {start}")
        objects[int(one[1])] = one[2]
    return _Plain(
        objects, int(_found(_REFERENCE % b"Root", table[3])[1]), int(_found(_REFERENCE % b"Info", table[3])[1])
    )


def _found(pattern: bytes, text: bytes) -> re.Match[bytes]:
    found = re.search(pattern, text)
    if found is None:
        raise ValueError(f"the PDF library's file lacks {pattern!r}")
    return found


def _with_entries(dictionary: bytes, entries: str) -> bytes:
    """A dictionary with more entries at its end."""
    end = dictionary.rindex(b">>")
    return b"".join((dictionary[:end], entries.encode("ascii"), b">>"))


def _written(objects: Mapping[int, bytes], root: int, about: int) -> bytes:
    """The file: streams, then object streams of everything else, then the table of places."""
    parts, at = [_START], len(_START)
    places: dict[int, tuple[int, int, int]] = {0: (0, 0, 255)}
    together: list[int] = []

    def put(number: int, text: bytes) -> None:
        nonlocal at
        part = b"%d 0 obj\n%s\nendobj\n" % (number, text)
        places[number] = (1, at, 0)
        parts.append(part)
        at += len(part)

    for number, text in objects.items():
        stream = _STREAM.match(text)
        if stream is None:
            together.append(number)
        else:
            put(number, _packed(stream, text))
    last = max(objects)
    for first in range(0, len(together), MOST_TOGETHER):
        last += 1
        group = together[first : first + MOST_TOGETHER]
        places.update({number: (2, last, index) for index, number in enumerate(group)})
        put(last, _object_stream([(number, objects[number]) for number in group]))
    last += 1
    places[last] = (1, at, 0)
    parts.append(_table(places, b"".join(parts), f"/Root {root} 0 R/Info {about} 0 R"))
    return b"".join((*parts, b"startxref\n%d\n%%%%EOF\n" % at))


def _packed(stream: re.Match[bytes], text: bytes) -> bytes:
    """A stream packed, unless it is already."""
    about, length = stream[1], int(stream[2])
    content = text[stream.end() : stream.end() + length]
    if b"/Filter" in about:
        return text
    small = zlib.compress(content)
    about = about.replace(b"/Length %d" % length, b"/Filter/FlateDecode/Length %d" % len(small), 1)
    return b"%s\nstream\n%s\nendstream" % (about, small)


def _object_stream(group: Sequence[tuple[int, bytes]]) -> bytes:
    """Objects one behind the other, before them the number and the place of each."""
    heads, at = [], 0
    for number, text in group:
        heads.append(b"%d %d" % (number, at))
        at += len(text) + 1
    head = b" ".join(heads) + b"\n"
    small = zlib.compress(head + b"\n".join(text for _, text in group))
    about = f"<</Type/ObjStm/N {len(group)}/First {len(head)}/Filter/FlateDecode/Length {len(small)}>>"
    return b"%s\nstream\n%s\nendstream" % (about.encode("ascii"), small)


def _table(places: Mapping[int, tuple[int, int, int]], before: bytes, trailer: str) -> bytes:
    """Where every object is, as differences from row to row (which pack well), and the end of the file's head."""
    number = max(places)
    rows = np.zeros((number + 1, 6), dtype=np.uint8)
    for each, (kind, place, index) in places.items():
        rows[each] = (kind, *place.to_bytes(4, "big"), index)
    differences = np.diff(rows, axis=0, prepend=np.zeros((1, 6), dtype=np.uint8))
    small = zlib.compress(np.insert(differences, 0, 2, axis=1).tobytes())
    mark = hashlib.sha256(before).hexdigest()[:32]
    about = (
        f"<</Type/XRef/Size {number + 1}/W[1 4 1]{trailer}/ID[<{mark}><{mark}>]"
        f"/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns 6>>/Length {len(small)}>>"
    )
    return b"%d 0 obj\n%s\nstream\n%s\nendstream\nendobj\n" % (number, about.encode("ascii"), small)
