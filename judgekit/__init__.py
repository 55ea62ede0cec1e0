"""judgekit keeps what a judge of functional fitness sees: every rep and its reason."""

__version__ = "0.1.0"
