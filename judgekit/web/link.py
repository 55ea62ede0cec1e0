"""The link to a server: its address in the building, and the same as a QR code."""

from __future__ import annotations

import ipaddress
import secrets
import socket
from io import StringIO
from urllib.parse import urlsplit

import segno

LOOPBACK = "127.0.0.1"
# An address of the documentation range: nothing is sent, only the way there is asked.
_SOMEWHERE = ("192.0.2.1", 9)


def new_token() -> str:
    """The secret of the link: whoever has it may see the list of desks."""
    return secrets.token_urlsafe(18)


def link(address: str, port: int, token: str) -> str:
    """The link with its token in the part that browsers send to no server.

    So it stands in no log; the page shows it once and then has a cookie.
    """
    return f"{origin(address, port)}/#{token}"


def origin(address: str, port: int) -> str:
    """How browsers name what is served at an address."""
    host = f"[{address}]" if ":" in address else address
    return f"http://{host}:{port}"


def is_this_computer(origin_: str) -> bool:
    """Whether an origin leads no other device here: it is each computer's own name."""
    host = urlsplit(origin_).hostname or ""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost" or host.endswith(".localhost")


def own_address() -> str:
    """The machine's own address in its network; empty where it is in none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(_SOMEWHERE)
            found = str(asking.getsockname()[0])
        except OSError:
            return ""
    return "" if ipaddress.ip_address(found).is_loopback else found


def address_problem(address: str) -> str:
    """Why phones could not reach that address, in words; empty if they might."""
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return f"{address} is no address; an address looks like 192.168.1.20"
    if known.is_unspecified:
        return f"{address} is every address: name the one that the phones reach"
    return ""


def qr(text: str) -> str:
    """A QR code for a dark or light terminal, two modules in each letter's height."""
    out = StringIO()
    segno.make(text, error="m").terminal(out, compact=True)
    return out.getvalue()
