"""Rail runs: what the rules of joining allow, and where every piece comes to lie.

Takes runs with their attachments, and the rail's rules. Gives runs sorted into whole pieces, members to be spliced and
runs that cannot be made; a composition is the set of places of a member's joints. May not choose between compositions.
"""
