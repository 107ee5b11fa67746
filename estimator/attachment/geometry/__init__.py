"""Where attachments stand: runs, ribs, clamping zones, spacing within limits, seats without rail, expansion.

Takes a layout, a mounting choice and limits; gives a SettingOut. Knows neither loads nor strengths.
"""
