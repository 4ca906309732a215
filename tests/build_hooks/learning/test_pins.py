"""The PIN of a senior: how it is kept, what may be one, and what the command prints."""

from __future__ import annotations

import hashlib
import io

import pytest

from build_hooks.cli import main
from build_hooks.learning.pins import ITERATIONS, is_pin, kept_pin


@pytest.mark.parametrize(
    ("text", "right"),
    [("2604", True), ("123456789012", True), ("123", False), ("1234567890123", False), ("26O4", False), ("٢٦٠٤", False)],
)
def test_a_pin_is_4_to_12_figures(text: str, right: bool) -> None:
    """Figures that every keypad has, and no others."""
    assert is_pin(text) == right


def test_a_pin_is_kept_as_a_salted_hash() -> None:
    """Two are never kept alike, and the PIN is not in it."""
    first, second = kept_pin("2604"), kept_pin("2604")
    assert first != second
    method, rounds, salt, digest = first.split("$")
    assert (method, int(rounds)) == ("pbkdf2-sha256", ITERATIONS)
    assert digest == hashlib.pbkdf2_hmac("sha256", b"2604", bytes.fromhex(salt), ITERATIONS).hex()


def test_the_command_prints_the_line_for_the_shop(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """It reads the PIN and not an argument; what is no PIN is refused."""
    monkeypatch.setattr("sys.stdin", io.StringIO("2604\n"))
    assert main(["pin"]) == 0
    line = capsys.readouterr().out
    salt = line.split("$")[2]
    assert line == f"pin: {kept_pin('2604', bytes.fromhex(salt))}\n"
    monkeypatch.setattr("sys.stdin", io.StringIO("26\n"))
    assert main(["pin"]) == 1
    assert capsys.readouterr().err == "A PIN is 4 to 12 figures. Run the command again.\n"
