"""The wiring language: one declaration a field, decoding into the studio as written. Knows not what wiring means."""
