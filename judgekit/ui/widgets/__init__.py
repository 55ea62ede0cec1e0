"""Widgets of fixed size that are updated in place and never take the focus."""
