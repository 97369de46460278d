"""The plan engine tested from the clinical papers alone, through course files only."""
