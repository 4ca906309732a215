"""What is in the browser's database, read past our own code."""

from __future__ import annotations

from typing import Any, Final

from playwright.sync_api import Page

__all__ = ["PUT", "do_before", "note_all_opened", "records_in"]

PUT: Final = """async ([kind, id, value]) => {
  const [{ name }] = (await indexedDB.databases()).filter(({ name }) => name.endsWith("kept"));
  const open = indexedDB.open(name);
  await new Promise((done) => (open.onsuccess = done));
  const change = open.result.transaction("records", "readwrite");
  change.objectStore("records").put({ kind, id, value });
  await new Promise((done) => (change.oncomplete = done));
  open.result.close();
}"""
"""Puts a record of a kind into the database, under an id."""

_READ: Final = """async (ending) => {
  const [{ name }] = (await indexedDB.databases()).filter(({ name }) => name.endsWith(ending));
  const open = indexedDB.open(name);
  await new Promise((done) => (open.onsuccess = done));
  const all = open.result.transaction("records").objectStore("records").getAll();
  await new Promise((done) => (all.onsuccess = done));
  open.result.close();
  return all.result;
}"""


# What a page notes of itself when it is opened, for every page that the path links to.
_OPENED: Final = """() => {
  const name = Object.keys(localStorage).find((key) => key.endsWith(":person"));
  const links = [...document.querySelectorAll("[data-form=page] .bench-step-what a")];
  const opened = Object.fromEntries(links.map(({ href }) => [new URL(href).pathname, new Date().toISOString()]));
  const key = name.replace(/person$/, "") + "opened:" + JSON.parse(localStorage.getItem(name));
  localStorage.setItem(key, JSON.stringify(opened));
  window.dispatchEvent(new Event("storage"));
}"""
_DONE: Final = """async (until) => {
  const path = document.querySelector("bench-path");
  const told = JSON.parse(path.querySelector("script[data-bench=learning]").textContent);
  const { id, edition, steps } = told.paths.find((one) => one.id === path.dataset.path);
  const name = Object.keys(localStorage).find((key) => key.endsWith(":person"));
  const person = JSON.parse(localStorage.getItem(name));
  const at = new Date().toISOString();
  const day = new Intl.DateTimeFormat("sv-SE").format(new Date());
  const [{ name: database }] = (await indexedDB.databases()).filter(({ name }) => name.endsWith("kept"));
  const open = indexedDB.open(database);
  await new Promise((done) => (open.onsuccess = done));
  const change = open.result.transaction("records", "readwrite");
  const put = (kind, key, value) =>
    change.objectStore("records").put({ kind, id: key, value: { at, id: key, person, path: id, edition, on: day, ...value } });
  for (const step of steps.slice(0, steps.findIndex((one) => one.id === until))) {
    const key = `${person}/${id}/${step.id}`;
    if (step.form === "page") put("step", key, { step: step.id });
    if (step.form === "task") put("signed", key, { step: step.id, senior: "M. Fennick" });
    const { kind: exercise, unit, pack, count } = step.practice ?? {};
    for (let seed = 1; seed <= (count ?? 0); seed += 1)
      put("attempt", `${key}-${seed}`, { step: step.id, exercise, unit, pack, seed, right: true, first: true });
  }
  await new Promise((done) => (change.oncomplete = done));
  open.result.close();
}"""


def note_all_opened(page: Page) -> None:
    """Notes for who is learning that every page of the path that is open was opened, as those pages would."""
    page.evaluate(_OPENED)


def do_before(page: Page, step: str) -> None:
    """Puts into the database that who is learning has done every step before one, on the path that is open; then opens it again."""
    page.evaluate(_DONE, step)
    page.reload()


def records_in(page: Page, database: str = "kept") -> list[Any]:
    """Every record, by kind and id.

    Args:
        page: a page of the manual that has opened its database.
        database: what its name ends with.
    """
    found: list[Any] = page.evaluate(_READ, database)
    return found
