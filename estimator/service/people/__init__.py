"""Takes: names, passwords, invitations and tokens, over a service context.

Gives: accounts of people, the sessions of their browsers, and who asks as a ``Client`` like any other.
May not: know cookies or pages; decide what a role may do.
"""
