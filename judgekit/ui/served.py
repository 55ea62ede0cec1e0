"""A screen in a browser: what of its process differs from one in a terminal.

The server that began it holds the other end of its pipes. Nothing draws or reads once
that server, or the page, has gone; so the desk is closed then, as by a terminal's end.
"""

from __future__ import annotations

import os
import threading

WEB_DRIVER = "textual.drivers.web_driver:WebDriver"
# Names the server's process in the environment of its screens.
SERVER = "JUDGEKIT_SERVER"

# The page or the server has gone; set by whoever reads the pipe.
CUT = threading.Event()


def is_served() -> bool:
    """Whether this process draws for a browser."""
    return os.environ.get("TEXTUAL_DRIVER") == WEB_DRIVER


def is_cut() -> bool:
    """Whether nobody is left to draw for: a server that was killed says nothing."""
    server = os.environ.get(SERVER, "")
    orphan = server.isdecimal() and os.getppid() != int(server)
    return CUT.is_set() or orphan
