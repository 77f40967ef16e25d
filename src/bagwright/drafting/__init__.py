"""From the form of a bag and its finished measurements to a sound pattern: pieces, seams, order of work."""
