"""The pages: who may, whose, do it, answer. The rules are elsewhere."""
