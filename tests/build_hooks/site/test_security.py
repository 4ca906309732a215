"""The policy lets in the scripts that templates wrote, by their hash, and nothing that came into a page later."""

import base64
import hashlib

import pytest
from jinja2 import DictLoader, Environment

from build_hooks.site.security import InlineScripts, content_security_policy, inline_scripts

TEMPLATE = (
    '<title>{{ page.title }}</title><script>go("{{ base_url }}")</script><script src="a.js"></script>'
    '<script type="application/json">{}</script>{{ page.content }}'
)


def rendered(scripts: InlineScripts, template: str, **page: str) -> str:
    """A page as a theme makes it, with nothing of its data escaped."""
    environment = Environment(loader=DictLoader({"main.html": template}))  # noqa: S701 - as the theme's own
    scripts.watch(environment)
    return scripts.take(environment.get_template("main.html").render(page=page, base_url=".."))


def test_only_scripts_that_run_are_hashed() -> None:
    """A script with a source and a script of data need no hash."""
    page = '<script src="a.js"></script><script type="application/json">{}</script><script>go(1 < 2 && "&amp;")</script>'
    assert inline_scripts(page) == ('go(1 < 2 && "&amp;")',)


def test_the_policy_names_each_script_once() -> None:
    """The hash is over the exact bytes; eval is never allowed."""
    policy = content_security_policy(["go()", "go()"])
    expected = base64.b64encode(hashlib.sha256(b"go()").digest()).decode()
    assert policy.count(f"'sha256-{expected}'") == 1
    assert "'wasm-unsafe-eval'" in policy
    assert "'unsafe-eval'" not in policy
    assert "script-src 'self' 'wasm-unsafe-eval' 'sha256-" in policy


def test_a_template_may_write_scripts_and_its_data_may_not() -> None:
    """A script in a title or a text is on no list and is found, wherever it stands and whatever it pretends to be."""
    scripts = InlineScripts()
    payload = "</title><script>__x=1</script>"
    page = rendered(scripts, TEMPLATE, title=payload, content='<script data-written="0">__x=2</script>')
    assert scripts.written == {'go("..")'}
    assert scripts.strays(page) == ("__x=1", "__x=2")


def test_the_page_is_served_without_marks() -> None:
    """What a template writes is served as it wrote it."""
    scripts = InlineScripts()
    page = rendered(scripts, TEMPLATE, title="Seals", content="<p>Text</p>")
    assert page == (
        '<title>Seals</title><script>go("..")</script><script src="a.js"></script>'
        '<script type="application/json">{}</script><p>Text</p>'
    )
    assert scripts.strays(page) == ()


@pytest.mark.parametrize(
    ("stray", "found"),
    [
        ("<script>__x=1</script>", "__x=1"),
        ("<SCRIPT>__x=1</SCRIPT>", "__x=1"),
        ('<script type="module" src>__x=1</script>', None),
        ('<script id="a" type="text/javascript" type="application/json">__x=1</script>', "__x=1"),
        ("<script type=module>__x=1</script>", "__x=1"),
        ('<script>go("..")</script\n><script\n>__x=1</script>', "__x=1"),
        ('<script data-a=">"">__x=1</script>', "__x=1"),
        ('<script>go("..")<script></script><script type="application/json"></script><script async>__x=1</script>', "__x=1"),
    ],
)
def test_a_stray_is_found_beside_the_scripts_of_a_template(stray: str, found: str | None) -> None:
    """However it is written. Pages that hold nothing but plain scripts need no reading tag by tag; this one does."""
    scripts = InlineScripts()
    page = rendered(scripts, TEMPLATE, title="Seals", content=stray)
    assert scripts.strays(page) == tuple(script for script in inline_scripts(page) if script not in scripts.written)
    assert any(found in script for script in scripts.strays(page)) if found else scripts.strays(page) == ()


def test_a_script_that_a_page_writes_into_is_on_no_list() -> None:
    """A template that puts a page's own words into a script would let them run."""
    scripts = InlineScripts()
    page = rendered(scripts, '<script>go("{{ page.title }}")</script>', title='");__x=1;("')
    assert scripts.written == set()
    assert scripts.strays(page) == ('go("");__x=1;("")',)
