"""Pictures drawn on the server: pure functions from small values to SVG, each with its words."""
