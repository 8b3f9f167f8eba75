"""How it is asked: one thin module a command, loaded when called. Decides nothing about wiring."""
