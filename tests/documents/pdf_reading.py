"""Reads a PDF's text, boxes and properties with a library other than the one that wrote it."""

import io
import subprocess
from pathlib import Path

from pypdf import PdfReader

from tests.references import require

SPACES = str.maketrans({"\u00a0": " ", "\u202f": " ", "\n": " "})


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def pages(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().translate(SPACES).split()) for page in reader(pdf).pages]


def pages_fast(pdf: bytes, folder: Path) -> list[str]:
    """The same by pdftotext, for documents of many pages."""
    path = folder / "read.pdf"
    path.write_bytes(pdf)
    command = [require("pdftotext"), "-layout", str(path), "-"]
    found = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return [" ".join(page.translate(SPACES).split()) for page in found.split("\f")[:-1]]


def text(pdf: bytes) -> str:
    return " ".join(pages(pdf))
