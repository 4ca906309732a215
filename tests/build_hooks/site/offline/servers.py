"""Servers that run with the settings of the author's guide, changed in nothing but names, paths and certificates."""

from __future__ import annotations

import contextlib
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Final

from build_hooks.site.offline import headers_for
from tests.site.conftest import ROOT

__all__ = ["INSTALLED", "Place", "running"]

_GUIDE: Final = ROOT / "docs/author-guide/serving.md"
_PROGRAMS: Final = {"nginx": "nginx", "caddy": "caddy", "apache": "apache2"}
# Debian keeps servers where only the administrator's path leads.
_PATH: Final = "/usr/sbin:/usr/local/sbin:/usr/bin:/usr/local/bin"
_APACHE_MODULES: Final = ("mpm_event", "authz_core", "mime", "dir", "headers", "filter", "deflate")
_PATIENCE: Final = 60.0


class Place:
    """Where a server runs: a folder that it may read whoever it runs as, and a port."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.site = folder / "site"
        with socket.socket() as taken:
            taken.bind(("127.0.0.1", 0))
            self.port: int = taken.getsockname()[1]

    @property
    def address(self) -> str:
        """With a slash at its end."""
        return f"http://localhost:{self.port}/"


def _guide(language: str) -> str:
    """The settings that the guide gives for a server."""
    (found,) = re.findall(rf"^```{language}\n(.*?)^```$", _GUIDE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    return str(found)


def _settings(server: str, place: Place, changes: Mapping[str, str]) -> str:
    headers = place.folder / "manual-headers.conf"
    headers.write_text(headers_for(server, place.site), encoding="utf-8")
    text = _guide(server)
    for old, new in {"/srv/manual/site": str(place.site), **changes}.items():
        assert old in text, f"the guide's settings for {server} no longer hold “{old}”"
        text = text.replace(old, new)
    changed, count = re.subn(r"(?<=\s)/etc/\w+/manual-headers\.conf", str(headers), text)
    assert count == 2, "once in the comment that says how to make it, once where it is taken in"
    return changed


def _nginx(place: Place) -> list[str]:
    changes = {
        "listen 443 ssl;": f"listen 127.0.0.1:{place.port}; listen [::1]:{place.port};",
        "    ssl_certificate /etc/ssl/manual.crt;\n": "",
        "    ssl_certificate_key /etc/ssl/manual.key;\n": "",
    }
    kept = "".join(f"{name}_temp_path {place.folder}/{name};\n" for name in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
    (place.folder / "nginx.conf").write_text(
        f"daemon off;\npid {place.folder}/pid;\nevents {{}}\n"
        f"http {{\ninclude /etc/nginx/mime.types;\naccess_log off;\n{kept}{_settings('nginx', place, changes)}}}\n",
        encoding="utf-8",
    )
    return ["-e", "stderr", "-p", str(place.folder), "-c", str(place.folder / "nginx.conf")]


def _caddy(place: Place) -> list[str]:
    settings = _settings("caddy", place, {"manual.shop.lan": f"http://localhost:{place.port}", "\ttls internal\n": ""})
    (place.folder / "Caddyfile").write_text(f"{{\n\tadmin off\n}}\n{settings}", encoding="utf-8")
    return ["run", "--adapter", "caddyfile", "--config", str(place.folder / "Caddyfile")]


def _apache(place: Place) -> list[str]:
    changes = {
        "<VirtualHost *:443>": f"<VirtualHost *:{place.port}>",
        "    SSLEngine on\n": "",
        "    SSLCertificateFile /etc/ssl/manual.crt\n": "",
        "    SSLCertificateKeyFile /etc/ssl/manual.key\n": "",
    }
    modules = "".join(f"LoadModule {name}_module /usr/lib/apache2/modules/mod_{name}.so\n" for name in _APACHE_MODULES)
    (place.folder / "apache.conf").write_text(
        f"{modules}ServerName localhost\nListen {place.port}\nPidFile {place.folder}/pid\nErrorLog {place.folder}/log\n"
        f"User www-data\nGroup www-data\nTypesConfig /etc/mime.types\n{_settings('apache', place, changes)}",
        encoding="utf-8",
    )
    return ["-DFOREGROUND", "-d", str(place.folder), "-f", str(place.folder / "apache.conf")]


_COMMANDS: Final[Mapping[str, Callable[[Place], list[str]]]] = {"nginx": _nginx, "caddy": _caddy, "apache": _apache}
# Ours is always there; the others where they are installed.
INSTALLED: Final = ("ours", *(name for name, program in _PROGRAMS.items() if shutil.which(program, path=_PATH)))


@contextlib.contextmanager
def running(server: str, site: Path) -> Iterator[tuple[Place, Callable[[], None]]]:
    """Runs a server of the guide for a copy of a site; gives its place, and what ends it."""
    with tempfile.TemporaryDirectory() as name:
        place = Place(Path(name))
        place.folder.chmod(0o755)
        shutil.copytree(site, place.site)
        if server == "ours":
            command = [sys.executable, "-m", "build_hooks", "serve", "--site", str(place.site), "--port", str(place.port)]
        else:
            command = [str(shutil.which(_PROGRAMS[server], path=_PATH)), *_COMMANDS[server](place)]
        environment = {"PATH": _PATH, "HOME": name, "XDG_DATA_HOME": name}
        with (place.folder / "said").open("wb") as said:
            process = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=said, stderr=said)

        def end() -> None:
            process.terminate()
            process.wait()

        try:
            _wait(place, process)
            yield place, end
        finally:
            end()


def _wait(place: Place, process: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + _PATIENCE
    while True:
        try:
            socket.create_connection(("localhost", place.port)).close()
        except OSError:
            said = (place.folder / "said").read_text(encoding="utf-8", errors="replace")
            assert process.poll() is None, said
            assert time.monotonic() < deadline, said
            time.sleep(0.1)
        else:
            return
