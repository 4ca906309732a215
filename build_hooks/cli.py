"""The commands of an author: begin a manual or what goes into it, check it, build and serve it, print the schemas."""

from __future__ import annotations

import argparse
import json
import shlex
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from getpass import getpass
from pathlib import Path

from build_hooks.changes import (
    NoStateError,
    change_page,
    change_text,
    changes_between,
    facts_at,
    is_change_page,
    paths_to_read_again,
)
from build_hooks.edition import prepare
from build_hooks.jobs import NoJobFileError, recheck
from build_hooks.learning.pins import is_pin, kept_pin
from build_hooks.library import Library, load, pages_of
from build_hooks.own import read_own
from build_hooks.placing import placing_application, subject_of
from build_hooks.process.ending import ended
from build_hooks.reading.problems import listed, printable
from build_hooks.reading.showing import FORMATS, shown
from build_hooks.scaffold import (
    NotWrittenError,
    new_calculation,
    new_drum,
    new_manual,
    new_pack,
    new_path,
    new_procedure,
    new_unit,
    shown_name,
)
from build_hooks.schemas import SCHEMA_NAMES, WRITTEN_SCHEMAS, schema_of
from build_hooks.site.build import build_site, docs_of
from build_hooks.site.offline import SERVERS, NotMadeError, headers_for, write_folder
from build_hooks.site.replacing import recover, settled
from build_hooks.site.serve import LOCAL, serve, serve_here
from build_hooks.site.watching import Builds, build_command, changes, live_command, states_of
from calc_engine import System, set_own

__all__ = ["main"]

type _Commands = argparse._SubParsersAction[argparse.ArgumentParser]  # noqa: SLF001 - its only name


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command.

    Args:
        arguments: what comes after ``benchleaf``; by default that of this process.

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
    except (NoJobFileError, NoStateError, NotMadeError, NotWrittenError) as refused:
        sys.stderr.writelines(f"{printable(str(line))}\n" for line in refused.args)
        return 1
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="benchleaf", description="Commands for whoever writes the manual.")
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
    check.add_argument("--watch", action="store_true", help="check again whenever a file changes, until Ctrl+C")
    check.set_defaults(command=_check)

    _add_new(
        commands.add_parser("new", help="begin a manual, or what goes into it").add_subparsers(required=True, metavar="WHAT"),
        docs,
    )

    build = commands.add_parser("build", help="build the site; the last good one stays where anything is wrong")
    build.add_argument("--config", type=Path, default=Path("mkdocs.yml"), metavar="FILE", help="the manual's mkdocs.yml")
    build.add_argument("--site", type=Path, default=Path("site"), metavar="DIR", help="where to put the site (default: site)")
    build.set_defaults(command=_build)

    serving = commands.add_parser("serve", help="build the manual, serve it, and build it again whenever a file changes")
    serving.add_argument("--config", type=Path, default=Path("mkdocs.yml"), metavar="FILE", help="the manual's mkdocs.yml")
    serving.add_argument("--site", type=Path, metavar="DIR", help="serve this built site as it is, without building or watching")
    serving.add_argument("--port", type=int, default=8000, help="the port (default: 8000)")
    serving.add_argument(
        "--host",
        default=LOCAL,
        help="the name or address to listen on; 0.0.0.0 opens it to the network (default: this machine only)",
    )
    serving.add_argument("--jobs", type=Path, metavar="DIR", help="a folder in which devices share their jobs (default: none)")
    serving.set_defaults(command=_serve)

    photo = commands.add_parser("photo", parents=[docs], help="place the call-outs of a photograph by pointing at it")
    photo.add_argument("file", type=Path, help="the photograph, for example docs/units/oak-4/photos/drum.jpg")
    photo.add_argument("--port", type=int, default=8001, help="the port (default: 8001)")
    photo.set_defaults(command=_photo)

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

    again = commands.add_parser(
        "recheck", parents=[docs], help="judge every answer of a file of saved jobs again, and say what differs"
    )
    again.add_argument("file", type=Path, help="the file that the page “Jobs” has saved")
    again.set_defaults(command=_recheck)

    changes = commands.add_parser("changes", parents=[docs], help="say what differs between two states of the manual")
    changes.add_argument("old", help="a git revision, the folder of a built site, or a docs folder")
    changes.add_argument("new", nargs="?", help="the same (default: the docs folder as it is now)")
    changes.add_argument(
        "--page", type=Path, metavar="FILE", help="write a page of the manual instead, for example docs/changes.md"
    )
    changes.set_defaults(command=_changes)

    schema = commands.add_parser("schema", help="print the JSON Schema of a data file or of a saved record, or all of them")
    schema.add_argument("name", nargs="?", choices=SCHEMA_NAMES)
    schema.add_argument(
        "--to", type=Path, metavar="DIR", help="write each as a file into this folder, where an editor finds them"
    )
    schema.set_defaults(command=_schema)
    return parser


