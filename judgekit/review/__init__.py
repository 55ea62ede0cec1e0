"""What the log says afterwards, computed from plans and lanes alone."""
