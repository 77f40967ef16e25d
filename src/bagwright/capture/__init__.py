"""From a phone picture of scraps between printed marker cards to their outlines at true scale."""
