"""What must hold whatever stands in a file: problems that can be mended, HTML without markup from data, no file outside."""

from __future__ import annotations

import json
import os
import re
import signal
import sys
import time
import traceback
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path
from types import CodeType, FrameType
from typing import Any, Final, Self

from build_hooks.reading.problems import Problem
from tests.fuzz.mutate import MARK

__all__ = ["Finding", "Guard", "Reached", "in_time", "judge_html", "judge_problems"]

ROOT: Final = Path(__file__).parents[2]
LONGEST: Final = 2.0  # seconds of the processor's time; what takes longer is a finding
_BROKEN_OFF: Final = 15.0
# What ends a line in a data file, and in a page as it is read.
_BREAKS: Final[Mapping[str, re.Pattern[str]]] = {"yaml": re.compile("\r\n|[\n\r]"), "page": re.compile("\n")}
_CODE: Final = re.compile(r"[a-z][a-z0-9-]+")


class Finding(AssertionError):  # noqa: N818 - what a fuzzer has
    """A promise that was not kept."""


class _TooLongError(BaseException):
    """The time is up; nothing on the way may swallow it."""


def judge_problems(problems: Iterable[Problem], files: Mapping[str, str | None], kind: str = "yaml") -> None:
    """Holds problems to what is promised of them.

    Args:
        problems: what was found.
        files: the texts that they may be about by their paths, without byte order mark; None for a file that is none or that nobody could decode.
        kind: `yaml` or `page`, for how lines end.

    Raises:
        Finding: one names no file, no place in it, or has no words.
    """
    lines: dict[str, list[str]] = {}
    for problem in problems:
        if problem.path not in files:
            raise Finding(f"names another file: {problem}")
        text = files[problem.path]
        if problem.path not in lines:
            lines[problem.path] = [""] if text is None else _BREAKS[kind].split(text)
        known = lines[problem.path]
        if text is not None and not (1 <= problem.line <= len(known) and 1 <= problem.column <= len(known[problem.line - 1]) + 1):
            raise Finding(f"beside the file: {problem.code}: {problem} The file has {len(known)} lines.")
        if problem.line < 1 or problem.column < 1:
            raise Finding(f"has no place: {problem}")
        if not (_CODE.fullmatch(problem.code) and problem.message.strip() and problem.remedy.strip()):
            raise Finding(f"lacks code, message or remedy: {problem!r}")
        if not str(problem).isprintable():
            raise Finding(f"would be obeyed by a terminal: {problem!r}")


