"""Serves a built site: for this machine only, unless it is opened to the network.

The server is waitress: it reads requests without a thread for each, so that connections that never finish a request cost little.
"""

from __future__ import annotations

import errno
import logging
import os
import socket
import sys
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.server import create_server
from waitress.trigger import trigger

from build_hooks.site.app import HEADERS_FILE, NOT_FOUND_PAGE, Application, StartResponse, site_application
from build_hooks.site.shared_folder import LARGEST_FILE, SHARED_ADDRESS, shared_folder_application
from build_hooks.site.watching import Builds

__all__ = ["HEADERS_FILE", "LOCAL", "NOT_FOUND_PAGE", "SiteServer", "make_server", "serve", "serve_here"]

LOCAL: Final = "localhost"
_EVERYWHERE: Final = frozenset({"0.0.0.0", "::", ""})  # noqa: S104 - the names by which an author asks for it
# An address of documentation (RFC 5737): nothing is sent to it. It makes the machine say which address of its own it would use.
_ELSEWHERE: Final = ("192.0.2.1", 9)
_BACKLOG: Final = 1024
_SETTINGS: Final[dict[str, Any]] = {
    "threads": 8,
    "asyncore_use_poll": True,
    # Seconds after which a connection that says nothing is closed, and how often that is looked at.
    "channel_timeout": 20,
    "cleanup_interval": 5,
    "max_request_header_size": 65_536,
    "ident": None,
    "clear_untrusted_proxy_headers": True,
}
_LARGEST_BODY: Final = 65_536
_MOST_CONNECTIONS: Final = 3_000
# Seconds after which the loop looks for connections that say nothing, when nothing else happens.
_LONGEST_WAIT: Final = 1.0


class SiteServer:
    """A server for one site, listening but not yet answering.

    Attributes:
        port: the port that it listens on.
    """

    def __init__(self, application: Application, sockets: list[socket.socket], largest_body: int = _LARGEST_BODY) -> None:
        """Takes what answers, the sockets to listen on, and the most bytes that a request may bring."""
        self.port: int = sockets[0].getsockname()[1]
        self._map: dict[int, Any] = {}
        self._ending = threading.Event()
        self._first = threading.Lock()
        # Held by the loop while it runs.
        self._turn = threading.RLock()
        limit = _connection_limit()
        settings = {**_SETTINGS, "connection_limit": limit, "max_request_body_size": largest_body}
        self._server = create_server(application, map=self._map, sockets=sockets, **settings)

    def addresses(self) -> set[str]:
        """What it listens on."""
        return {str(host) for host, _ in self._listening()}

    def _listening(self) -> list[tuple[str, int]]:
        found = getattr(self._server, "effective_listen", None)
        return found or [(self._server.effective_host, self._server.effective_port)]

    def serve_forever(self) -> None:
        """Answers until `shutdown` is called or the process is interrupted."""
        with self._turn:
            while not self._ending.is_set():
                wasyncore.loop(_LONGEST_WAIT, use_poll=True, map=self._map, count=1)

    def shutdown(self) -> None:
        """Ends `serve_forever`, from any thread, and closes all that the server has open."""
        with self._first:
            if not self._ending.is_set():
                self._ending.set()
                self._wake()
        # Only when the loop has ended: a descriptor that it still uses could otherwise be another file's by then.
        with self._turn:
            self._close()

    def _wake(self) -> None:
        next(one for one in self._map.copy().values() if isinstance(one, trigger)).pull_trigger()

    def _close(self) -> None:
        """Closes the connections first, so that no task waits for its reader; tasks wake the loop, so its pipe is closed last."""
        for one in list(self._map.values()):
            if isinstance(one, HTTPChannel):
                # Not `close`, which forgets the buffers: those of a large reply are files.
                one.handle_close()
        self._server.task_dispatcher.shutdown()
        wasyncore.close_all(self._map, ignore_all=True)


