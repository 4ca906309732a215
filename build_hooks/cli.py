"""The commands of an author: check the data and the pages, begin a unit or a procedure, print the schemas."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from getpass import getpass
from pathlib import Path

from build_hooks.edition import prepare
from build_hooks.jobs import NoJobFileError, recheck
from build_hooks.learning.pins import is_pin, kept_pin
from build_hooks.library import Library, load, pages_of
from build_hooks.process.ending import ended
from build_hooks.reading.problems import printable
from build_hooks.reading.showing import FORMATS, shown
from build_hooks.scaffold import NotWrittenError, new_procedure, new_unit
from build_hooks.schemas import SCHEMA_NAMES, schema_of
from build_hooks.site.build import build_site
from build_hooks.site.offline import SERVERS, NotMadeError, headers_for, write_folder
from build_hooks.site.replacing import recover, settled
from build_hooks.site.serve import LOCAL, serve

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command.

    Args:
        arguments: what stands behind ``python -m build_hooks``; by default that of this process.

    Returns:
        The exit status: 0 if all is well, 1 if there are problems or something was not written, 2 if the command is unknown,
        130 if it was interrupted.
    """
    return ended(lambda: _run(arguments))


def _run(arguments: Sequence[str] | None) -> int:
    # A name in a file may hold what the terminal cannot show.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    parsed = _parser().parse_args(arguments)
    try:
        status: int = parsed.command(parsed)
    except NoJobFileError as refused:
        sys.stderr.writelines(f"{printable(line)}\n" for line in refused.args)
        return 1
    except (NotMadeError, NotWrittenError) as refused:
        sys.stderr.write(f"{printable(str(refused))}\n")
        return 1
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m build_hooks", description="Commands for whoever writes the manual.")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    docs = argparse.ArgumentParser(add_help=False)
    docs.add_argument(
        "--docs", type=Path, default=Path("docs"), metavar="DIR", help="the folder of shop.yml and units/ (default: docs)"
    )

    check = commands.add_parser("check", parents=[docs], help="list every problem of the data and the pages")
    check.add_argument(
        "--lines", action="store_true", help="show the faulty line under each problem (on a terminal this is the default)"
    )
    check.add_argument("--format", choices=FORMATS, default="text", help="how problems are written (default: text)")
    check.add_argument("--strict", action="store_true", help="end with status 1 also where there are only warnings")
    check.set_defaults(command=_check)

    new = commands.add_parser("new", help="begin a unit or a procedure").add_subparsers(required=True, metavar="WHAT")
    unit = new.add_parser("unit", parents=[docs], help="begin the data of a unit")
    unit.add_argument("name", help='what it is called, for example "Birch 5"')
    unit.set_defaults(command=_new_unit)
    procedure = new.add_parser("procedure", parents=[docs], help="begin a page of a unit")
    procedure.add_argument("unit", help="the unit's folder, for example birch-5")
    procedure.add_argument("name", help='the title, for example "Front drum: assemble"')
    procedure.set_defaults(command=_new_procedure)

    build = commands.add_parser("build", help="build the site; the last good one stays where anything is wrong")
    build.add_argument("--config", type=Path, default=Path("mkdocs.yml"), metavar="FILE", help="the manual's mkdocs.yml")
    build.add_argument("--site", type=Path, default=Path("site"), metavar="DIR", help="where to put the site (default: site)")
    build.set_defaults(command=_build)

    serving = commands.add_parser("serve", help="serve a built site")
    serving.add_argument("--site", type=Path, default=Path("site"), metavar="DIR", help="where the site is (default: site)")
    serving.add_argument("--port", type=int, default=8000, help="the port (default: 8000)")
    serving.add_argument(
        "--host",
        default=LOCAL,
        help="the name or address to listen on; 0.0.0.0 opens it to the network (default: this machine only)",
    )
    serving.add_argument("--jobs", type=Path, metavar="DIR", help="a folder in which devices share their jobs (default: none)")
    serving.set_defaults(command=_serve)

    folder = commands.add_parser("folder", help="copy a built site into a folder that opens by double-click, and pack it")
    folder.add_argument("--site", type=Path, default=Path("site"), metavar="DIR", help="where the site is (default: site)")
    folder.add_argument("--to", type=Path, default=Path("folder"), metavar="DIR", help="where to put the copy (default: folder)")
    folder.set_defaults(command=_folder)

    headers = commands.add_parser("headers", help="print the headers of a built site in the words of a server's settings")
    headers.add_argument("server", choices=SERVERS)
    headers.add_argument("--site", type=Path, default=Path("site"), metavar="DIR", help="where the site is (default: site)")
    headers.set_defaults(command=_headers)

    pin = commands.add_parser("pin", help="ask for the PIN of a senior and print it as shop.yml keeps it")
    pin.set_defaults(command=_pin)

    again = commands.add_parser("recheck", help="judge every answer of a file of saved jobs again, and say what differs")
    again.add_argument("file", type=Path, help="the file that the page “Jobs” has saved")
    again.set_defaults(command=_recheck)

    schema = commands.add_parser("schema", help="print the JSON Schema of a data file or of a saved record, or all of them")
    schema.add_argument("name", nargs="?", choices=SCHEMA_NAMES)
    schema.set_defaults(command=_schema)
    return parser


