"""Paper: PDF in the same bytes for the same input, vectors only, every glyph checked. The doors are `sheets` and `pen`."""
