"""What many revisions say together: the list of changes, the story of one path, the way back, two branches side by side.

Not the meaning of one difference (`change`), nor how git hands revisions over (`files.git`).
"""
