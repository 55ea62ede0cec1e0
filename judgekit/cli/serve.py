"""`judgekit serve`: the same screens on phones, tablets and the television."""

from __future__ import annotations

import sys
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, UNUSABLE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.web.serving import Opened

_PORT = 8720
_LACKS = """\
What shows the screens in a browser is not installed ({missing}). With it:

  pip install 'judgekit[web]'
"""
_NOT_THERE = "judgekit serve works on Linux and macOS; phones and tablets may be any."
_OTHERS = """\
Phones and tablets must be in this computer's network:

  {link}
"""
_ALONE = "Only this computer is served; --network serves other devices, too.\n"


@click.command("serve")
@click.argument("event")
@click.option("--heat", "heats", multiple=True, help="Only its lanes; again for more.")
@click.option("--network", is_flag=True, help="Serve other devices, too.")
@click.option("--address", default="", help="The address of this computer they reach.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=_PORT,
    show_default=True,
    help="0 for any that is free.",
)
@click.option(
    "--origin",
    "origins",
    multiple=True,
    metavar="URL",
    help="Another name of the pages, as behind a proxy; again for more.",
)
@click.option(
    "--sessions",
    type=click.IntRange(1, 200),
    default=24,
    show_default=True,
    help="At most so many open screens.",
)
@click.pass_context
def command(  # noqa: PLR0913, PLR0917 - click gives each option as an argument
    ctx: click.Context,
    event: str,
    heats: tuple[str, ...],
    network: bool,
    address: str,
    port: int,
    origins: tuple[str, ...],
    sessions: int,
) -> None:
    """Show lanes, board, standings and the head judge's view in browsers.

    A finger works them. Without --network only this computer's own browsers are served.
    The link holds a token, and a desk that writes asks for its PIN; both are new at
    each start. A browser that loses its connection comes back to the same lane and
    count by itself.

    Exit codes: 0 ended by Ctrl+C or SIGTERM, every desk closed; 2 it cannot be served.
    """
    if sys.platform == "win32":
        click.echo(_NOT_THERE)
        ctx.exit(UNUSABLE)
    from judgekit.cli.asked import check_heat
    from judgekit.cli.eventfiles import load

    try:
        from judgekit.web.serving import Wanted, serve
    except ImportError as error:
        click.echo(_LACKS.format(missing=error.name), nl=False)
        ctx.exit(UNUSABLE)
    folder = load(event)
    for heat in heats:
        check_heat(heat, folder.heat_names())
    wanted = Wanted(
        network=network,
        address=address,
        port=port,
        origins=origins,
        sessions=sessions,
    )
    serve(folder, heats, wanted, partial(_tell, folder.event.name), _tell_more)
    ctx.exit(DONE)


def _tell(name: str, opened: Opened) -> None:
    """What the coach reads from the screen: the link, and each desk's PIN."""
    from judgekit.web.link import qr

    lines = [f"{name} is served. On this computer:", "", f"  {opened.link}", ""]
    lines.append(_OTHERS.format(link=opened.others) if opened.others else _ALONE)
    if opened.others and sys.stdout.isatty():
        lines.append(qr(opened.others))
    lines.append("PINs, in every heat:")
    wide = max(map(len, opened.pins), default=0)
    lines += [f"  {desk:<{wide}} {pin}" for desk, pin in opened.pins.items()]
    lines += ["", "Ctrl+C ends it: every desk is closed, and can be opened again."]
    click.echo("\n".join(lines))
    sys.stdout.flush()


def _tell_more(pins: Mapping[str, str]) -> None:
    """The PINs of desks for whoever was added to the lists since."""
    lines = [f"  {desk} {pin}" for desk, pin in pins.items()]
    # Whoever asked for the page must have it, even if nobody reads here any more.
    with suppress(OSError):
        click.echo("\n".join(["Added to the lists:", *lines]))
        sys.stdout.flush()
