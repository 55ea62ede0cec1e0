"""Books: where entries are kept for good."""
