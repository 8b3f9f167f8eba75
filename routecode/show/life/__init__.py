"""The life of a studio on one page: every revision drawn in one layout, so that whatever stayed stands where it stood."""
