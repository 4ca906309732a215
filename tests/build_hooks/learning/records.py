"""What is in the browser's database, read past our own code."""

from __future__ import annotations

from typing import Any, Final

from playwright.sync_api import Page

__all__ = ["records_in"]

_READ: Final = """async () => {
  const [{ name }] = (await indexedDB.databases()).filter(({ name }) => name.endsWith("kept"));
  const open = indexedDB.open(name);
  await new Promise((done) => (open.onsuccess = done));
  const all = open.result.transaction("records").objectStore("records").getAll();
  await new Promise((done) => (all.onsuccess = done));
  open.result.close();
  return all.result;
}"""


def records_in(page: Page) -> list[Any]:
    """Every record, by kind and id.

    Args:
        page: a page of the manual that has opened its database.
    """
    found: list[Any] = page.evaluate(_READ)
    return found
