"""The screens, and what they show."""
