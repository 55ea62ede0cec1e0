"""The one look of all pages: templates beside this file, every text escaped."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from judgekit.reports.layout import visible

if TYPE_CHECKING:
    from jinja2 import Template

_FOLDER = "templates"
# Spaces between a number and its unit, and within "14 of 196".
_WITHIN = re.compile(r"(?<=\d) (?=%|s\b|of \d)|(?<=\d of) (?=\d)")


@cache
def template(name: str) -> Template:
    """A template of a page; `seen` takes out of a text what is not to be shown.

    `kept` does so, too, and keeps each number on one line with what it is of.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("judgekit.reports", _FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["seen"] = visible
    environment.filters["kept"] = _kept
    return environment.get_template(name)


def _kept(text: str) -> str:
    return _WITHIN.sub("\u00a0", visible(text))


@cache
def source(name: str) -> str:
    """A file that lies with the templates, as it is."""
    return (files("judgekit.reports") / _FOLDER / name).read_text(encoding="utf-8")
