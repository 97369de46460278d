"""The clinic's papers: the printed sheet that a person takes home."""
