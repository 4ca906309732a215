"""A process that answers one line with another, asked from several threads, and started again when it has ended."""

from __future__ import annotations

import json
import signal
import subprocess
import threading
from typing import Any

__all__ = ["Worker"]


class Worker:
    """Such a process."""

    def __init__(self, command: list[str]) -> None:
        """Takes the command that starts it, when it is first asked."""
        self._command = command
        self._process: subprocess.Popen[str] | None = None
        self._alone = threading.Lock()

    def asked(self, question: object, wait: float = -1) -> dict[str, Any] | None:
        """Its answer.

        Args:
            question: what JSON can write.
            wait: how many seconds it may be busy with something else; for ever by default.

        Returns:
            The answer; None where it has ended instead, or was busy.
        """
        if not self._alone.acquire(timeout=wait):
            return None
        try:
            return self._answer(json.dumps(question))
        finally:
            self._alone.release()

    def _answer(self, line: str) -> dict[str, Any] | None:
        process = self._running()
        assert process.stdin is not None and process.stdout is not None  # noqa: S101, PT018 - for the type checker
        try:
            process.stdin.write(f"{line}\n")
            process.stdin.flush()
            answer: dict[str, Any] = json.loads(process.stdout.readline())
        except (OSError, ValueError):
            return None
        return answer

    def _running(self) -> subprocess.Popen[str]:
        if self._process is not None and self._process.poll() is not None:
            # It closes what leads to it.
            self._process.communicate()
            self._process = None
        if self._process is None:
            self._process = subprocess.Popen(  # noqa: S603 - our own interpreter, no shell
                self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8", process_group=0
            )
        return self._process

    def pause(self) -> None:
        """Lets the process wait, where the system can do that, until `resume` is called."""
        if self._process is not None and hasattr(signal, "SIGSTOP"):
            self._process.send_signal(signal.SIGSTOP)

    def resume(self) -> None:
        """Lets it go on."""
        if self._process is not None and hasattr(signal, "SIGCONT"):
            self._process.send_signal(signal.SIGCONT)

    def stop(self) -> None:
        """Ends the process, from any thread, whatever it is doing."""
        if self._process is not None:
            self._process.terminate()
            self.resume()

    def end(self) -> None:
        """Ends the process and closes what leads to it; nobody asks any more."""
        self.stop()
        if self._process is not None:
            self._process.communicate()