def make_server(
    site: Path, port: int, *, host: str = LOCAL, quiet: bool = False, jobs: Path | None = None, builds: Builds | None = None
) -> SiteServer:
    """A server for a built site.

    Args:
        site: the folder of the site.
        port: the port; 0 takes a free one.
        host: the name or address to listen on; by default this machine only.
        quiet: whether requests are not listed.
        jobs: the folder in which devices share their jobs; None offers none.
        builds: the builds of the manual that open pages follow; None for a site that is served as it is.

    Returns:
        The server, not yet running.

    Raises:
        OSError: the port is taken or not allowed, or the host is not one of this machine.
    """
    application = site_application(site)
    if builds is not None:
        application = builds.application(application)
    if jobs is not None:
        application = shared_folder_application(jobs, application)
    largest = _LARGEST_BODY if jobs is None else LARGEST_FILE
    return _server(application if quiet else _listed(application), port, host, largest)


def _server(application: Application, port: int, host: str = LOCAL, largest: int = _LARGEST_BODY) -> SiteServer:
    logging.getLogger("waitress").setLevel(logging.CRITICAL)
    return SiteServer(application, _sockets(host, port), largest)


def serve(site: Path, port: int, host: str = LOCAL, jobs: Path | None = None, builds: Builds | None = None) -> int:
    """Serves until interrupted.

    Args:
        site: the folder of the site.
        port: the port.
        host: the name or address to listen on.
        jobs: the folder in which devices share their jobs, if there is to be one.
        builds: the builds of the manual, which run as long as it is served; None serves a built site as it is.

    Returns:
        The exit code: 0, or 1 when there is no site, or the folder, port or host cannot be used.
    """
    if builds is None and not (site / "index.html").is_file():
        _complain(f"{site.as_posix()}: there is no built site here. Build it first: benchleaf build.")
        return 1
    if jobs is not None and (why := _why_no_folder(jobs, site)):
        _complain(why)
        return 1
    try:
        # A page that is watched asks four times a second: that is no news.
        server = make_server(site, port, host=host, jobs=jobs, builds=builds, quiet=builds is not None)
    except (OSError, OverflowError) as error:
        _complain(_why_not(error, port, host, f", or make serve PORT={_another(port)}"))
        return 1
    lines = [*_addresses(host, server.port), *(_about_jobs(jobs, host) if jobs is not None else ())]
    _until_interrupted(server, lines, builds)
    return 0


def serve_here(application: Application, port: int, what: str) -> int:
    """Serves something else than a site to this machine only, until interrupted.

    Args:
        application: what answers.
        port: the port; 0 takes a free one.
        what: what is at its address.

    Returns:
        The exit code: 0, or 1 when the port cannot be used.
    """
    try:
        server = _server(application, port)
    except (OSError, OverflowError) as error:
        _complain(_why_not(error, port, LOCAL))
        return 1
    _until_interrupted(server, [f"{what} at http://localhost:{server.port}/, for this machine only (end with Ctrl+C)."])
    return 0


def _until_interrupted(server: SiteServer, lines: Iterable[str], builds: Builds | None = None) -> None:
    try:
        # Whoever reads the address may interrupt at once.
        for line in lines:
            print(line, flush=True)  # noqa: T201
        with _running(builds):
            server.serve_forever()
    except KeyboardInterrupt:
        pass
    finally:
        server.shutdown()


@contextmanager
def _running(builds: Builds | None) -> Iterator[None]:
    if builds is None:
        yield
        return
    thread = threading.Thread(target=builds.run)
    thread.start()
    try:
        yield
    finally:
        builds.end()
        thread.join()


def _listed(application: Application) -> Application:
    """The same application, with a line on the terminal for each request."""

    def listed(environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
        def start(status: str, headers: list[tuple[str, str]]) -> object:
            asked = f"{environ['REQUEST_METHOD']} {environ.get('PATH_INFO', '')}"
            sys.stderr.write(f"{ascii(asked)[1:-1]} {status}\n")
            return start_response(status, headers)

        return application(environ, start)

    return listed


def _connection_limit() -> int:
    """As many as the machine allows this process to have open, less what it needs itself."""
    try:
        import resource  # noqa: PLC0415 - not on Windows
    except ImportError:
        return 500
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = _MOST_CONNECTIONS + 200
    if soft < wanted and (hard == resource.RLIM_INFINITY or hard > soft):
        soft = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
    return max(50, min(_MOST_CONNECTIONS, soft - 200))


def _sockets(host: str, port: int) -> list[socket.socket]:
    """Bound sockets for every address of the host, all on the same port."""
    made: list[socket.socket] = []
    try:
        for family, address in _places(host):
            bound = made[0].getsockname()[1] if made else port
            try:
                made.append(_bound(family, address, bound))
            except OSError as error:
                # A machine without IPv6 has no such address; the other one serves.
                if not (made and error.errno in {errno.EADDRNOTAVAIL, errno.EAFNOSUPPORT}):
                    raise
    except BaseException:
        for one in made:
            one.close()
        raise
    return made


def _places(host: str) -> list[tuple[socket.AddressFamily, str]]:
    if host == LOCAL:
        return [(socket.AF_INET, "127.0.0.1"), (socket.AF_INET6, "::1")]
    if host in _EVERYWHERE:
        return [(socket.AF_INET, "0.0.0.0"), (socket.AF_INET6, "::")]  # noqa: S104 - asked for by the author
    found = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)
    return list(dict.fromkeys((family, str(address[0])) for family, _, _, _, address in found))