_VOID: Final = frozenset({"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})
_ADDRESSES: Final = frozenset(
    {
        "href",
        "src",
        "action",
        "formaction",
        "xlink:href",
        "poster",
        "cite",
        "data",
        "background",
        "longdesc",
        "srcset",
        "ping",
        "manifest",
    }
)
_FETCHED: Final = frozenset({"src", "poster", "srcset", "background", "data"})
_DROPPED: Final = re.compile(r"[\x00-\x20]+")
_RUNS: Final = re.compile(r"((?:javascript|vbscript):|data:(?!,$|image/(png|jpeg|svg\+xml|webp)))", re.IGNORECASE)
_OUTSIDE: Final = re.compile(r"(?:[a-z][a-z0-9+.-]*:)?//|[a-z][a-z0-9+.-]*:(?!image/)", re.IGNORECASE)
_MADE: Final = re.compile(rf"<[/!?]?{MARK}|<!--", re.IGNORECASE)
_CONTENT_LEFT_OUT: Final = frozenset({"li", "p", "dt", "dd", "td", "th", "tr", "tbody", "thead", "tfoot", "colgroup", "rt", "rp"})


# What was found sound before: most changes leave most blocks as they were.
_JUDGED: Final[set[int]] = set()
_MOST_JUDGED: Final = 1_000_000


class _Page(HTMLParser):
    """Reads what a page says and notes what could not have been written by us."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.bad: list[str] = []
        self._open: list[str] = []
        self._json: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if MARK in tag or tag in {"iframe", "object", "embed", "base", "frame", "applet"}:
            self.bad.append(f"an element <{tag}>")
        for name, value in attrs:
            self._attribute(tag, name, value or "")
        kind = dict(attrs).get("type") or ""
        if tag == "script":
            self._json = [] if "json" in kind or kind == "text/plain" else None
            if self._json is None and not dict(attrs).get("src"):
                self.bad.append("a script with text of its own")
        if tag not in _VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if self._open and self._open[-1] == tag:
            self._open.pop()

    def handle_endtag(self, tag: str) -> None:
        if tag == "script" and self._json is not None:
            try:
                json.loads("".join(self._json))
            except ValueError as error:
                self.bad.append(f"data that are no JSON: {error}")
            self._json = None
        while self._open and self._open[-1] != tag and self._open[-1] in _CONTENT_LEFT_OUT:
            self._open.pop()
        if not self._open or self._open.pop() != tag:
            self.bad.append(f"</{tag}> ends what it did not begin")

    def handle_data(self, data: str) -> None:
        if self._json is not None:
            self._json.append(data)

    def handle_comment(self, data: str) -> None:
        self.bad.append(f"a comment {data[:40]!r}")

    def handle_pi(self, data: str) -> None:
        self.bad.append(f"an instruction {data[:40]!r}")

    def unknown_decl(self, data: str) -> None:
        self.bad.append(f"a declaration {data[:40]!r}")

    def finish(self) -> None:
        self.close()
        left = [tag for tag in self._open if tag not in _CONTENT_LEFT_OUT]
        if left:
            self.bad.append(f"never ended: {left}")

    def _attribute(self, tag: str, name: str, value: str) -> None:
        if MARK in name or name.startswith("on"):
            self.bad.append(f"an attribute {name} of <{tag}>")
        if name in _ADDRESSES:
            plain = _DROPPED.sub("", value).replace("\\", "/")
            if _RUNS.match(plain) or (name in _FETCHED and _OUTSIDE.match(plain) and not plain.startswith("data:image/")):
                self.bad.append(f"an address {name}={value[:60]!r} of <{tag}>")
        if name == "style" and re.search(r"url\(|expression|@import", value, re.IGNORECASE):
            self.bad.append(f"a style {value[:60]!r} of <{tag}>")


def judge_html(html: str, *, whole: bool = False) -> None:
    """Looks for markup that data have made.

    Args:
        html: a block, the content of a page, or a whole page.
        whole: whether it is a whole page, with its own declaration.

    Raises:
        Finding: there is some.
    """
    if (seen := hash(html)) in _JUDGED:
        return
    made = _MADE.search(html)
    if made:
        raise Finding(f"data became markup: {html[max(0, made.start() - 80) : made.end() + 40]!r}")
    page = _Page()
    page.feed(re.sub(r"\A<!doctype html>", "", html, flags=re.IGNORECASE) if whole else html)
    page.finish()
    if page.bad:
        raise Finding(f"data became markup: {page.bad[0]}")
    html.encode()
    if len(_JUDGED) < _MOST_JUDGED:
        _JUDGED.add(seen)


@contextmanager
def in_time() -> Iterator[None]:
    """Breaks off what hangs, and makes a finding of what is slow.

    Raises:
        Finding: it took longer than it may.
    """

    def break_off(_number: int, _frame: FrameType | None) -> None:
        raise _TooLongError

    # The build's own limit uses another timer.
    before = signal.signal(signal.SIGPROF, break_off)
    signal.setitimer(signal.ITIMER_PROF, _BROKEN_OFF, 1.0)
    began = time.process_time()
    try:
        yield
    except _TooLongError as late:
        raise Finding(f"broken off after {_BROKEN_OFF:.0f} s") from late
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
    took = time.process_time() - began
    if took > LONGEST:
        raise Finding(f"took {took:.1f} s")


_WRITING: Final = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_CHANGES: Final = frozenset(
    {
        "os.remove",
        "os.rename",
        "os.mkdir",
        "os.rmdir",
        "os.symlink",
        "os.link",
        "os.truncate",
        "os.chmod",
        "os.chown",
        "os.utime",
        "shutil.rmtree",
        "shutil.move",
    }
)
_OUTWARD: Final = frozenset(
    {
        "subprocess.Popen",
        "os.system",
        "os.exec",
        "os.posix_spawn",
        "os.fork",
        "socket.connect",
        "socket.bind",
        "socket.getaddrinfo",
    }
)


class Guard:
    """Sees every file that this process opens while it is armed: Python tells it of each (PEP 578)."""

    def __init__(self) -> None:
        """Begins to listen; that cannot be ended."""
        self._readable: tuple[str, ...] = ()
        self._writable: tuple[str, ...] = ()
        self._armed = False
        self.seen: list[str] = []
        sys.addaudithook(self._hear)

    @contextmanager
    def armed(self, readable: Iterable[Path], writable: Iterable[Path] = ()) -> Iterator[None]:
        """Allows only these folders, besides Python and the project, whose files may be read.

        Raises:
            Finding: something else was opened or changed.
        """
        of_python = {sys.prefix, sys.base_prefix, os.path.realpath(sys.prefix), *filter(os.path.isabs, sys.path)}
        self._readable = (
            *map(_folder, readable),
            *map(_folder, of_python),
            _folder(ROOT),
            "/dev/null/",
            "/etc/mime.types/",
            "/usr/share/zoneinfo/",
        )
        self._writable = tuple(map(_folder, writable))
        self.seen.clear()
        self._armed = True
        try:
            yield
        finally:
            self._armed = False
        if self.seen:
            raise Finding(f"left its folders: {self.seen[0]}")

    def _hear(self, event: str, arguments: tuple[Any, ...]) -> None:
        if not self._armed:
            return
        if event == "open":
            path, mode, flags = arguments
            if isinstance(path, int):
                return
            writes = bool(flags & _WRITING) if isinstance(flags, int) else bool(set(mode or "") & set("wax+"))
            self._look(event, path, self._writable if writes else (*self._readable, *self._writable))
        elif event in _CHANGES:
            self._look(event, arguments[0], self._writable)
        elif event in _OUTWARD:
            self.seen.append(f"{event} {arguments!r:.200}")

    def _look(self, event: str, path: Any, allowed: tuple[str, ...]) -> None:
        try:
            real = os.path.realpath(os.fsdecode(path))
        except (OSError, ValueError, TypeError):
            return
        if not f"{real}/".startswith((*allowed, *self._writable)):
            frame = next((one for one in reversed(traceback.extract_stack()) if "/build_hooks/" in one.filename), None)
            where = f"{Path(frame.filename).name}:{frame.lineno}" if frame else "?"
            self.seen.append(f"{where}: {event} {path!r}")


def _folder(path: Path | str) -> str:
    return f"{os.path.realpath(path)}/"


class Reached:
    """Tells whether a run reached a line of the build or the engine that none reached before; a line costs time only once (PEP 669)."""

    _TOOL: Final = 4

    def __init__(self) -> None:
        """Begins to listen."""
        self.new = 0
        self.lines = 0
        self._ours = (f"{ROOT}/build_hooks/", f"{ROOT}/calc_engine/")

    def __enter__(self) -> Self:
        """Begins to count, from nothing."""
        sys.monitoring.use_tool_id(self._TOOL, "fuzz")
        sys.monitoring.register_callback(self._TOOL, sys.monitoring.events.LINE, self._line)
        sys.monitoring.restart_events()
        sys.monitoring.set_events(self._TOOL, sys.monitoring.events.LINE)
        return self

    def __exit__(self, *_error: object) -> None:
        """Ends it."""
        sys.monitoring.set_events(self._TOOL, 0)
        sys.monitoring.register_callback(self._TOOL, sys.monitoring.events.LINE, None)
        sys.monitoring.free_tool_id(self._TOOL)

    def _line(self, code: CodeType, _line: int) -> Any:
        if code.co_filename.startswith(self._ours):
            self.new += 1
            self.lines += 1
        return sys.monitoring.DISABLE

    def take(self) -> int:
        """How many lines are new since the last call."""
        found, self.new = self.new, 0
        return found
