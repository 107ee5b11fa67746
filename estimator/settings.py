"""Settings of the service, from the environment; every one has a default that works on one machine.

SETTINGS is the table that DEVELOPERS.md shows, and that a test compares with it.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from ipaddress import IPv4Network, IPv6Network, ip_network
from pathlib import Path
from urllib.parse import urlsplit

from estimator.demo import books_folder
from estimator.errors import Fault, Refused, said_by
from estimator.pricebook import Logo
from estimator.sentences import say
from estimator.service.identity_provider import ProviderTerms, is_safe
from estimator.service.sealing import KEY
from estimator.storage.books.head.logo import ALLOWED, LogoFault, logo_in


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: its name in the environment, its default as people read it, and what it does."""

    name: str
    default: str
    meaning: str


SETTINGS: tuple[Setting, ...] = (
    Setting("ESTIMATOR_DATA", "estimator-data", "folder of the embedded database (`--data`)"),
    Setting(
        "ESTIMATOR_DATABASE_URL",
        "SQLite in the data folder",
        "database as SQLAlchemy writes it, such as `postgresql+psycopg://...`",
    ),
    Setting(
        "ESTIMATOR_PRICEBOOKS",
        "`pricebooks` here, else the shipped ones",
        "folders of pricebooks that all organisations share (`--pricebooks`)",
    ),
    Setting("ESTIMATOR_LOGO", "none", "PNG or JPEG that heads documents where a pricebook has no logo of its own"),
    Setting("ESTIMATOR_HOST", "127.0.0.1", "address to listen on (`--host`)"),
    Setting("ESTIMATOR_PORT", "8080", "port to listen on (`--port`)"),
    Setting("ESTIMATOR_WORKERS", "1", "server processes; more than one needs PostgreSQL"),
    Setting("ESTIMATOR_THREADS", "64", "requests one process works on at a time"),
    Setting("ESTIMATOR_CALCULATORS", "0", "calculating processes beside each server's; 0 is one for each core"),
    Setting("ESTIMATOR_WAIT_SECONDS", "10", "seconds a request waits for one before it becomes an operation"),
    Setting("ESTIMATOR_OPERATION_MODULES", "5000", "modules beyond which estimates and quotes become operations"),
    Setting("ESTIMATOR_OPERATIONS", "here", "`apart`: operations are left to `estimator work` (needs PostgreSQL)"),
    Setting(
        "ESTIMATOR_BODY_LIMIT",
        "5000000",
        "largest request body, bytes; a workbook that comes back may have three times as many",
    ),
    Setting("ESTIMATOR_BODY_SECONDS", "15", "seconds to wait for the next piece of a request's body"),
    Setting("ESTIMATOR_RATE_BURST", "600", "requests a key may send at once"),
    Setting("ESTIMATOR_RATE_PER_SECOND", "60", "requests a second a key may send in the long run"),
    Setting("ESTIMATOR_CURSOR_SECRET", "made at the first start", "signs page cursors; equal on all machines"),
    Setting(
        "ESTIMATOR_SECRETS_KEY",
        "made at the first start",
        "seals secrets of webhooks; equal on all machines (checked); several with commas between, the newest first",
    ),
    Setting(
        "ESTIMATOR_WEBHOOK_NETWORKS",
        "none",
        "networks inside the house that webhooks may reach, also over http: `10.1.0.0/16,fd00::/8`",
    ),
    Setting("ESTIMATOR_EXPIRING_DAYS", "3", "days before a quote's validity ends on which `quote.expiring` is told"),
    Setting("ESTIMATOR_BEHIND_TLS", "no", "`yes` where browsers reach the service over TLS only: sends HSTS"),
    Setting("ESTIMATOR_OIDC_ISSUER", "none", "OpenID Connect provider through which people sign in (extra `openid`)"),
    Setting("ESTIMATOR_OIDC_CLIENT_ID", "none", "what the provider calls this service"),
    Setting("ESTIMATOR_OIDC_CLIENT_SECRET", "none", "their common secret; without one PKCE alone shows who asks"),
    Setting("ESTIMATOR_OIDC_CALLBACK", "none", "as registered there: `https://YOUR-HOST/sign-in/provider/answer`"),
    Setting("ESTIMATOR_OIDC_NAME", "the provider's host", "what people call the provider, on the sign-in page"),
    Setting("ESTIMATOR_PASSWORDS", "yes", "`no`: people sign in through the provider only"),
    Setting(
        "ESTIMATOR_TRACES",
        "no",
        "`otlp` sends a span for each request (extra `traces`)",
    ),
    Setting("ESTIMATOR_PROXIES", "0", "proxies in front whose X-Forwarded-For is believed: audit log and limits"),
    Setting("ESTIMATOR_LOG_LEVEL", "info", "`debug`, `info`, `warning` or `error`"),
)
LEVELS = {"debug": 10, "info": 20, "warning": 30, "error": 40}


