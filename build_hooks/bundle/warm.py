"""Run inside the runtime before its memory is saved: everything that an answer ever needs must be in it."""

import gc
import json
import sys
import zipimport

from calc_engine import CATALOGUE
from calc_engine.page import answer_for_page


def warm() -> None:
    """Every worked example, in both systems of units, and the ways a request can be refused."""
    for name, calculation in CATALOGUE.items():
        example = dict(calculation.example)
        for units in ("metric", "inch"):
            answer_for_page(name, json.dumps({**example, "units": units}))
        answer_for_page(name, "{}")
        answer_for_page(name, json.dumps({**example, "no such field": "1"}))
        answer_for_page(name, json.dumps(dict.fromkeys(example, "wrong")))
    answer_for_page("no such calculation", "{}")
    answer_for_page("convert", '{"value": NaN')


def tidy() -> None:
    """Drops what only an import from the library's file would use: that file is not there when the image is restored."""
    zipimport._zip_directory_cache.clear()  # type: ignore[attr-defined]  # noqa: SLF001 - nothing public empties it
    sys.path_importer_cache.clear()
    sys.path.clear()
    gc.collect()
    gc.collect()
    gc.freeze()


if __name__ == "__main__":
    warm()
    tidy()
    del warm, tidy
