"""The follow-up engine: facts in, plan out. Pure Python: no framework, no clock, no database."""