@dataclass(frozen=True, slots=True)
class Settings:
    """What the service was told."""

    data_folder: Path
    database_url: str
    pricebooks: tuple[Path, ...]
    host: str = "127.0.0.1"
    port: int = 8080
    workers: int = 1
    threads: int = 64
    calculators: int = 0
    wait_seconds: float = 10.0
    operation_modules: int = 5_000
    operations_apart: bool = False
    body_limit: int = 5_000_000
    body_seconds: float = 15.0
    rate_burst: int = 600
    rate_per_second: float = 60.0
    cursor_secret: str = ""
    secrets_keys: tuple[str, ...] = ()
    webhook_networks: tuple[IPv4Network | IPv6Network, ...] = ()
    expiring_days: int = 3
    behind_tls: bool = False
    openid: ProviderTerms | None = None
    passwords: bool = True
    log_level: int = 20
    traces: bool = False
    proxies: int = 0
    logo: Logo | None = None


def from_environment(environment: Mapping[str, str] | None = None) -> Settings:
    """The settings. Errors: Refused, with every setting that cannot be read."""
    faults: list[Fault] = []
    reader = _Reader(_with_files(os.environ if environment is None else environment, faults), faults)
    data_folder = Path(reader.text("ESTIMATOR_DATA", "estimator-data"))
    settings = Settings(
        data_folder=data_folder,
        database_url=reader.text("ESTIMATOR_DATABASE_URL", f"sqlite:///{data_folder.absolute() / 'estimator.db'}"),
        pricebooks=pricebook_folders(reader.text("ESTIMATOR_PRICEBOOKS", "")),
        host=reader.text("ESTIMATOR_HOST", "127.0.0.1"),
        port=reader.whole("ESTIMATOR_PORT", 8080, 0, 65_535),
        workers=reader.whole("ESTIMATOR_WORKERS", 1, 1, 256),
        threads=reader.whole("ESTIMATOR_THREADS", 64, 1, 1_024),
        calculators=reader.whole("ESTIMATOR_CALCULATORS", 0, 0, 256),
        wait_seconds=reader.whole("ESTIMATOR_WAIT_SECONDS", 10, 0, 600),
        operation_modules=reader.whole("ESTIMATOR_OPERATION_MODULES", 5_000, 0, 10_000_000),
        operations_apart=reader.word("ESTIMATOR_OPERATIONS", "here", ("here", "apart")) == "apart",
        body_limit=reader.whole("ESTIMATOR_BODY_LIMIT", 5_000_000, 1_000, 1_000_000_000),
        body_seconds=reader.whole("ESTIMATOR_BODY_SECONDS", 15, 1, 3_600),
        rate_burst=reader.whole("ESTIMATOR_RATE_BURST", 600, 1, 1_000_000),
        rate_per_second=reader.whole("ESTIMATOR_RATE_PER_SECOND", 60, 1, 1_000_000),
        cursor_secret=reader.text("ESTIMATOR_CURSOR_SECRET", ""),
        secrets_keys=reader.keys("ESTIMATOR_SECRETS_KEY"),
        webhook_networks=reader.networks("ESTIMATOR_WEBHOOK_NETWORKS"),
        expiring_days=reader.whole("ESTIMATOR_EXPIRING_DAYS", 3, 0, 365),
        behind_tls=reader.word("ESTIMATOR_BEHIND_TLS", "no", ("yes", "no")) == "yes",
        openid=reader.openid(),
        passwords=reader.word("ESTIMATOR_PASSWORDS", "yes", ("yes", "no")) == "yes",
        logo=reader.logo("ESTIMATOR_LOGO"),
        traces=reader.word("ESTIMATOR_TRACES", "no", ("no", "otlp")) == "otlp",
        proxies=reader.whole("ESTIMATOR_PROXIES", 0, 0, 8),
        log_level=LEVELS[reader.word("ESTIMATOR_LOG_LEVEL", "info", tuple(LEVELS))],
    )
    reader.faults.extend(_contradictions(settings))
    if reader.faults:
        raise Refused(say("settings that cannot be read"), reader.faults)
    return settings


def _contradictions(settings: Settings) -> Iterator[Fault]:
    if settings.workers > 1 and settings.database_url.startswith("sqlite"):
        yield Fault("ESTIMATOR_WORKERS", say("more than one process needs PostgreSQL"), "1")
    if settings.operations_apart and settings.database_url.startswith("sqlite"):
        yield Fault("ESTIMATOR_OPERATIONS", say("workers of their own need PostgreSQL"), "here")
    if settings.openid is None and not settings.passwords:
        yield Fault("ESTIMATOR_PASSWORDS", say("nobody could sign in without ESTIMATOR_OIDC_ISSUER"), "yes")


