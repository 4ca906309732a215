"""What a page has for the current job, and the pages of the jobs: their list, and the build sheet."""

from __future__ import annotations

from datetime import date
from typing import Final

from build_hooks.library import Library
from build_hooks.page.forecasts import forecasts_of
from build_hooks.page.pages import MadePage, block_page
from build_hooks.page.rendering import root_of
from calc_engine import Element, element, encode

__all__ = ["job_bar", "job_pages"]

_FOLDER: Final = "jobs"
_NEEDS_SCRIPT: Final = "Without the page's script nothing is kept here: write on paper."
_ABOUT_LIST: Final = "Every rebuild on this bench: what was read, decided and ticked, and where it stopped."
_ABOUT_SHEET: Final = "One sheet that proves the work of a job: readings, limits, parts and hold points, as they were noted."
_ASKED_LIST: Final = (
    "my jobs", "all my builds", "open jobs", "list of jobs", "carry on with my job", "job I started yesterday", "continue a build",
    "unfinished units", "start a new job", "new rebuild", "which jobs are running", "job number", "load a saved job", "save my job",
    "save the job to a file", "delete a job", "job gone from the list", "where did my readings go", "work in progress", "trabajos",
    "mis trabajos abiertos", "lista de trabajos", "Aufträge", "travaux en cours",
)  # fmt: skip
_ASKED_SHEET: Final = (
    "print the build sheet", "print out the readings", "job card", "paper for the customer", "sheet with all readings",
    "report of the rebuild", "proof of the work", "sign the sheet", "what did I measure", "what was measured on this unit",
    "record of the build", "printout", "save as pdf", "hand over the paperwork", "documentation of the rebuild", "quality record",
    "certificate of the build", "hoja de trabajo", "imprimir la hoja", "registro de armado", "Prüfprotokoll", "fiche de montage",
)  # fmt: skip


def job_bar(library: Library, source_path: str, today: date, *, has_steps: bool) -> Element:
    """The strip that says which job the page works on. The page's script fills it.

    Args:
        library: for the shop's name, its units and its people.
        source_path: the page's path below the docs folder.
        today: the day of the build, which names the edition.
        has_steps: whether the page is a procedure, which can be worked through step by step.
    """
    shop, root = library.shop, root_of(source_path) or "./"
    return element(
        "bench-job-bar",
        {
            "data-manual": shop.name,
            "data-manual-root": root,
            "data-edition": today.isoformat(),
            "data-jobs": f"{root}{_FOLDER}/",
            "data-units": encode([unit.name for unit in library.units.values()]),
            "data-people": encode([senior.name for senior in shop.seniors.values()]),
            **({"data-steps": "true"} if has_steps else {}),
            **({"data-folder": shop.jobs.folder.address} if shop.jobs else {}),
        },
    )


def job_pages(library: Library) -> dict[str, MadePage]:
    """The list of jobs and the build sheet, by their paths below the docs folder.

    Args:
        library: for the packs whose rebuilds are shown beside a forecast.
    """
    forecasts = {key: facts for unit in library.units.values() for key, facts in forecasts_of(unit).items()}
    return {
        f"{_FOLDER}/index.md": _page("Jobs", _ABOUT_LIST, _ASKED_LIST, "bench-jobs", {"data-forecasts": encode(forecasts)}),
        f"{_FOLDER}/sheet.md": _page("Build sheet", _ABOUT_SHEET, _ASKED_SHEET, "bench-build-sheet", {}),
    }


def _page(title: str, about: str, asked_as: tuple[str, ...], tag: str, attributes: dict[str, str]) -> MadePage:
    block = element(tag, attributes, element("noscript", {}, element("p", {}, _NEEDS_SCRIPT)))
    return block_page(title, about, block, asked_as=asked_as)
