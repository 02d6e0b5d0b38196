"""The group of commands: looked up when called, every mistake one line on stderr.

Public: LazyGroup.
"""

import sys
from collections.abc import Mapping, Sequence
from importlib import import_module
from typing import Any

import click

from undersong.cli.endings import BAD_INPUT, INTERRUPTED, Refused, complaint, ending, say


class LazyGroup(click.Group):
    """A click Group whose commands are imported when they run, not when they are listed.

    rows: name → (module, line in the list); the module's ``command`` is the command.
    """

    def __init__(self, *, rows: Mapping[str, tuple[str, str]], **attributes: Any) -> None:
        super().__init__(**attributes)
        self.rows = rows

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.rows)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in self.rows:
            return None
        command = import_module(self.rows[name][0]).command
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        name = args[0]
        if name not in self.rows and not name.startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(name, self.rows, n=2)
            meant = f"did you mean {' or '.join(near)}" if near else f"try {', '.join(self.rows)}"
            raise click.UsageError(f"there is no command {name!r}; {meant}", ctx)
        called, command, rest = super().resolve_command(ctx, args)
        if command is not None:
            _refuse_twice(command, rest, ctx)
        return called, command, rest

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in self.rows.items()])

    def invoke(self, ctx: click.Context) -> Any:
        """Runs the command; whatever may be expected to go wrong becomes an ending."""
        try:
            return super().invoke(ctx)
        except (click.exceptions.Exit, click.ClickException):
            raise
        except (Exception, KeyboardInterrupt) as error:
            known = ending(error)
            if known is None:
                raise
            if known.line:
                say(known.line)
            raise click.exceptions.Exit(known.code) from None

    def main(self, args: Sequence[str] | None = None, *rest: Any, **named: Any) -> Any:
        """Runs and exits; the codes stand in ``undersong.cli``."""
        asked = list(sys.argv[1:] if args is None else args) or ["--help"]
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="backslashreplace")
        named["standalone_mode"] = False
        try:
            code = super().main(asked, *rest, **named)
        except click.ClickException as error:
            called = asked[0] if asked and asked[0] in self.rows else ""
            say(complaint(error, f"{self.name} {called}".strip()))
            code = BAD_INPUT
        except click.Abort:
            code = INTERRUPTED
        sys.exit(code if isinstance(code, int) else 0)


def _refuse_twice(command: click.Command, args: list[str], group: click.Context) -> None:
    """Refuses an option that has one value and is given two, of which the last would be taken in
    silence; a plain switch says no more the second time, and whoever asks for help gets it."""
    parser = command.make_parser(click.Context(command, parent=group))
    _, _, given = parser.parse_args(list(args))
    options = [param for param in given if isinstance(param, click.Option)]
    if any(param.is_eager for param in options):
        return
    for param in dict.fromkeys(options):
        if not param.is_flag and not param.multiple and options.count(param) > 1:
            raise Refused(f"{param.opts[-1]}: this is given twice; give it once")
