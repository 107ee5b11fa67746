"""What fails under load, as findings: attachments and rails, clamps, rigid splices, bending about the weak axis.

Takes checked lines and what the pricebook says of clamps and splices; gives findings for each array, zone and cause.
May not: move an attachment.
"""