def _add_new(what: _Commands, docs: argparse.ArgumentParser) -> None:
    """The commands that begin something. What is left out is asked for on a terminal."""
    manual = what.add_parser("manual", help="begin a manual in a folder of its own")
    manual.add_argument("folder", nargs="?", type=Path, help="the folder, for example my-shop")
    manual.add_argument("--name", help="the name of the shop (default: from the folder)")
    manual.add_argument("--units", choices=("metric", "inch"), help="what the shop reads in (default: metric)")
    manual.set_defaults(command=_new_manual)
    unit = what.add_parser("unit", parents=[docs], help="begin the data of a unit")
    unit.add_argument("name", nargs="?", help='what it is called, for example "Birch 5"')
    unit.set_defaults(command=_new_unit)
    drum = what.add_parser("drum", parents=[docs], help="add a drum to a unit's data")
    pack = what.add_parser("pack", parents=[docs], help="add a pack with its parts to a unit's data")
    procedure = what.add_parser("procedure", parents=[docs], help="begin a page of a unit")
    for command, example in ((drum, "Rear drum"), (pack, "Reverse pack"), (procedure, "Front drum: assemble")):
        command.add_argument("unit", nargs="?", help="the unit's folder, for example birch-5")
        command.add_argument("name", nargs="?", help=f'what it is called, for example "{example}"')
    drum.set_defaults(command=_new_drum)
    pack.add_argument("--drum", metavar="ID", help="the drum that it goes into (needed where there are several)")
    pack.set_defaults(command=_new_pack)
    procedure.add_argument("--pack", metavar="ID", help="the pack whose limits and stack it shows (default: the first)")
    procedure.set_defaults(command=_new_procedure)
    path = what.add_parser("path", parents=[docs], help="begin a learning path")
    path.add_argument("name", nargs="?", help='what it is called, for example "First week"')
    path.set_defaults(command=_new_path)
    calculation = what.add_parser("calculation", parents=[docs], help="begin a calculation of your own, in Python")
    calculation.add_argument("name", nargs="?", help='what it is called, for example "Pan depth"')
    calculation.set_defaults(command=_new_calculation)


def _build(parsed: argparse.Namespace) -> int:
    return build_site(parsed.config, parsed.site)


def _serve(parsed: argparse.Namespace) -> int:
    if parsed.site is not None:
        recover(settled(parsed.site))
        return serve(parsed.site, parsed.port, parsed.host, parsed.jobs)
    if not parsed.config.is_file():
        raise NotMadeError(
            f"{parsed.config.as_posix()}: there is no such file. Call it in the folder of a manual, or name a built site with --site."
        )
    site, docs = parsed.config.parent / "site", docs_of(parsed.config)
    builds = Builds(
        build_command(parsed.config, site),
        lambda: states_of(parsed.config, docs),
        _complain,
        live_command(parsed.config, site),
    )
    return serve(site, parsed.port, parsed.host, parsed.jobs, builds)


def _photo(parsed: argparse.Namespace) -> int:
    subject = subject_of(parsed.file, parsed.docs)
    return serve_here(placing_application(subject), parsed.port, f"The call-outs of {printable(subject.path)} are")


