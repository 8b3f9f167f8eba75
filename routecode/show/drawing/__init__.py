"""Drawings of a studio: what is drawn (picture), where it stands (layout), how it looks (paint), and the files made of it. Decides nothing."""
