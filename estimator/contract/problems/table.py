"""The one table that turns refusals into problems: status, name, title, and what to do about it.

Source: RFC 9457 (problem details), RFC 9110 and RFC 6585 (status codes).
"""

from __future__ import annotations

from estimator import errors
from estimator.contract.faults import NotJson, RequestRefused
from estimator.contract.problems import refusals, signing_in
from estimator.contract.problems.kind import ProblemKind
from estimator.contract.requests.queries import QueryRefused, UnknownPart
from estimator.service import idempotency
from estimator.service.access import approvals
from estimator.service.quoting import quotes
from estimator.service.quoting.papers import documents
from estimator.service.quoting.stored import costs

INVALID_JOB = ProblemKind(
    422,
    "invalid-job",
    "The job cannot be read or contradicts itself",
    "The posted job has faults. All of them are listed (at most fifty), each with a JSON Pointer to its place.",
    "Correct every place listed and send the job again. Nothing was stored.",
)
INVALID_REQUEST = ProblemKind(
    422,
    "invalid-request",
    "The request cannot be taken as it is",
    "A field is unknown, missing, of the wrong kind or out of range. Every fault is listed with its place.",
    "Correct every place listed and send the request again. Nothing was stored.",
)
CONFLICT = ProblemKind(
    409,
    "conflict",
    "The current state does not allow this",
    "The request does not fit the current state: a quote that is not issued cannot be accepted, a pricebook "
    "edition that a quote uses cannot change.",
    "Read it again and decide by its current state.",
)
SERVER_FAULT = ProblemKind(
    500,
    "server-fault",
    "The service failed",
    "Something went wrong inside the service; it is in its log under the request id.",
    "Try again; if it happens again, tell whoever runs the service the request id.",
)

TOO_LARGE = ProblemKind(
    413,
    "too-large",
    "The body is too large",
    "The body is larger than this address takes.",
    "Send less: split the job, or leave out what is not needed.",
)

