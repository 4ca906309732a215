"""The shared folder on servers that a shop may have: Apache by the words of the guide; nginx's own writing is found out and refused."""

from __future__ import annotations

import contextlib
import re
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, expect

from build_hooks.bundle import BrowserFiles

from .test_shared_folder import PATIENCE, Bench, Device, file_of, write_page

pytestmark = pytest.mark.browser

_GUIDE: Final = Path(__file__).parents[2] / "docs/author-guide/serving.md"
_PATH: Final = "/usr/sbin:/usr/local/sbin:/usr/bin:/usr/local/bin"
_MODULES: Final = ("mpm_event", "authz_core", "alias", "mime", "dir", "headers", "filter", "deflate", "dav", "dav_fs")
_PROGRAMS: Final = {"apache": shutil.which("apache2", path=_PATH), "nginx": shutil.which("nginx", path=_PATH)}
INSTALLED: Final = [name for name, program in _PROGRAMS.items() if program]


def _apache(top: Path, port: int) -> list[str]:
    """The guide's own lines, without those about the password."""
    (shown,) = re.findall(r"^```apacheconf\n(.*?)^```$", _GUIDE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    lines = re.sub(r"^ *(Auth|Require).*\n", "", shown, flags=re.MULTILINE).replace(
        "    Dav On\n", "    Dav On\n    Require all granted\n"
    )
    settings = lines.replace("/srv/manual/jobs", f"{top}/jobs").replace("/var/lib/apache2/DavLock", f"{top}/lock")
    modules = "".join(f"LoadModule {name}_module /usr/lib/apache2/modules/mod_{name}.so\n" for name in _MODULES)
    (top / "apache.conf").write_text(
        f"{modules}ServerName localhost\nListen {port}\nPidFile {top}/pid\nErrorLog {top}/log\nUser www-data\nGroup www-data\n"
        f"TypesConfig /etc/mime.types\nDocumentRoot {top}/site\nDirectoryIndex index.html\n{settings}"
        "AddOutputFilterByType DEFLATE application/json\n",
        encoding="utf-8",
    )
    return ["-DFOREGROUND", "-d", str(top), "-f", str(top / "apache.conf")]


def _nginx(top: Path, port: int) -> list[str]:
    kept = "".join(f"{name}_temp_path {top}/{name};\n" for name in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
    (top / "nginx.conf").write_text(
        f"daemon off;\npid {top}/pid;\nevents {{}}\nhttp {{\ninclude /etc/nginx/mime.types;\naccess_log off;\n{kept}"
        f"server {{ listen 127.0.0.1:{port}; listen [::1]:{port}; root {top}/site; location /shared-jobs/ "
        f"{{ alias {top}/jobs/; dav_methods PUT; }} }}\n}}\n",
        encoding="utf-8",
    )
    return ["-e", "stderr", "-p", str(top), "-c", str(top / "nginx.conf")]


@contextlib.contextmanager
def running(server: str, assets: Path) -> Iterator[Bench]:
    """A server with the page of the jobs and a folder."""
    with tempfile.TemporaryDirectory() as name, socket.socket() as taken:
        top = Path(name)
        top.chmod(0o777)
        write_page(top / "site", assets)
        (top / "jobs").mkdir()
        (top / "jobs").chmod(0o777)
        taken.bind(("127.0.0.1", 0))
        port: int = taken.getsockname()[1]
        taken.close()
        arguments = (_apache if server == "apache" else _nginx)(top, port)
        process = subprocess.Popen([str(_PROGRAMS[server]), *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            deadline = time.monotonic() + 60
            while True:
                with contextlib.suppress(OSError), socket.create_connection(("localhost", port)):
                    break
                assert process.poll() is None
                assert time.monotonic() < deadline
                time.sleep(0.1)
            yield Bench(top / "jobs", f"http://localhost:{port}/")
        finally:
            process.terminate()
            process.wait()


@pytest.mark.parametrize("server", INSTALLED)
def test_a_server_that_checks_is_used_and_one_that_does_not_is_not(
    server: str, browser: Browser, site_folder: tuple[Path, BrowserFiles]
) -> None:
    """Two devices on Apache come to the same job; on nginx's own module nothing is written."""
    with running(server, site_folder[0]) as bench, contextlib.ExitStack() as open_now:
        devices = []
        for _ in range(2):
            context = browser.new_context()
            open_now.callback(context.close)
            devices.append(Device(context, context.new_page()))
            devices[-1].page.goto(bench.address)
        if server == "nginx":
            devices[0].expect_state("no-list")
            devices[0].open_job("4711")
            devices[0].look()
            expect(devices[0].page.locator("[data-bench=shared-said]")).to_have_text(
                "Shared folder: the server does not list its files (405). It must speak WebDAV. 2 entries not yet there.",
                timeout=PATIENCE,
            )
            assert list(bench.folder.iterdir()) == []
            return
        job = devices[0].open_job("4711")
        devices[0].settle()
        devices[1].settle()
        devices[1].choose(job)
        for number in range(3):
            for device in devices:
                device.note(f"entry {number}")
                device.look()
        for device in [*devices, *devices]:
            device.settle()
        held = devices[0].entries(job)
        assert len(held) == 2 + 6
        assert devices[1].entries(job) == held == file_of(bench, job)
