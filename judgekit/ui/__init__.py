"""Screens in the terminal. What they say is decided without Textual, then drawn."""
