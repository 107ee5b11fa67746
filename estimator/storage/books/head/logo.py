"""A house's logo: a small PNG or JPEG, known by its content and measured before it is unpacked; nothing that runs."""

from __future__ import annotations

import io
import warnings
from collections.abc import Mapping
from pathlib import Path
from typing import Literal, cast

from PIL import Image, UnidentifiedImageError

from estimator.errors import Fault, FilePlace, said_by
from estimator.pricebook import Logo
from estimator.sentences import figure, say
from estimator.storage.books.files import HEAD
from estimator.storage.books.rows.row import Reading

MOST_BYTES = 300_000
SIDES = (16, 3_000)
"""Pixels of a side, least and most."""
MODES = frozenset({"1", "L", "LA", "P", "RGB", "RGBA"})
ALLOWED = (
    f"a PNG or JPEG in grey or RGB colours, at most {MOST_BYTES:,} bytes, {SIDES[0]} to {SIDES[1]:,} pixels a side"
)


class LogoFault(ValueError):
    """What keeps a file from being a logo; ``ALLOWED`` says what would do."""


def logo_from(content: bytes) -> Logo:
    """The logo in a file's bytes, which stay as they are. Errors: LogoFault, saying what was found."""
    if len(content) > MOST_BYTES:
        raise LogoFault(say("the logo has {count} bytes", count=figure(len(content), ",")))
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _measured(content)
    except (UnidentifiedImageError, Image.DecompressionBombError, Image.DecompressionBombWarning) as fault:
        raise LogoFault(say("the logo is no PNG or JPEG")) from fault
    except (OSError, SyntaxError, ValueError, EOFError) as fault:
        if isinstance(fault, LogoFault):
            raise
        raise LogoFault(say("the logo is damaged")) from fault


def _measured(content: bytes) -> Logo:
    """The head first, which says the size; the pixels only if there are not too many of them."""
    with Image.open(io.BytesIO(content), formats=("PNG", "JPEG")) as image:
        wide, high = image.size
        if not all(SIDES[0] <= side <= SIDES[1] for side in image.size):
            raise LogoFault(say("the logo has {wide} by {high} pixels", wide=figure(wide, ","), high=figure(high, ",")))
        if image.mode not in MODES:
            raise LogoFault(say("the logo's colours are {mode}", mode=image.mode))
        if getattr(image, "n_frames", 1) != 1:
            raise LogoFault(say("the logo is animated"))
        image.load()
        return Logo(content, cast(Literal["png", "jpeg"], str(image.format).lower()), wide, high)


def logo_of(files: Mapping[str, bytes], reading: Reading) -> Logo | None:
    """The logo that the head names, read from beside it; a fault is noted with its place. None where none is named."""
    if not reading.logo:
        return None
    if reading.logo not in files:
        fault = Fault(
            FilePlace(HEAD, column="seller.logo"),
            say("there is no file {logo} beside {head}", logo=repr(reading.logo), head=HEAD),
            ALLOWED,
        )
    else:
        try:
            return logo_from(files[reading.logo])
        except LogoFault as found:
            fault = Fault(FilePlace(reading.logo), said_by(found), ALLOWED)
    reading.faults.append(fault)
    return None


def logo_in(path: Path) -> Logo:
    """The logo in a file. Errors: LogoFault."""
    try:
        with path.open("rb") as file:
            return logo_from(file.read(MOST_BYTES + 1))
    except OSError as fault:
        raise LogoFault(say("there is no file {name} to be read", name=repr(path.name))) from fault
