"""What the wiring means: names resolved, ranges spread, states, nets, feeds, paths. See pages/meaning.md."""
