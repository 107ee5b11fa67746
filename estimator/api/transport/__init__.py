"""Takes: connections as an ASGI server hands them on.

Gives: whole requests to the app on worker threads, its answers back; bodies are read before a thread is taken.
May not: know of a route, a key or a job.
"""

from estimator.api.transport.bodies import BodyLimits as BodyLimits
from estimator.api.transport.bridge import Bridge as Bridge
from estimator.api.transport.bridge import nothing_to_end as nothing_to_end
