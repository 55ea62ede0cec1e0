"""Results turned into rows, and rows into text that people read."""
