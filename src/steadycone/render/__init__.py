"""A card in words: one view, then text, JSON, HTML, PDF and SVG from it."""
