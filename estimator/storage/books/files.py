"""The files of one edition as a mapping of names to bytes, from a folder or a zip, and their hash."""

from __future__ import annotations

import hashlib
import io
import re
import tomllib
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from estimator.errors import Fault, FilePlace, PricebookRefused
from estimator.sentences import Sentence, figure, say

HEAD = "book.toml"
TABLES = (
    "parts.csv",
    "price_breaks.csv",
    "brackets.csv",
    "strength_tests.csv",
    "screw_joints.csv",
    "rails.csv",
    "rail_stock.csv",
    "clamps.csv",
    "splices.csv",
    "assembly_rules.csv",
    "suppliers.csv",
    "freight.csv",
    "labour.csv",
    "texts.csv",
)
OPTIONAL_TABLES = frozenset({"price_breaks.csv", "strength_tests.csv", "screw_joints.csv", "texts.csv"})
MAX_FILE_BYTES = 5_000_000
MAX_HEAD_BYTES = 200_000
MAX_KEY_PARTS = 20
"""Parts of one key of the head: the reader's time grows with their square."""
MAX_ZIP_MEMBERS = 60
LOGO_NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9._-]{0,60}\.(?:png|jpg|jpeg|PNG|JPG|JPEG)")


def files_of_folder(folder: Path) -> dict[str, bytes]:
    """The book's own files in a folder: ``book.toml``, every CSV, and the logo if the head names one.

    A spreadsheet's lock files are passed over.

    Refuses (PricebookRefused) a folder that is not there and a file that is too large.
    """
    if not folder.is_dir():
        raise PricebookRefused(
            say("no folder {name}", name=repr(folder.name)), [Fault(folder.name, say("there is no such folder"))]
        )
    head = folder / HEAD
    logo = named_logo(head.read_bytes()[:MAX_FILE_BYTES]) if head.is_file() else ""
    paths = sorted(path for path in folder.iterdir() if path.is_file() and _is_of_a_book(path.name, logo))
    large = [path.name for path in paths if path.stat().st_size > MAX_FILE_BYTES]
    _refuse_large(large)
    return {path.name: path.read_bytes() for path in paths}


def files_of_zip(archive: bytes) -> dict[str, bytes]:
    """The book's own files in a zip, at its top or in one folder; refuses what is no zip, too large or encrypted."""
    try:
        with zipfile.ZipFile(io.BytesIO(archive)) as opened:
            members = [each for each in opened.infolist() if not each.is_dir()]
            if len(members) > MAX_ZIP_MEMBERS:
                raise _refused_zip(
                    say("{count} files in the zip", count=len(members)), say("at most {most}", most=MAX_ZIP_MEMBERS)
                )
            return _unpacked(opened, members)
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, EOFError, OSError) as fault:
        raise _refused_zip(
            say("the upload is no readable zip"), say("a zip of one edition, without a password")
        ) from fault


def _unpacked(opened: zipfile.ZipFile, members: list[zipfile.ZipInfo]) -> dict[str, bytes]:
    names = {each: PurePosixPath(each.filename.replace("\\", "/")) for each in members}
    names = {each: path for each, path in names.items() if "__MACOSX" not in path.parts}
    heads = [each for each, path in names.items() if path.name == HEAD]
    logo = named_logo(_read(opened, heads[0])) if heads else ""
    own = {each: path for each, path in names.items() if _is_of_a_book(path.name, logo)}
    if len({path.parent for path in own.values()}) > 1:
        raise _refused_zip(
            say("the zip holds several folders"), say("one edition: its files at the top, or in one folder")
        )
    files: dict[str, bytes] = {}
    for member, path in own.items():
        files[path.name] = _read(opened, member)
    _refuse_large([name for name, content in files.items() if len(content) > MAX_FILE_BYTES])
    return files


def _read(opened: zipfile.ZipFile, member: zipfile.ZipInfo) -> bytes:
    """One member, no more of it than shows that it is too large."""
    with opened.open(member) as stream:
        return stream.read(MAX_FILE_BYTES + 1)


def named_logo(head: bytes) -> str:
    """The file that a head names as its seller's logo; nothing where none is, or where the head cannot be read."""
    try:
        seller = read_toml(head).get("seller", {})
    except (UnicodeDecodeError, ValueError, RecursionError):
        return ""
    name = seller.get("logo", "") if isinstance(seller, dict) else ""
    return name if isinstance(name, str) and is_logo_name(name) else ""


def read_toml(content: bytes, parse_float: Callable[[str], Any] = float) -> dict[str, Any]:
    """A head as TOML. Errors: ValueError, also for one that is made to keep its reader busy; RecursionError.

    >>> read_toml(b"a." * 50_000 + b"a = 1")
    Traceback (most recent call last):
    ...
    ValueError: a key of more than 20 parts
    """
    if len(content) > MAX_HEAD_BYTES:
        raise ValueError(f"more than {MAX_HEAD_BYTES:,} bytes")
    text = content.decode("utf-8-sig").replace("\r\n", "\n")
    if any(line.partition("=")[0].count(".") >= MAX_KEY_PARTS for line in text.splitlines()):
        raise ValueError(f"a key of more than {MAX_KEY_PARTS} parts")
    return tomllib.loads(text, parse_float=parse_float)


def is_logo_name(name: str) -> bool:
    """Whether a name may be that of a logo's file: plain, in the book's folder, of a kind that is read.

    >>> is_logo_name("logo.png"), is_logo_name("../logo.png"), is_logo_name("logo.svg")
    (True, False, False)
    """
    return LOGO_NAME.fullmatch(name) is not None


def folder_sha256(folder: Path) -> str:
    """The hash of an edition's files, the same in whatever order a file system lists them."""
    return files_sha256(files_of_folder(folder))


def files_sha256(files: Mapping[str, bytes]) -> str:
    """SHA-256 over each file's name, size and bytes, in the order of the names. Source: FIPS 180-4."""
    digest = hashlib.sha256()
    for name in sorted(files):
        digest.update(f"{name}\n{len(files[name])}\n".encode())
        digest.update(files[name])
    return digest.hexdigest()


def _is_of_a_book(name: str, logo: str) -> bool:
    hidden = name.startswith((".", "~"))
    return not hidden and (name in {HEAD, logo} or name.lower().endswith(".csv"))


def _refuse_large(names: list[str]) -> None:
    if names:
        allowed = say("at most {most} bytes", most=figure(MAX_FILE_BYTES, ","))
        raise PricebookRefused(
            say("files too large"), [Fault(FilePlace(name), say("the file is too large"), allowed) for name in names]
        )


def _refused_zip(message: Sentence, allowed: str) -> PricebookRefused:
    return PricebookRefused(message, [Fault("zip", message, allowed)])
