"""The link: where its secret stands, which address it names, and its QR code."""

from __future__ import annotations

import ipaddress
from urllib.parse import urlsplit

import pytest

from judgekit.web import link


def test_the_token_stands_where_no_browser_sends_it() -> None:
    parts = urlsplit(link.link("192.0.2.7", 8720, "secret"))
    assert (parts.netloc, parts.path, parts.query) == ("192.0.2.7:8720", "/", "")
    assert parts.fragment == "secret"


def test_an_address_with_colons_stands_in_brackets() -> None:
    assert link.origin("fe80::1", 80) == "http://[fe80::1]:80"


@pytest.mark.parametrize(
    ("address", "says"),
    [
        ("0.0.0.0", "every address"),  # noqa: S104 - what must be refused
        ("::", "every address"),
        ("localhost", "is no address"),
        ("", "is no address"),
    ],
)
def test_an_address_that_no_phone_reaches_is_refused(address: str, says: str) -> None:
    assert says in link.address_problem(address)


def test_an_own_address_is_one_that_others_may_reach() -> None:
    found = link.own_address()
    assert not found or not ipaddress.ip_address(found).is_loopback
    assert not link.address_problem("192.0.2.7")


def test_tokens_are_long_and_never_the_same() -> None:
    made = {link.new_token() for _ in range(50)}
    assert len(made) == 50
    assert all(len(token) >= 24 for token in made)


def test_the_qr_code_is_drawn_whole() -> None:
    lines = link.qr("http://192.0.2.7:8720/#secret").splitlines()
    assert len(lines) > 10
    assert "▀" in "".join(lines)
