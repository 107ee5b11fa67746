"""A house's provider of OpenID Connect: where it sends browsers, and whom its answers name.

Source: OpenID Connect Core 1.0, sections 3.1.2, 3.1.3 (in particular 3.1.3.7) and 5.7; OpenID Connect Discovery 1.0,
section 4; OpenID Connect RP-Initiated Logout 1.0, sections 2 and 2.1; RFC 7636 (PKCE, S256 alone);
RFC 9207 (issuer of an answer). The packages for it are the extra ``openid``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from threading import Lock
from typing import Any, TypeAlias
from urllib.parse import urlencode, urlsplit

import orjson

from estimator.errors import EstimatorError
from estimator.sentences import say

ALGORITHMS = ("RS256", "RS384", "RS512", "PS256", "PS384", "PS512", "ES256", "ES384", "ES512")
"""Signatures by the provider's public keys; neither "none" nor one by a secret that both know."""
SCOPE = "openid email profile"
WELL_KNOWN = "/.well-known/openid-configuration"
SECONDS, LEEWAY_SECONDS, MOST_BYTES = 10, 60, 500_000
HOME = frozenset({"localhost", "127.0.0.1", "::1"})
Document: TypeAlias = Any


class ProviderFailed(EstimatorError):
    """The provider cannot be reached, or does not keep to the standard; nobody is signed in."""


class ProviderRefused(EstimatorError):
    """The provider's answer is not one to what this browser asked, or does not prove who came."""


@dataclass(frozen=True, slots=True)
class ProviderTerms:
    """What the house agreed on with its provider. ``callback``: the address that answers come to, as registered."""

    issuer: str
    client_id: str
    client_secret: str
    callback: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Chances:
    """What a browser is sent off with and comes back by: random values of one visit to the provider."""

    state: str
    nonce: str
    verifier: str


@dataclass(frozen=True, slots=True)
class Proven:
    """Whom the provider names: by ``subject`` always, by ``email`` if it has verified that."""

    issuer: str
    subject: str
    email: str | None


