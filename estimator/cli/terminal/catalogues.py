"""Which pricebooks a command reads."""

from __future__ import annotations

from pathlib import Path

from estimator.service.catalogue import Catalogue
from estimator.settings import from_environment


def catalogue_of(folders: tuple[Path, ...]) -> Catalogue:
    """The pricebooks in the folders told, else those of the settings."""
    settings = from_environment()
    return Catalogue(folders or settings.pricebooks, logo=settings.logo)