def _bound(family: socket.AddressFamily, address: str, port: int) -> socket.socket:
    made = socket.socket(family, socket.SOCK_STREAM)
    try:
        if os.name == "posix":
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            made.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        made.bind((address, port))
        made.listen(_BACKLOG)
    except BaseException:
        made.close()
        raise
    return made


def _another(port: int) -> int:
    return port + 1 if 0 < port < 65_535 else 8000  # noqa: PLR2004 - the largest port


def _why_not(error: Exception, port: int, host: str, or_else: str = "") -> str:
    """Why the server cannot start, with what to do."""
    another = f"Try another: --port {_another(port)}{or_else}"
    if isinstance(error, socket.gaierror):
        return f"The host {host} is not known. Give a name or an address of this machine, for example --host 0.0.0.0."
    if isinstance(error, OverflowError):
        return f"There is no port {port}. {another}"
    if isinstance(error, PermissionError):
        return f"Port {port} needs the rights of an administrator. {another}"
    if isinstance(error, OSError) and error.errno == errno.EADDRNOTAVAIL:
        return f"The host {host} is no address of this machine. Give one that is, for example --host 0.0.0.0 for all of them."
    reason = error.strerror if isinstance(error, OSError) else str(error)
    return f"Port {port} cannot be used: {reason}. {another}"


def _addresses(host: str, port: int) -> list[str]:
    """Where the manual is, in words."""
    if host == LOCAL:
        return [
            f"The manual is at http://localhost:{port}/, for this machine only (end with Ctrl+C).",
            "To open it to phones and screens on the network: --host 0.0.0.0, or make serve HOST=0.0.0.0",
        ]
    if host not in _EVERYWHERE:
        return [f"The manual is at http://{_bracketed(host)}:{port}/, for whoever reaches this address (end with Ctrl+C)."]
    lines = [f"The manual is at http://localhost:{port}/ and open to everyone on the network (end with Ctrl+C)."]
    return lines + [f"From a phone or a screen: http://{_bracketed(address)}:{port}/" for address in _own_addresses()]


def _why_no_folder(jobs: Path, site: Path) -> str | None:
    """Why a folder cannot hold shared jobs, with what to do."""
    if not jobs.is_dir():
        return f"{jobs.as_posix()}: there is no such folder for shared jobs. Make it, or give another one."
    if jobs.resolve().is_relative_to(site.resolve()):
        return f"{jobs.as_posix()} is part of the site, and the next build replaces it. Give a folder outside {site.as_posix()}."
    if not os.access(jobs, os.R_OK | os.W_OK | os.X_OK):
        return f"{jobs.as_posix()}: nothing can be written there. Give a folder of your own."
    return None


def _about_jobs(jobs: Path, host: str) -> list[str]:
    lines = [f"Jobs are shared in {jobs.as_posix()}. In shop.yml: jobs: {{folder: {SHARED_ADDRESS}/}}"]
    return lines if host == LOCAL else [*lines, "Everyone on the network can read and add to them: there is no password here."]


def _bracketed(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _own_addresses() -> list[str]:
    """The machine's name and its address in the network, as far as it knows them."""
    found = [socket.gethostname()]
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect(_ELSEWHERE)
            found.append(str(probe.getsockname()[0]))
    except OSError:
        pass  # No network: the name alone.
    return found


def _complain(line: str) -> None:
    sys.stderr.write(f"{line}\n")
