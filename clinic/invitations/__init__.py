"""Calendar invitations. The only home of the icalendar library."""