def _build(parsed: argparse.Namespace) -> int:
    return build_site(parsed.config, parsed.site)


def _serve(parsed: argparse.Namespace) -> int:
    recover(settled(parsed.site))
    return serve(parsed.site, parsed.port, parsed.host, parsed.jobs)


def _folder(parsed: argparse.Namespace) -> int:
    packed = write_folder(parsed.site, parsed.to)
    sys.stdout.write(
        f"Open {(parsed.to / 'index.html').as_posix()}. The same, packed: {parsed.to.with_name(packed.name).as_posix()}\n"
    )
    return 0


def _headers(parsed: argparse.Namespace) -> int:
    sys.stdout.write(headers_for(parsed.server, parsed.site))
    return 0


def _check(parsed: argparse.Namespace) -> int:
    edition, problems = prepare(parsed.docs, datetime.now(UTC).date())
    # Warnings may wait: what stops the build is mended first, and not sought among them.
    warnings = edition.warnings() if edition else ()
    lines = parsed.lines or sys.stdout.isatty()
    sys.stdout.write(shown(problems, warnings, parsed.format, lines=lines))
    if edition is None:
        return 1
    status = 1 if parsed.strict and warnings else 0
    if parsed.format == "json":
        return status
    warned = f", {_count(len(warnings), 'warning')}" if warnings else ""
    sys.stdout.write(f"Checked: {_counts(edition.library)}. No problems{warned}.\n")
    return status


def _counts(library: Library) -> str:
    packs = sum(len(unit.packs) for unit in library.units.values())
    pages = len(pages_of(library.docs))
    counts = ((len(library.units), "unit"), (packs, "pack"), (pages, "page"))
    return ", ".join(_count(*counted) for counted in counts)


def _count(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _new_unit(parsed: argparse.Namespace) -> int:
    if not parsed.docs.is_dir():
        raise NotWrittenError(f"There is no folder {parsed.docs.as_posix()}. Name the folder that holds shop.yml, with --docs.")
    sys.stdout.write(f"{new_unit(parsed.docs, parsed.name).as_posix()}\n")
    return 0


def _new_procedure(parsed: argparse.Namespace) -> int:
    library, problems = load(parsed.docs)
    if library is None:
        raise NotWrittenError(f"{problems[0].message} {problems[0].remedy}")
    sys.stdout.write(f"{new_procedure(library, parsed.unit, parsed.name).as_posix()}\n")
    return 0


def _pin(_parsed: argparse.Namespace) -> int:
    # Not as an argument: that would stay in the history of the terminal.
    pin = getpass("PIN: ") if sys.stdin.isatty() else sys.stdin.readline().strip()
    if not is_pin(pin):
        raise NotWrittenError("A PIN is 4 to 12 figures. Run the command again.")
    sys.stdout.write(f"pin: {kept_pin(pin)}\n")
    return 0


def _recheck(parsed: argparse.Namespace) -> int:
    found = recheck(parsed.file)
    for line in found.lines:
        sys.stdout.write(f"{line}\n")
    sys.stdout.write(f"{_count(found.total, 'answer')}, {found.differ} that differ.\n")
    return 1 if found.differ else 0


def _schema(parsed: argparse.Namespace) -> int:
    schema = schema_of(parsed.name) if parsed.name else {name: schema_of(name) for name in SCHEMA_NAMES}
    sys.stdout.write(json.dumps(schema, indent=2, ensure_ascii=False) + "\n")
    return 0
