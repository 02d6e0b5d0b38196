"""``undersong desk``: the page in the player's own browser."""

from __future__ import annotations

import click

from undersong.cli.endings import Refused, naming, say
from undersong.cli.kinds import whole


@click.command(
    "desk",
    epilog="The page is served by your own machine to your own browser and asks nothing of any "
    "other. Your work is kept in your own data folder. Ctrl-C ends the desk.",
)
@click.argument("tune", required=False)
@click.option(
    "--port",
    metavar="N",
    callback=whole(1, 65_535, ""),
    help="The port to serve at; else the first free one from 8474 on.",
)
@click.option("--no-browser", is_flag=True, help="Do not open the browser; the address is printed.")
@click.option(
    "--interface",
    metavar="ADDRESS",
    help="Serve to others too, at that address of this machine: whoever knows the printed address "
    "with its key can use the desk, and nothing that is sent is encrypted.",
)
@click.option(
    "--folder", metavar="FOLDER", help="Where your work is kept, instead of your data folder."
)
def command(
    tune: str | None, port: int | None, no_browser: bool, interface: str | None, folder: str | None
) -> None:
    """Open the desk: hear, compare and change an arrangement in your browser."""
    from pathlib import Path

    from undersong.desk.app import Desk
    from undersong.desk.guard import Door
    from undersong.desk.keeping import Keeping, usual_folder
    from undersong.desk.serve import free_port, serve
    from undersong.desk.starting import address_of, hosts_of, new_secret, work_for

    with naming("TUNE"):
        first = None if tune is None else work_for(tune)
    host = interface or "127.0.0.1"
    try:
        listening = free_port(host, port)
    except OSError as error:
        where = f"--port {port}" if port is not None else f"--interface {host}"
        mend = "another desk may be open there; leave --port out, or name another"
        raise Refused(f"{where}: cannot be served at ({error.strerror}); {mend}") from None
    number = listening.getsockname()[1]
    key = new_secret() if interface is not None else ""
    if key:
        say(
            f"warning: the desk is open to others at {host}: whoever has the address with its key "
            "can use it, and read what you send"
        )
    door = Door(hosts_of(host, number), new_secret(), key)
    keeping = Keeping(usual_folder() if folder is None else Path(folder))
    trouble = keeping.trouble()
    if trouble:
        say(
            f"warning: {trouble}; name another folder with --folder, or save your work as a file "
            "on the page before you end the desk"
        )
    address = address_of(host, number, key)
    serve(Desk(door, keeping, first), listening, address, browser=not no_browser, say=say)
