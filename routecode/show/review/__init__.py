"""The page on which a rewiring is reviewed: what is said of it, and the pictures that show it, tied to each other. Decides nothing."""
