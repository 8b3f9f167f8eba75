"""A text made safe for graphviz: one way for all attributes."""


def quoted(text: str) -> str:
    """A user's text as graphviz shows it unchanged: no escape, no entity, no end of the string."""
    safe = (
        text.replace("\\", "\\\\")
        .replace("&", "&amp;")
        .replace('"', "&quot;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
    )
    return f'"{safe}"'
