"""A setting-out under its loads: spans by zone, runs placed by them, every attachment checked with its real reaction.

Takes a layout, a mounting choice and pressures; gives the setting-out, its checks and utilisations. Theory: each line
is a beam over its attachments (``beam``), its reactions are compared with strengths (``capacity``), and limits are
shortened where a reaction asks for it until everything holds.
"""
