"""The house opened: its database in the newest form and its books, without what answers requests or writes papers."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime

from estimator.comparison.compare import offer
from estimator.service.catalogue import Catalogue
from estimator.service.context import ServiceContext
from estimator.service.identity_provider import Provider, SignInWays
from estimator.service.sealing import Seal, new_key
from estimator.settings import Settings
from estimator.storage.engine import keep_private, open_engine
from estimator.storage.migrate import upgrade

SECRETS_FILE = "secrets.key"


def now() -> datetime:
    """The clock of the service."""
    return datetime.now(UTC)


def open_house(settings: Settings) -> ServiceContext:
    """Database in its newest form, and the catalogue of pricebooks; no answers are kept beside quotes."""
    if settings.database_url.startswith("sqlite"):
        settings.data_folder.mkdir(parents=True, exist_ok=True)
        keep_private(settings.database_url)
    upgrade(settings.database_url)
    engine = open_engine(settings.database_url)
    return ServiceContext(
        engine,
        Catalogue(settings.pricebooks, engine, settings.logo),
        now,
        offer,
        webhook_networks=settings.webhook_networks,
        expiring_days=settings.expiring_days,
        seal=Seal(lambda: settings.secrets_keys or (made_once(settings, SECRETS_FILE, new_key),)),
        ways=SignInWays(settings.passwords, Provider(settings.openid) if settings.openid else None),
        operation_modules=settings.operation_modules,
    )


def made_once(settings: Settings, name: str, make: Callable[[], str]) -> str:
    """What a file of the data folder holds; made where there is none yet."""
    place = settings.data_folder / name
    if not place.exists():
        settings.data_folder.mkdir(parents=True, exist_ok=True)
        made = place.with_name(f"{name}.{secrets.token_hex(8)}")
        made.touch(mode=0o600)
        made.write_text(make(), encoding="ascii")
        with suppress(FileExistsError):  # of several servers that start at once, the first one's stands
            place.hardlink_to(made)
        made.unlink()
    return place.read_text(encoding="ascii").strip()
