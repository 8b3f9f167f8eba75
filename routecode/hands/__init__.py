"""What the hands need: jobsheets, test sheets, cable schedules, parts, label strips. Values only; how they are put on paper is `show`'s.

Not the wiring itself (`circuit`), nor what changed (`change`).
"""
