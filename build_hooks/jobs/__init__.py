"""Jobs: the file that one is carried in, and its readings judged again. The browser keeps them (browser/jobs)."""

from build_hooks.jobs.job_file import JobFile
from build_hooks.jobs.recheck import NoJobFileError, Rechecked, recheck

__all__ = ["JobFile", "NoJobFileError", "Rechecked", "recheck"]
