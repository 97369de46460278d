"""What people type, checked field by field; every form speaks of all its faults at once."""
