"""Faces of bays: one bay as one sees it, from the front or from behind, as a picture for pages and paper. Judges nothing."""