def _with_files(environment: Mapping[str, str], faults: list[Fault]) -> Mapping[str, str]:
    """The environment, with what stands in the files that ``NAME_FILE`` names, as container hosts hand secrets over."""
    told = {setting.name: environment.get(f"{setting.name}_FILE") for setting in SETTINGS}
    found = dict(environment)
    for name, place in told.items():
        if place and environment.get(name):
            faults.append(Fault(f"{name}_FILE", say("{name} is given too", name=name), say("one of the two")))
        elif place:
            try:
                found[name] = Path(place).read_text(encoding="utf-8").rstrip("\r\n")
            except (OSError, UnicodeDecodeError) as fault:
                faults.append(
                    Fault(
                        f"{name}_FILE",
                        say("{place} cannot be read: {fault}", place=repr(place), fault=str(fault)),
                        say("a file of text"),
                    )
                )
    return found


def pricebook_folders(told: str) -> tuple[Path, ...]:
    """The folders told, else ``pricebooks`` where one is, else the shipped ones."""
    if told:
        return tuple(Path(folder) for folder in told.split(os.pathsep) if folder)
    here = Path("pricebooks")
    return (here,) if here.is_dir() else (books_folder(),)


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads settings and gathers what is wrong with them."""

    environment: Mapping[str, str]
    faults: list[Fault]

    def text(self, name: str, default: str) -> str:
        return self.environment.get(name) or default

    def logo(self, name: str) -> Logo | None:
        told = self.environment.get(name)
        try:
            return logo_in(Path(told)) if told else None
        except LogoFault as fault:
            self.faults.append(Fault(name, said_by(fault), ALLOWED))
            return None

    def keys(self, name: str) -> tuple[str, ...]:
        told = re.split(r"[\s,]+", (self.environment.get(name) or "").strip())
        keys = tuple(each for each in told if each)
        if all(KEY.fullmatch(each) for each in keys):
            return keys
        allowed = say("Fernet keys: 32 bytes as URL-safe base64, 44 characters each")
        self.faults.append(Fault(name, say("not a key (it is not repeated here)"), allowed))
        return ()

    def networks(self, name: str) -> tuple[IPv4Network | IPv6Network, ...]:
        told = self.environment.get(name) or ""
        try:
            return tuple(ip_network(each.strip()) for each in told.split(",") if each.strip() not in {"", "none"})
        except ValueError as fault:
            self.faults.append(Fault(name, said_by(fault), say("networks such as 10.1.0.0/16, with commas between")))
            return ()

    def openid(self) -> ProviderTerms | None:
        """What the house agreed on with its provider; all of it is needed where an issuer is named."""
        names = ("ISSUER", "CLIENT_ID", "CLIENT_SECRET", "CALLBACK", "NAME")
        issuer, client, secret, callback, called = (self.text(f"ESTIMATOR_OIDC_{name}", "") for name in names)
        if not issuer:
            return None
        if find_spec("authlib") is None or find_spec("requests") is None:
            self.faults.append(
                Fault("ESTIMATOR_OIDC_ISSUER", say("packages are missing"), say("pip install estimator[openid]"))
            )
        for name, told in (("ISSUER", issuer), ("CALLBACK", callback)):
            if not is_safe(told):
                self.faults.append(
                    Fault(
                        f"ESTIMATOR_OIDC_{name}",
                        say("{told} cannot be used", told=repr(told)),
                        say("an address of https"),
                    )
                )
        if not client:
            self.faults.append(Fault("ESTIMATOR_OIDC_CLIENT_ID", say("is missing"), say("as the provider gave it")))
        return ProviderTerms(issuer, client, secret, callback, called or urlsplit(issuer).hostname or issuer)

    def whole(self, name: str, default: int, low: int, high: int) -> int:
        told = self.environment.get(name) or str(default)
        if told.isascii() and told.isdigit() and low <= int(told) <= high:
            return int(told)
        self.faults.append(
            Fault(
                name,
                say("{told} cannot be used", told=repr(told)),
                say("a whole number from {low} to {high}", low=low, high=high),
            )
        )
        return default

    def word(self, name: str, default: str, words: tuple[str, ...]) -> str:
        told = (self.environment.get(name) or default).lower()
        if told in words:
            return told
        self.faults.append(Fault(name, say("{told} cannot be used", told=repr(told)), ", ".join(words)))
        return default
