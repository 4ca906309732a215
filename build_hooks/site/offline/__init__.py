"""The manual without a network: kept whole by the browser that was served it, or copied as a folder that opens by itself."""

from build_hooks.site.offline.folder import write_folder
from build_hooks.site.offline.keeping import write_offline
from build_hooks.site.offline.server_headers import SERVERS, headers_for
from build_hooks.site.replacing import NotMadeError

__all__ = ["SERVERS", "NotMadeError", "headers_for", "write_folder", "write_offline"]
