"""The pure core: what counts, decided without a file, clock or screen."""