BY_REFUSAL: dict[type[errors.EstimatorError], ProblemKind] = {
    errors.EstimatorError: SERVER_FAULT,
    errors.Refused: INVALID_REQUEST,
    RequestRefused: INVALID_REQUEST,
    QueryRefused: INVALID_REQUEST,
    UnknownPart: ProblemKind(
        400,
        "unknown-part",
        "There is no such part of the answer",
        "The parameter include names a part that the answer does not have.",
        "Ask for those that the problem lists as allowed, with commas between.",
    ),
    errors.JobRefused: INVALID_JOB,
    errors.PricebookRefused: ProblemKind(
        422,
        "invalid-pricebook",
        "The pricebook's files have faults",
        "The files of the edition contradict themselves or lack something. Each fault names file, row and column.",
        "Correct the files and upload the edition again. Nothing was stored.",
    ),
    errors.ChoiceRefused: ProblemKind(
        422,
        "invalid-choice",
        "The pricebook does not have what was chosen",
        "A bracket, rail, part, discount tier, freight zone or edition is named that is not there.",
        "Choose among what the problem lists as allowed.",
    ),
    errors.LoadsRefused: ProblemKind(
        422,
        "no-loads",
        "No loads follow from what the site gives",
        "A value that the standard needs is missing, contradicts another, or lies outside what the standard covers.",
        "Mend every place listed, or give an engineer's pressures with the standard given.",
    ),
    errors.MountingRefused: ProblemKind(
        422,
        "no-mounting",
        "No mounting fits roof, modules and choices",
        "No bracket, rail or clamp of the pricebook fits this roof and these modules in the way that was asked for.",
        "The problem lists why each falls away; change the choices, the roof's facts, or the pricebook.",
    ),
    errors.RateRefused: ProblemKind(
        422,
        "invalid-rate",
        "A rate is out of its range",
        "A margin, discount or contingency is not a share that a price can have.",
        "Give shares of one: 0.05 is five per cent.",
    ),
    errors.OverrideRefused: ProblemKind(
        422,
        "invalid-override",
        "An override names no failed check",
        "No failed check has that code and place, or it is one that nobody can answer for.",
        "Read the quote's checks, and name code and place as they stand there.",
    ),
    errors.NothingToWrite: ProblemKind(
        422,
        "nothing-to-write",
        "The paper would be empty",
        "There is nothing to order, to pack or to price that the paper could tell of.",
        "Look at the order list or quote itself.",
    ),
    NotJson: ProblemKind(
        400,
        "not-json",
        "The body is no JSON document",
        "The body cannot be parsed: no JSON, not-a-number, half characters, or nested too deeply.",
        "Send one JSON document in UTF-8.",
    ),
    errors.NotFound: ProblemKind(
        404,
        "not-found",
        "Not found",
        "What was named does not exist, or not for the organisation of this key.",
        "Check the identifier; lists show what there is.",
    ),
    errors.Conflict: CONFLICT,
    errors.NotYet: ProblemKind(
        409,
        "not-yet",
        "The current state does not allow this yet",
        "Something else is under way with it, and soon over.",
        "Send the same request again after the seconds that Retry-After names.",
    ),
    errors.StaleVersion: ProblemKind(
        412,
        "stale-version",
        "It was changed in the meantime",
        "The version in If-Match is not the current one.",
        "Read it again, look at what changed, and send the change with the new ETag.",
    ),
    errors.StaleWorkbook: ProblemKind(
        409,
        "stale-workbook",
        "The quote was revised since this workbook was downloaded",
        "The workbook is of a revision that has been revised meanwhile. Every change in it, and every change made "
        "meanwhile, is named with its cell.",
        "Download the workbook of the newest revision and make the changes there, or send this one with ?merge=true: "
        "changes of other cells than those changed meanwhile are then taken.",
    ),
    errors.AlreadyUsed: ProblemKind(
        409,
        "already-used",
        "This can be used only once",
        "A job's reference, a pricebook's edition or a quote's order was used before.",
        "Look for what was made the first time; take another reference or edition for something new.",
    ),
    quotes.OptionUnknown: ProblemKind(
        422,
        "option-unknown",
        "The acceptance names no option of the quote",
        "The quote was made with options, and an acceptance says which one was taken.",
        "Send the letter of one of the options listed.",
    ),
    documents.OptionAbsent: ProblemKind(
        400,
        "option-absent",
        "The quote has no such option",
        "A paper was asked for an option that the quote does not have, or that is not of one option.",
        "Ask for one of the options listed, or leave the parameter out.",
    ),
    quotes.ChecksStand: ProblemKind(
        409,
        "checks-stand",
        "Checks keep the quote from being issued",
        "Checks of severity error failed. They are listed with code, place, what was found and what is allowed.",
        "Change the job or the choices and revise, or override each check by code and place, with a reason that the "
        "quote then prints.",
    ),
    **signing_in.KINDS,
    approvals.NeedsApproval: ProblemKind(
        409,
        "needs-approval",
        "Another person must approve this quote",
        "Discount or margin lie beyond what the role of whoever prepared the quote may offer on its own.",
        "Have another person approve it (POST /v1/quotes/{id}/approve), or revise it within the limits.",
    ),
    idempotency.KeyReused: ProblemKind(
        422,
        "key-used-before",
        "This Idempotency-Key came with another request",
        "The same key came before with another address or body.",
        "Take a new key for a new request.",
    ),
    idempotency.StillRunning: ProblemKind(
        409,
        "still-running",
        "The first request with this key is still running",
        "A request with this Idempotency-Key is being worked on and not yet answered.",
        "Wait a moment and send the same request again.",
    ),
    idempotency.ClaimLost: ProblemKind(
        409,
        "claim-lost",
        "Another request with this key took this one's place",
        "The request did not renew its claim in time, so the same request was accepted when it came again. "
        "Nothing was stored here.",
        "Send the same request again: it gives the answer of the one that took the place.",
    ),
    errors.NotAllowed: ProblemKind(
        403,
        "not-allowed",
        "This key may not do this",
        "The role of the key does not include what was asked.",
        "Ask whoever runs the service for a key of another role.",
    ),
    refusals.NoKey: ProblemKind(
        401,
        "no-key",
        "A key is needed",
        "No key was sent, or the key is unknown, has expired or was revoked.",
        "Send a valid key in the header: Authorization: Bearer est_abc123_..., as estimator keys create printed it.",
    ),
    refusals.BadHeader: ProblemKind(
        400,
        "bad-header",
        "A header cannot be read",
        "A header of the request does not have the form it needs.",
        "Send the header as the description says.",
    ),
    refusals.NoVersion: ProblemKind(
        428,
        "version-required",
        "Say which version is meant",
        "A change needs the header If-Match with the ETag that was read, so that nobody's change is lost.",
        'Read it first, then send the ETag of the answer in If-Match, quotation marks included: If-Match: "v1".',
    ),
    refusals.WrongMedia: ProblemKind(
        415,
        "unsupported-media",
        "Unsupported media type",
        "The Content-Type of the body is not one that this address takes.",
        "Send the body as the problem's detail says.",
    ),
    refusals.NotAcceptable: ProblemKind(
        406,
        "not-acceptable",
        "Not available in that form",
        "None of the media types in Accept can be given here.",
        "Ask for one of those that the problem's detail names.",
    ),
    refusals.TooMany: ProblemKind(
        429,
        "too-many-requests",
        "Too many requests",
        "The key, or the address without a key, has used up its share for now.",
        "Wait for the seconds that Retry-After names.",
    ),
    refusals.BodyTooLarge: TOO_LARGE,
    refusals.BodyTooSlow: ProblemKind(
        408,
        "body-too-slow",
        "The body stopped arriving",
        "Nothing more of the body came for longer than the service waits. Nothing was stored.",
        "Send the whole request again.",
    ),
    refusals.Busy: ProblemKind(
        503,
        "busy",
        "The service is busy",
        "Other requests hold locks that this one needs for longer than it waits. Nothing was stored.",
        "Send the same request again after the seconds that Retry-After names.",
    ),
    refusals.PoolFull: ProblemKind(
        503,
        "calculations-wait",
        "Too many calculations wait",
        "Every process that calculates is taken, and others wait already. Nothing was stored.",
        "Send the same request again after the seconds that Retry-After names, or with Prefer: respond-async.",
    ),
    costs.CostsPending: ProblemKind(
        503,
        "costs-pending",
        "Costs of older quotes are still being gathered",
        "After a change of version the costs of parts are written down once for every open quote.",
        "Send the same request again after the seconds that Retry-After names.",
    ),
    refusals.TooMuchWork: ProblemKind(
        422,
        "too-much-work",
        "The job is more than one calculation may take",
        "Counting and planning the job took more memory or time than one calculation may. Nothing was stored.",
        "Give mountings instead of leaving them open, part the job, or ask with Prefer: respond-async.",
    ),
    refusals.NotReady: ProblemKind(
        503,
        "not-ready",
        "The service is not ready",
        "The database cannot be reached, or its tables are not in their newest form.",
        "Try again later.",
    ),
}

BY_STATUS: dict[int, ProblemKind] = {
    400: ProblemKind(
        400, "bad-request", "The request cannot be understood", "The request is not valid HTTP.", "Correct the request."
    ),
    404: BY_REFUSAL[errors.NotFound],
    405: ProblemKind(
        405,
        "method-not-allowed",
        "This address does not take that method",
        "The address exists, but does not take this method.",
        "Use one of the methods in the header Allow.",
    ),
    413: TOO_LARGE,
    414: ProblemKind(
        414, "address-too-long", "The address is too long", "The address is longer than allowed.", "Shorten the query."
    ),
    500: SERVER_FAULT,
}


def kinds() -> dict[str, ProblemKind]:
    """Every kind by its name."""
    return {kind.name: kind for kind in (*BY_REFUSAL.values(), *BY_STATUS.values())}


def kind_of(refusal: errors.EstimatorError) -> ProblemKind:
    """The row of a refusal's class, or of the nearest class above it."""
    return next(BY_REFUSAL[each] for each in type(refusal).__mro__ if each in BY_REFUSAL)
