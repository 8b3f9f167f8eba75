"""How an answer is shown: terminal text, JSON, drawings. Decides nothing."""
