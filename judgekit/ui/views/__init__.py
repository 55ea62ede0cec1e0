"""View models: every text on a screen, made from a lane, without Textual."""