def _complain(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()


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
    if not parsed.watch:
        return _checked(parsed)
    for _ in changes(lambda: states_of(parsed.docs)):
        _checked(parsed)
        sys.stdout.write(f"Watching {parsed.docs.as_posix()} (end with Ctrl+C).\n")
        sys.stdout.flush()
    return 0


def _checked(parsed: argparse.Namespace) -> int:
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


def _new_manual(parsed: argparse.Namespace) -> int:
    folder = parsed.folder or Path(_asked(None, "Folder of the manual"))
    name = _asked(parsed.name, "Name of the shop", shown_name(folder.resolve().name))
    units = _system(_asked(parsed.units, "Units that the shop reads in, metric or inch", "metric"))
    schemas = {schema: _as_json(schema_of(schema)) for schema in WRITTEN_SCHEMAS}
    for path in new_manual(folder, name, units, schemas):
        sys.stdout.write(f"{path.as_posix()}\n")
    sys.stdout.write(f"Next: cd {shlex.quote(folder.as_posix())}, then: benchleaf serve\n")
    return 0


def _new_unit(parsed: argparse.Namespace) -> int:
    return _told(new_unit(_library(parsed.docs), _asked(parsed.name, "Name of the unit")))


def _new_drum(parsed: argparse.Namespace) -> int:
    library, unit = _library(parsed.docs), _asked(parsed.unit, "Folder of the unit")
    return _told(new_drum(library, unit, _asked(parsed.name, "Name of the drum")))


def _new_pack(parsed: argparse.Namespace) -> int:
    library, unit_id = _library(parsed.docs), _asked(parsed.unit, "Folder of the unit")
    name, drum = _asked(parsed.name, "Name of the pack"), parsed.drum
    unit = library.units.get(unit_id)
    if drum is None and unit is not None and len(unit.drums) > 1 and sys.stdin.isatty():
        drum = _asked(None, f"Drum that it goes into, {listed(unit.drums)}")
    return _told(new_pack(library, unit_id, name, drum))


def _new_procedure(parsed: argparse.Namespace) -> int:
    library, unit = _library(parsed.docs), _asked(parsed.unit, "Folder of the unit")
    return _told(new_procedure(library, unit, _asked(parsed.name, "Title of the page"), parsed.pack))


def _new_path(parsed: argparse.Namespace) -> int:
    return _told(new_path(_library(parsed.docs), _asked(parsed.name, "Name of the path")))


def _new_calculation(parsed: argparse.Namespace) -> int:
    return _told(new_calculation(_library(parsed.docs), _asked(parsed.name, "Name of the calculation")))


def _system(name: str) -> System:
    match name:
        case "metric" | "inch":
            return name
        case _:
            raise NotWrittenError("The units are metric or inch. Call it again.")


def _library(docs: Path) -> Library:
    library, problems = load(docs)
    if library is None:
        raise NotWrittenError(f"{problems[0].message} {problems[0].remedy}")
    return library


def _asked(given: str | None, question: str, default: str = "") -> str:
    """What was given, else what is answered on a terminal, else the default."""
    if given is not None:
        return given
    if sys.stdin.isatty():
        sys.stdout.write(f"{question}{f' [{default}]' if default else ''}: ")
        sys.stdout.flush()
        return sys.stdin.readline().strip() or default
    if default:
        return default
    raise NotWrittenError(f"{question}: give it behind the command, or call it on a terminal, where it is asked for.")


def _told(path: Path) -> int:
    sys.stdout.write(f"{path.as_posix()}\n")
    return 0


def _pin(_parsed: argparse.Namespace) -> int:
    # Not as an argument: that would stay in the history of the terminal.
    pin = getpass("PIN: ") if sys.stdin.isatty() else sys.stdin.readline().strip()
    if not is_pin(pin):
        raise NotWrittenError("A PIN is 4 to 12 figures. Run the command again.")
    sys.stdout.write(f"pin: {kept_pin(pin)}\n")
    return 0


def _recheck(parsed: argparse.Namespace) -> int:
    # The manual's own calculations may be among those that were asked.
    set_own(read_own(parsed.docs)[0].calculations if parsed.docs.is_dir() else ())
    found = recheck(parsed.file)
    for line in found.lines:
        sys.stdout.write(f"{line}\n")
    sys.stdout.write(f"{_count(found.total, 'answer')}, {found.differ} that differ.\n")
    return 1 if found.differ else 0


def _changes(parsed: argparse.Namespace) -> int:
    old = facts_at(parsed.old, parsed.docs)
    new = facts_at(parsed.new or parsed.docs.as_posix(), parsed.docs)
    found = changes_between(old, new), paths_to_read_again(old, new)
    if parsed.page is None:
        sys.stdout.write(change_text(*found))
        return 0
    if parsed.page.exists() and not is_change_page(parsed.page.read_text(encoding="utf-8", errors="replace")):
        raise NotWrittenError(f"{parsed.page.as_posix()} is not a page that this command wrote. Name another file.")
    parsed.page.write_text(change_page(*found, parsed.old), encoding="utf-8")
    sys.stdout.write(f"{parsed.page.as_posix()}\n")
    return 0


def _schema(parsed: argparse.Namespace) -> int:
    if parsed.to is None:
        sys.stdout.write(_as_json(schema_of(parsed.name) if parsed.name else {name: schema_of(name) for name in SCHEMA_NAMES}))
        return 0
    parsed.to.mkdir(parents=True, exist_ok=True)
    for name in [parsed.name] if parsed.name else WRITTEN_SCHEMAS:
        path = parsed.to / f"{name}.schema.json"
        path.write_text(_as_json(schema_of(name)), encoding="utf-8", newline="\n")
        _told(path)
    return 0


def _as_json(value: object) -> str:
    return json.dumps(value, indent=2, ensure_ascii=False) + "\n"
