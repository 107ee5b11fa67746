"""Lines under load: the zones they pass through, their loads about both axes, and every attachment and span checked.

Takes lines with the places of their attachments and what a roof may take; gives each line's reactions, moments and
deflections over their limits, and the way back from one of them to the pressure it came from. A line is a rail or a
module edge held without one. May not: move an attachment.
"""
