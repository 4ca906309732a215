"""The shared folder of shop.yml: which origin it adds to the policy, and what is said of one without encryption."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from build_hooks.edition import prepare
from build_hooks.library import load, warnings_of_shop
from build_hooks.markdown.html import html_of
from build_hooks.page.job_pages import job_bar
from build_hooks.reading.hosts import is_private_host
from build_hooks.site.security import content_security_policy

DAY = date(2026, 9, 1)


def write_shop(folder: Path, address: str) -> Path:
    """A docs folder whose shop names a shared folder."""
    (folder / "shop.yml").write_text(f'name: Quay Lane\njobs:\n  folder: "{address}"\n', encoding="utf-8")
    (folder / "index.md").write_text("---\ntitle: Start\n---\n# Start\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("address", "origin"),
    [
        ("shared-jobs/", None),
        ("../shared-jobs/", None),
        ("/files/shared-jobs/", None),
        ("https://files.fennick.example/jobs/", "https://files.fennick.example"),
        ("https://Files.Fennick.example:8443/", "https://files.fennick.example:8443"),
        ("http://localhost:8001/jobs/", "http://localhost:8001"),
        ("http://192.168.4.20/jobs/", "http://192.168.4.20"),
    ],
)
def test_the_policy_allows_that_origin_and_nothing_else(address: str, origin: str | None, tmp_path: Path) -> None:
    """A folder of the manual's own server adds nothing; one of another adds scheme, host and port to what pages may call."""
    library, problems = load(write_shop(tmp_path, address))
    assert problems == ()
    assert library is not None
    assert library.shop.jobs is not None
    assert library.shop.jobs.folder.origin == origin
    before, after = content_security_policy(["go()"]), content_security_policy(["go()"], origin)
    added = f" {origin}" if origin else ""
    assert after == before.replace("connect-src 'self' blob: data:", f"connect-src 'self' blob: data:{added}")
    assert f'data-folder="{address}"' in html_of(job_bar(library, "index.md", DAY, has_steps=False))


def test_a_shop_without_a_folder_calls_nobody(tmp_path: Path) -> None:
    """No page names one."""
    (tmp_path / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    library, _ = load(tmp_path)
    assert library is not None
    assert "data-folder" not in html_of(job_bar(library, "index.md", DAY, has_steps=False))


@pytest.mark.parametrize("address", ["https://files.fennick.example/jobs/", "shared-jobs/", "http://bench-server.lan/jobs/"])
def test_a_folder_without_encryption_is_warned_of(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """At its place, with the warnings about the pages."""
    monkeypatch.chdir(write_shop(tmp_path, address))
    library, _ = load(Path())
    assert library is not None
    edition, _ = prepare(Path(), DAY)
    assert edition is not None
    found = [str(warning) for warning in warnings_of_shop(library)]
    assert [str(warning) for warning in edition.warnings()] == found
    warning = (
        "shop.yml:3:11: “http://bench-server.lan/jobs/” is not encrypted: whoever is in this network can read the jobs and the "
        "password. Let the server offer it by https, and write https here."
    )
    assert found == ([warning] if address.startswith("http:") else [])


@pytest.mark.parametrize(
    ("host", "private"),
    [
        ("localhost", True),
        ("127.0.0.1", True),
        ("[::1]", True),
        ("10.1.2.3", True),
        ("172.31.0.1", True),
        ("fd00::1", True),
        ("bench-server", True),
        ("Manual.Shop.LAN", True),
        ("printer.local.", True),
        ("nas.home.arpa", True),
        ("files.fennick.example", False),
        ("local.fennick.example", False),
        ("8.8.8.8", False),
        ("0.0.0.0", False),  # noqa: S104 - a name to be judged
        ("", False),
        ("evillan", True),
        ("evil.notlan", False),
    ],
)
def test_private_hosts_are_those_that_nobody_outside_can_own(host: str, private: bool) -> None:
    """By address or by name."""
    assert is_private_host(host) is private
