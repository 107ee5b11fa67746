"""A small provider of OpenID Connect in this process, for tests of signing in through one: it keeps to the standard,
but for what a test tells it to get wrong."""

import base64
import hashlib
import json
import secrets
import threading
import time
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, urlsplit

from joserfc import jwt
from joserfc.jwk import RSAKey

CLIENT, SECRET = "estimator", "a common secret of both"
KEY = RSAKey.generate_key(2048, {"kid": "first", "use": "sig", "alg": "RS256"})


class SmallProvider:
    """``person``: who is at the browser; ``wrong``: claims that differ from the truth; ``signed``: how."""

    def __init__(self):
        self.key = KEY
        self.person = {"sub": "s-1", "email": "ann@example.com", "email_verified": True}
        self.wrong, self.metadata, self.header = {}, {}, {"alg": "RS256", "kid": "first"}
        self.codes, self.asked, self.token_status, self.signing_key = {}, [], 200, None

    def go(self, address):
        """What a browser gets at the authorization endpoint for somebody who agrees: what it comes back with."""
        asked = {name: values[0] for name, values in parse_qs(urlsplit(address).query).items()}
        assert asked["response_type"] == "code" and asked["client_id"] == CLIENT and "openid" in asked["scope"].split()
        assert asked["code_challenge_method"] == "S256"
        code = secrets.token_urlsafe(16)
        self.codes[code] = asked
        return {"code": code, "state": asked["state"], "iss": self.issuer}

    def published(self):
        return {
            "issuer": self.issuer, "authorization_endpoint": f"{self.issuer}/authorize",
            "token_endpoint": f"{self.issuer}/token", "jwks_uri": f"{self.issuer}/keys",
            "response_types_supported": ["code"], "subject_types_supported": ["public"],
            "id_token_signing_alg_values_supported": ["RS256"], "code_challenge_methods_supported": ["S256"],
            **self.metadata,
        }  # fmt: skip

    def token(self, form, authorization):
        """The answer of the token endpoint. Source: RFC 6749, sections 4.1.3 and 5.2; RFC 7636, section 4.6."""
        basic = "Basic " + base64.b64encode(f"{CLIENT}:{SECRET.replace(' ', '+')}".encode()).decode()
        plain = "Basic " + base64.b64encode(f"{CLIENT}:{SECRET}".encode()).decode()
        if authorization not in {basic, plain}:
            return 401, {"error": "invalid_client"}
        asked = self.codes.pop(form.get("code"), None)
        digest = hashlib.sha256(form.get("code_verifier", "").encode()).digest()
        challenge = base64.urlsafe_b64encode(digest).rstrip(b"=").decode()
        same = asked and asked["code_challenge"] == challenge and asked["redirect_uri"] == form.get("redirect_uri")
        if not same or form.get("grant_type") != "authorization_code":
            return 400, {"error": "invalid_grant"}
        now = int(time.time())
        claims = {"iss": self.issuer, "aud": CLIENT, "iat": now, "exp": now + 300, "nonce": asked["nonce"]}
        claims = {name: value for name, value in {**claims, **self.person, **self.wrong}.items() if value is not None}
        return self.token_status, {"access_token": "x", "token_type": "Bearer", "id_token": self.signed(claims)}

    def signed(self, claims):
        if self.header["alg"] == "none":
            parts = (json.dumps({"alg": "none"}), json.dumps(claims))
            return ".".join(base64.urlsafe_b64encode(each.encode()).rstrip(b"=").decode() for each in parts) + "."
        return jwt.encode(self.header, claims, self.signing_key or self.key, algorithms=[self.header["alg"]])


@contextmanager
def a_provider():
    """A provider that answers until the test is over."""
    small = SmallProvider()

    class Answers(BaseHTTPRequestHandler):
        def do_GET(self):
            small.asked.append(self.path)
            if self.path == "/.well-known/openid-configuration":
                self.answer(200, small.published())
            elif self.path == "/keys":
                self.answer(200, {"keys": [small.key.as_dict(private=False)]})
            else:
                self.answer(404, {})

        def do_POST(self):
            small.asked.append(self.path)
            body = self.rfile.read(int(self.headers["Content-Length"])).decode()
            form = {name: values[0] for name, values in parse_qs(body).items()}
            self.answer(*small.token(form, self.headers.get("Authorization", "")))

        def answer(self, status, document):
            content = json.dumps(document).encode()
            self.send_response(status)
            self.send_header("Content-Type", "application/json")
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_):
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answers)
    small.issuer = f"http://127.0.0.1:{server.server_port}"
    small.stop = server.shutdown
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    try:
        yield small
    finally:
        server.shutdown()
        server.server_close()
