"""Problems of people who sign in: passwords, invitations, the provider, forms of a session."""

from __future__ import annotations

from estimator import errors
from estimator.contract.problems import refusals
from estimator.contract.problems.kind import ProblemKind
from estimator.service import identity_provider
from estimator.service.people import accounts, openid, passwords, sessions

KINDS: dict[type[errors.EstimatorError], ProblemKind] = {
    passwords.PasswordRefused: ProblemKind(
        422,
        "invalid-password",
        "This password cannot be used",
        "A password is too short, too long, or easily guessed.",
        "Choose a longer one; several words that you remember work well.",
    ),
    accounts.WrongPassword: ProblemKind(
        403, "wrong-password", "This is not the current password", "It is asked for before a change.", "Type it."
    ),
    sessions.PasswordsOff: ProblemKind(
        403, "passwords-off", "Nobody signs in with a password here", "The house has a provider.", "Sign in there."
    ),
    openid.NotInvited: ProblemKind(
        403,
        "not-invited",
        "Nobody was invited under this name",
        "The provider knows who came, but there is no account here with the address that it has verified.",
        "Ask an administrator for an account (`estimator people invite`), with the address that the provider knows.",
    ),
    identity_provider.ProviderRefused: ProblemKind(
        403,
        "provider-refused",
        "Signing in through the provider did not succeed",
        "The answer does not belong to what this browser asked, was used before, or does not prove who came.",
        "Begin again at the sign-in page.",
    ),
    identity_provider.ProviderFailed: ProblemKind(
        502,
        "provider-failed",
        "The provider that people sign in through cannot be used",
        "It cannot be reached, or what it answers does not keep to OpenID Connect.",
        "Try again later; whoever runs the service finds the reason in the answer and in the provider's settings.",
    ),
    sessions.SignInRefused: ProblemKind(
        403,
        "sign-in-refused",
        "No such name with such a password",
        "Nobody signs in by that name with that password.",
        "Check both; an administrator can send a new invitation.",
    ),
    sessions.SignInTooOften: ProblemKind(
        429,
        "sign-in-too-often",
        "Too many attempts to sign in",
        "Several attempts under this name failed; the next has to wait.",
        "Try again after the seconds that Retry-After names.",
    ),
    refusals.NoForm: ProblemKind(
        403,
        "stale-form",
        "The form was not sent from this page",
        "The form has no token of the session it was sent with: the session ended, or another site sent it.",
        "Go back, reload the page and send the form again.",
    ),
    refusals.NotSecure: ProblemKind(
        403,
        "not-secure",
        "Signing in needs an encrypted connection",
        "Over plain HTTP everybody on the way could read the password and the session.",
        "Reach the service over https, or on the machine itself as localhost; behind a proxy that carries TLS set "
        "ESTIMATOR_BEHIND_TLS to yes.",
    ),
}
