"""What everyone stands on: places, mistakes, findings, natural order, canonical JSON. Imports nothing of the project."""
