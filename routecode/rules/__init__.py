"""What is wrong with a studio: one module a rule. A rule takes a circuit's state and gives findings; it never stops anything."""