@dataclass(slots=True)
class Provider:
    """A provider; what it publishes is read when it is first needed, its keys again when it signs with a new one."""

    terms: ProviderTerms
    _metadata: Document = None
    _keys: Document = None
    _lock: Lock = field(default_factory=Lock)

    def address(self, chances: Chances) -> str:
        """Where the browser is sent. Errors: ProviderFailed."""
        with self._client() as client:
            url, _ = client.create_authorization_url(
                self._endpoint("authorization_endpoint"),
                state=chances.state,
                nonce=chances.nonce,
                code_verifier=chances.verifier,
            )
        return str(url)

    def ending(self) -> str:
        """Where somebody ends their session at the provider; nothing where it offers no such place.

        The provider asks whoever comes whether they mean it, since no ID token is kept here to show it; where it sends
        them afterwards would have to be registered there, and is left to it. Errors: ProviderFailed.
        """
        told = self._published().get("end_session_endpoint")
        if not isinstance(told, str) or not is_safe(told):
            return ""
        return f"{told}{'&' if urlsplit(told).query else '?'}{urlencode({'client_id': self.terms.client_id})}"

    def proven(self, answer: Mapping[str, str], chances: Chances, now: datetime) -> Proven:
        """Whom an answer names. Errors: ProviderRefused, ProviderFailed."""
        if answer.get("iss", self.terms.issuer) != self.terms.issuer:
            raise ProviderRefused(say("the answer is another provider's"))
        if answer.get("error"):
            raise ProviderRefused(say("the provider said {answer}", answer=repr(answer["error"][:80])))
        if not answer.get("code"):
            raise ProviderRefused(say("the answer has no code"))
        token = self._token(answer["code"][:4_000], chances.verifier)
        return self._checked(self._claims(token), chances.nonce, now)

    def _token(self, code: str, verifier: str) -> str:
        from authlib.integrations.base_client.errors import OAuthError  # noqa: PLC0415  (an extra)
        from requests import RequestException  # noqa: PLC0415

        try:
            with self._client() as client:
                found = client.fetch_token(
                    self._endpoint("token_endpoint"), code=code, code_verifier=verifier, timeout=SECONDS
                )
        except OAuthError as fault:
            raise ProviderRefused(say("the provider takes the code for none: {said}", said=str(fault)[:200])) from fault
        except (RequestException, ValueError) as fault:
            raise ProviderFailed(
                say("the provider cannot be asked for a token: {name}", name=type(fault).__name__)
            ) from fault
        token = found.get("id_token") if isinstance(found, Mapping) else None
        if not isinstance(token, str):
            raise ProviderFailed(say("the provider gave no ID token"))
        return token

    def _claims(self, token: str) -> Document:
        """What a token claims, once its signature has been held against the provider's keys."""
        from joserfc import jwt  # noqa: PLC0415
        from joserfc.errors import InvalidKeyIdError, JoseError  # noqa: PLC0415

        for newly in (False, True):
            try:
                return jwt.decode(token, self._key_set(newly=newly), algorithms=list(ALGORITHMS)).claims
            except InvalidKeyIdError as fault:
                if newly:
                    raise ProviderRefused(
                        say("the ID token is signed with a key that is not the provider's")
                    ) from fault
            except (JoseError, ValueError) as fault:
                raise ProviderRefused(
                    say("the ID token cannot be believed: {name}", name=type(fault).__name__)
                ) from fault
        raise AssertionError

    def _checked(self, claims: Document, nonce: str, now: datetime) -> Proven:
        from joserfc.errors import JoseError  # noqa: PLC0415
        from joserfc.jwt import JWTClaimsRegistry  # noqa: PLC0415

        registry = JWTClaimsRegistry(
            now=int(now.timestamp()),
            leeway=LEEWAY_SECONDS,
            iss={"essential": True, "value": self.terms.issuer},
            aud={"essential": True, "value": self.terms.client_id},
            sub={"essential": True},
            exp={"essential": True},
            iat={"essential": True},
            nonce={"essential": True, "value": nonce},
        )
        try:
            registry.validate(claims)
        except (JoseError, ValueError, TypeError) as fault:
            raise ProviderRefused(say("the ID token cannot be believed: {said}", said=str(fault)[:200])) from fault
        audience, party = claims["aud"], claims.get("azp")
        if (isinstance(audience, list) and len(audience) > 1 and party is None) or party not in {
            None,
            self.terms.client_id,
        }:
            raise ProviderRefused(say("the ID token was made for somebody else"))
        email = claims.get("email") if claims.get("email_verified") is True else None
        return Proven(self.terms.issuer, str(claims["sub"])[:255], email if isinstance(email, str) else None)

    def _endpoint(self, name: str) -> str:
        told = self._published().get(name)
        if not isinstance(told, str) or not is_safe(told):
            raise ProviderFailed(say("the provider publishes no {name} over https", name=name))
        return told

    def _published(self) -> Document:
        with self._lock:
            if self._metadata is None:
                found = _json(self.terms.issuer.rstrip("/") + WELL_KNOWN)
                if found.get("issuer") != self.terms.issuer:
                    raise ProviderFailed(
                        say("the provider calls itself {said}", said=repr(str(found.get("issuer"))[:200]))
                    )
                methods = found.get("code_challenge_methods_supported")
                if methods is not None and "S256" not in methods:
                    raise ProviderFailed(say("the provider does not know PKCE with S256"))
                self._metadata = found
            return self._metadata

    def _key_set(self, *, newly: bool) -> Document:
        from joserfc.errors import JoseError  # noqa: PLC0415
        from joserfc.jwk import KeySet  # noqa: PLC0415

        address = self._endpoint("jwks_uri")
        with self._lock:
            if self._keys is None or newly:
                try:
                    self._keys = KeySet.import_key_set(_json(address))
                except (JoseError, ValueError, KeyError, TypeError) as fault:
                    raise ProviderFailed(say("the provider's keys cannot be read")) from fault
            return self._keys

    def _client(self) -> Document:
        from authlib.integrations.requests_client import OAuth2Session  # noqa: PLC0415

        client: Document = OAuth2Session(  # type: ignore[no-untyped-call]
            self.terms.client_id,
            self.terms.client_secret or None,
            token_endpoint_auth_method=self._authentication(),
            scope=SCOPE,
            redirect_uri=self.terms.callback,
            code_challenge_method="S256",
        )
        client.max_redirects = 0
        return client

    def _authentication(self) -> str:
        """How this service shows who it is. Source: OpenID Connect Core, section 9; Discovery, section 3."""
        if not self.terms.client_secret:
            return "none"
        offered = self._published().get("token_endpoint_auth_methods_supported") or ["client_secret_basic"]
        return "client_secret_basic" if "client_secret_basic" in offered else "client_secret_post"


@dataclass(frozen=True, slots=True)
class SignInWays:
    """How people sign in: with a password, through a provider, or either."""

    passwords: bool = True
    provider: Provider | None = None


BY_PASSWORD = SignInWays()
"""Where a house has agreed on nothing else."""


def is_safe(address: str) -> bool:
    """Whether an address is one of https, or of this machine itself."""
    parts = urlsplit(address)
    return bool(parts.hostname) and (parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in HOME))


def _json(address: str) -> Document:
    import requests  # noqa: PLC0415

    try:
        with requests.get(address, timeout=SECONDS, allow_redirects=False, stream=True) as answer:
            if answer.status_code != 200:
                raise ProviderFailed(
                    say(
                        "the provider answers {status_code} at {address}",
                        status_code=answer.status_code,
                        address=address,
                    )
                )
            content = answer.raw.read(MOST_BYTES + 1, decode_content=True)
    except requests.RequestException as fault:
        raise ProviderFailed(say("the provider cannot be reached: {name}", name=type(fault).__name__)) from fault
    found = _read(content)
    if not isinstance(found, dict):
        raise ProviderFailed(say("the provider has nothing to read at {address}", address=address))
    return found


def _read(content: bytes) -> Document:
    try:
        return orjson.loads(content) if len(content) <= MOST_BYTES else None
    except orjson.JSONDecodeError:
        return None
