"""Spoils data files and pages: trees of YAML by their structure, texts by their lines and signs, files by their bytes."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable, Iterable, Sequence
from typing import Any, Final

import yaml

from build_hooks.model import Keys

__all__ = [
    "CLIMBING",
    "MARK",
    "PAYLOADS",
    "Raw",
    "emitted",
    "spoilt_bytes",
    "spoilt_page",
    "spoilt_yaml",
    "tree_or_none",
    "words_of",
]

MARK: Final = "zqx"
"""Stands in every payload: no element and no attribute of a page may ever be called so."""

PAYLOADS: Final = (
    f"<{MARK} on{MARK}=1>", f'"><{MARK}>', f"'><{MARK}>", f'" on{MARK}="1', f"' on{MARK}='1", f"</script><{MARK}>", f"<script>{MARK}</script>",
    f"</title></textarea></style></math><{MARK}>", f"<!--<script>{MARK}", f"-->{MARK}<{MARK}>", f"]]><{MARK}>", f"<![CDATA[<{MARK}>",
    f"javascript:{MARK}",
    f"[a](javascript:{MARK})", f"![a](javascript:{MARK})", f"[a](java\tscript:{MARK})", f"<a href=javascript:{MARK}>a</a>", f"<javascript:{MARK}>",
    f"[a]: javascript:{MARK}", f"{{: on{MARK}=1 onclick={MARK} }}", f"# a {{#a onclick={MARK} href=javascript:{MARK}}}", f"&lt;{MARK}&gt;",
    f"&#60;{MARK}&#x3e;",
    f"`<{MARK}>`", f"``` <{MARK}>", f"<svg/onload={MARK}>", f"<img src=x onerror={MARK}>", f"<img src=//{MARK}.example/>",
    f"![a](//{MARK}.example/a.png)",
    f"data:text/html,<{MARK}>", f"\u2028<{MARK}>", f"<{MARK.upper()}>", f"<style>{MARK}", f"{{{{ {MARK} }}}}", f"<iframe src={MARK}>",
    f"\\<{MARK}>", f"<{MARK}",
    f"<?{MARK}?>", f"<!{MARK}>", f"</{MARK}>", f"&#x6a;avascript:{MARK}", f'<div data-bench-block="0"></div><{MARK}>',
    '<div data-bench-block="0"></div>',
    f"<p markdown=1><{MARK}></p>", f'<div markdown="1" on{MARK}="1">', f"\x02<{MARK}>\x03", f"<a title='{MARK}\">'<{MARK}>",
    f"\\u003c{MARK}\\u003e",
    f'!!! danger "<{MARK}>"', f"$$<{MARK}>$$", f"| <{MARK}> |\n|---|\n", f"[<{MARK}>]({MARK} '\"><{MARK}>')", f"*[{MARK}]: <{MARK}>",
)  # fmt: skip

CLIMBING: Final = (
    "../secret.txt", "../../secret.txt", "../secret.png", "../../secret.png", "/etc/passwd", "../" * 12 + "etc/passwd", "..", ".", "/",
    "//etc/passwd",
    "%2e%2e/secret.png", "..%2fsecret.png", "..%252fsecret.png", "..\\secret.png", "photos/../../secret.png", "photos/out.png",
    "photos/out/secret.png",
    "out/secret.png", "out/../secret.png", "./../secret.png", "file:///etc/passwd", "file:../secret.png", "\u2024\u2024/secret.png",
    "..\u2215secret.png",
    "a.png\x00.jpg", "~/secret.png", "/proc/self/environ", "/dev/zero", "../docs/../secret.png", ".hidden.png", "../secret.md", "out.md",
    "..;/secret.png",
    "../secret.png#a", "../secret.png?a", "photos/a.png/../../../secret.png", " ../secret.png", "../secret.png ", "http://zqx.example/a.png",
    "a" * 300 + ".png",
)  # fmt: skip

_TEXTS: Final = (
    "", " ", "\u202eabc", "\u2066a\u2069", "\u200b", "\ufeff", "\u2028", "\u0085", "\u00a0", "a\tb", "a\nb", "a\r\nb", "\U0001f9f0", "e\u0301",
    "\u0130", "ß",
    "٣", "²", "½", "１", "\u0000", "\u0007", "\ud800", "\udfff", "-", "--", "---", "...", "#", "# accept odd-length: so", "[key]", "__class__",
    "id", "true",
    "null", "~", "none", "standards", "con", "..", "a/b", "a\\b", "%s", "{0}", "{name}", "$HOME",
    "x" * 5000, "1" * 400, "a-" * 60, "\u0300" * 50, "a b " * 400,
)  # fmt: skip
_MEASURES: Final = (
    "0", "-1", "1e9", "1e999", "1e-999", "1E400 mm", "0.0000001 mm", "99999999999999999999 mm", "-0.00 mm", "NaN", "inf", "-inf mm", "nan mm",
    "1.80 mm ± 1.79",
    "1.80 mm ± 0", "1.80 mm ± -0.1", "1.80 mm +0.02", "1.80 mm +0.02 -0.01", "1.80 ± 0.02 mm", "1.80 in", "0.07 in", "1,80 mm", "1.8.0 mm",
    "1.80mm", "1.80 furlong",
    "1 psi", "5 N m", "4 positions", "0 positions", "999999999 positions", "80 degC", "5 min", "30 s", "1:30", "1/0 mm", "1/3 in", "0x1F mm",
    "１.８ mm", "−1 mm", "1 mm 2 mm",
    "1e3 mm", "1_000 mm", "٣ mm", "mm", "± mm", "1.80 ± mm", "0." + "0" * 90 + "1 mm", "9" * 90 + " mm", "1e2147483648 mm", "0.90 to 1.40 mm",
    "2 x", "3 x 4", "50 %",
)  # fmt: skip


class Raw(str):
    """A text that is put into YAML as it is, without quotation marks."""

    __slots__ = ()


_RAW: Final = tuple(map(Raw, (
    "&a x", "*a", "&a [*a]", "!!binary x", "!!python/object/apply:os.system [id]", "!x", "| x", ">-", ".nan", ".inf", "-.inf", "0x1F", "0o7",
    "010", "1e3", "2026-02-30",
    "2026-13-01", "0000-00-00", "9999-12-31", "0001-01-01", "2026-11-29", "yes", "~", "", "null", "true", "-0", "00", "999999999", "9999999999",
    "1.0", "[", "{", "]", "'", '"',
    "{a, b: c}", "{? a : b}", "? a", "- a", "a: b: c", "%a", "@a", "`a", "[[[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]]",
    "{a: {a: {a: {a: {a: {a: {}}}}}}}", "---", "...",
    '"\\ud800"', '"\\x00"', '"\\u2028"', '"\\N"', "# a", "a #b", "[,]", "{,}", "[a,,b]", '"a" b', "{<<: {a: b}}", "{a: 1, a: 2}", "{1: a}",
    "{null: a}", "{[a]: b}", "{true: a}",
)))  # fmt: skip
_OTHER: Final[tuple[Any, ...]] = (
    None,
    True,
    False,
    0,
    1,
    -1,
    2,
    60,
    61,
    100,
    999999999,
    [],
    {},
    [None],
    [[]],
    [{}],
    {"": None},
    {"a": {}},
    ["a", "a"],
    {"<<": {"a": 1}},
)
_PLAIN: Final = re.compile(r"[A-Za-z][\w ./±+°-]*[\w.]|\d+(\.\d+)? [A-Za-z ]+[A-Za-z]( ± \d+\.\d+)?|[a-z]")
_NUMBER: Final = re.compile(r"\d+(?:\.\d+)?")
_ALIAS: Final = re.compile(r"(?:^|[\s\[{,:-])\*\S", re.MULTILINE)
_HALVES: Final = re.compile("[\ud800-\udfff]")
_DEEPEST: Final = 30
_LARGEST: Final = 30_000


def words_of(texts: Iterable[str]) -> tuple[str, ...]:
    """Whatever the models know as a key, and the short texts of the data that the fuzzer begins with."""
    keys: set[str] = set()
    waiting: list[type[Keys]] = [Keys]
    while waiting:
        model = waiting.pop()
        keys |= set(model.model_fields)
        waiting += model.__subclasses__()
    values = {found for text in texts for found in re.findall(r"[\w-]+", text) if len(found) < 30}
    return (*sorted(keys), *sorted(values - keys))


def _odd(chance: random.Random, words: Sequence[str]) -> Any:
    """A value that nobody expects."""
    kind = chance.random()
    if kind < 0.22:
        return chance.choice(words)
    if kind < 0.36:
        return chance.choice(PAYLOADS)
    if kind < 0.54:
        return chance.choice(_MEASURES)
    if kind < 0.66:
        return chance.choice(_TEXTS)
    if kind < 0.80:
        return chance.choice(_RAW)
    if kind < 0.83:
        return chance.choice(CLIMBING)
    if kind < 0.93:
        return chance.choice(_OTHER)
    if kind < 0.97:
        return {chance.choice(words): _odd(chance, words) for _ in range(chance.randint(1, 4))}
    return [_odd(chance, words) for _ in range(chance.randint(1, 6))]


def _text_changed(text: str, chance: random.Random, words: Sequence[str]) -> str:
    kind = chance.randrange(6)
    found = list(_NUMBER.finditer(text))
    if found and kind < 3:
        number = chance.choice(found)
        other = chance.choice(
            (
                "0",
                "1",
                "50",
                f"{number[0]}0",
                f"0.0{number[0]}",
                f"-{number[0]}",
                f"{number[0]}.",
                f"{number[0]}e9",
                chance.choice(_MEASURES),
            )
        )
        return text[: number.start()] + other + text[number.end() :]
    if kind == 3:
        return f"{text}{chance.choice(PAYLOADS)}"
    at = chance.randint(0, len(text))
    if kind == 4:
        return text[:at] + chance.choice(_TEXTS) + text[at:]
    return text[:at] + chance.choice((" ", "-", "", chance.choice(words))) + text[at + 1 :]


def _tree_spoilt(tree: Any, chance: random.Random, words: Sequence[str], other: Any, depth: int = 0) -> Any:
    """A copy of a tree with one change, which shares with it whatever is as it was."""
    size = len(tree) if isinstance(tree, (dict, list)) else 0
    if size and depth < _DEEPEST and chance.random() < 0.82:
        if isinstance(tree, list):
            at = chance.randrange(size)
            return [*tree[:at], _tree_spoilt(tree[at], chance, words, other, depth + 1), *tree[at + 1 :]]
        key = chance.choice(list(tree))
        return {
            name: _tree_spoilt(value, chance, words, other, depth + 1) if name == key else value for name, value in tree.items()
        }
    if isinstance(tree, dict):
        return _keys_changed(tree, chance, words, other)
    if isinstance(tree, list):
        return _items_changed(tree, chance, words, other)
    if isinstance(tree, str) and chance.random() < 0.4:
        return _text_changed(tree, chance, words)
    if depth and chance.random() < 0.1:
        return _part_of(other, chance)
    return _odd(chance, words)


def _keys_changed(tree: dict[Any, Any], chance: random.Random, words: Sequence[str], other: Any) -> Any:
    kind = chance.randrange(7)
    keys = list(tree)
    if kind == 0 and keys:
        gone = chance.choice(keys)
        return {key: value for key, value in tree.items() if key != gone}
    if kind == 1 and keys:
        old, new = chance.choice(keys), chance.choice((chance.choice(words), chance.choice(keys), _odd(chance, words)))
        name = new if isinstance(new, str) else str(new)
        return {name if key == old else key: value for key, value in tree.items()}
    if kind == 2 and keys:
        one, two = chance.choice(keys), chance.choice(keys)
        return {**tree, one: tree[two], two: tree[one]}
    if kind == 3 and keys:
        return {**tree, chance.choice(words): tree[chance.choice(keys)]}
    if kind == 4:
        return [tree] if chance.random() < 0.5 else {chance.choice(words): tree}
    if kind == 5:
        return {**tree, chance.choice(words): _part_of(other, chance)}
    return {**tree, chance.choice(words): _odd(chance, words)}


def _items_changed(tree: list[Any], chance: random.Random, words: Sequence[str], other: Any) -> Any:
    kind = chance.randrange(6)
    if kind == 0 and tree:
        at = chance.randrange(len(tree))
        return [*tree[:at], *tree[at + 1 :]]
    if kind == 1 and tree:
        return [*tree, chance.choice(tree)] * (1 if chance.random() < 0.9 else 40)
    if kind == 2:
        return chance.sample(tree, len(tree))
    if kind == 3:
        return tree[0] if tree and chance.random() < 0.5 else {"of": tree, "repeat": 3}
    if kind == 4:
        return [*tree, _part_of(other, chance)]
    return [*tree, _odd(chance, words)]


def _part_of(tree: Any, chance: random.Random) -> Any:
    while isinstance(tree, (dict, list)) and tree and chance.random() < 0.75:
        tree = chance.choice(list(tree.values()) if isinstance(tree, dict) else tree)
    return tree


def emitted(tree: Any, chance: random.Random) -> str:
    """A tree as YAML, one value a line or in braces, as it happens."""
    return f"{_emitted(tree, chance, 0, flow=False).lstrip()}\n"


def _emitted(value: Any, chance: random.Random, depth: int, *, flow: bool) -> str:
    if isinstance(value, (dict, list)):
        if not value:
            return "{}" if isinstance(value, dict) else "[]"
        if flow or depth > 6 or (depth and chance.random() < 0.12):
            return _in_braces(value, chance, depth)
        pad = "\n" + "  " * depth
        if isinstance(value, dict):
            return "".join(
                f"{pad}{_scalar(key, chance)}: {_emitted(item, chance, depth + 1, flow=False)}" for key, item in value.items()
            )
        return "".join(f"{pad}- {_emitted(item, chance, depth + 1, flow=True)}" for item in value)
    return _scalar(value, chance)


def _in_braces(value: Any, chance: random.Random, depth: int) -> str:
    if isinstance(value, dict):
        return (
            "{"
            + ", ".join(f"{_scalar(key, chance)}: {_emitted(item, chance, depth + 1, flow=True)}" for key, item in value.items())
            + "}"
        )
    return "[" + ", ".join(_emitted(item, chance, depth + 1, flow=True) for item in value) + "]"


def _scalar(value: Any, chance: random.Random) -> str:
    if isinstance(value, Raw):
        return str(value)
    if isinstance(value, str):
        if _PLAIN.fullmatch(value) and value not in {"true", "false", "null"}:
            return value
        if chance.random() < 0.03:
            return value
        return json.dumps(value, ensure_ascii=chance.random() < 0.3)
    return json.dumps(value) if value is None or isinstance(value, (bool, int, float)) else str(value)


def spoilt_yaml(text: str, tree: Any, chance: random.Random, words: Sequence[str], other: Any) -> str:
    """A data file with one to four changes.

    Args:
        text: the file.
        tree: what it says; None where it says nothing that can be read.
        chance: where the changes come from.
        words: what may stand in such a file.
        other: the tree of another file, to take parts of.
    """
    if tree is None or chance.random() < 0.15:
        return _writable(_slipped(text, chance, words))
    for _ in range(chance.choice((1, 1, 1, 2, 2, 3, 4))):
        tree = _tree_spoilt(tree, chance, words, other)
    made = emitted(tree, chance)[:_LARGEST]
    return _writable(_slipped(made, chance, words) if chance.random() < 0.12 else made)


def _writable(text: str) -> str:
    """Without halves of surrogate pairs: no file in UTF-8 holds any, and bytes that claim to are spoilt elsewhere."""
    return _HALVES.sub("\N{REPLACEMENT CHARACTER}", text)


def _line(slip: Callable[[list[str], int, random.Random], list[str]]) -> Callable[[str, random.Random], str]:
    def change(text: str, chance: random.Random) -> str:
        lines = text.split("\n")
        return "\n".join(slip(lines, chance.randrange(len(lines)), chance))

    return change


def _sign(signs: Sequence[str]) -> Callable[[str, random.Random], str]:
    def change(text: str, chance: random.Random) -> str:
        at = chance.randint(0, len(text))
        return text[:at] + chance.choice(signs) + text[at + chance.randint(0, 2) :]

    return change


_SLIPS: Final[tuple[Callable[[str, random.Random], str], ...]] = (
    _line(lambda lines, at, _: [*lines[:at], *lines[at + 1 :]]),
    _line(lambda lines, at, chance: [*lines[:at], chance.choice(lines), *lines[at:]]),
    _line(lambda lines, at, chance: [*lines[:at], chance.choice(("  ", "\t", " ", "    ", "> ", "- ", "1. ", "# ")) + lines[at], *lines[at + 1 :]]),
    _line(lambda lines, at, chance: [*lines[:at], lines[at].lstrip(), *lines[at + 1 :]]),
    _line(lambda lines, at, chance: [*lines[:at], lines[at] + chance.choice(PAYLOADS), *lines[at + 1 :]]),
    _line(lambda lines, at, chance: [*lines[:at], chance.choice(PAYLOADS), *lines[at:]]),
    _sign((":", ",", "[", "]", "{", "}", "'", '"', "#", "-", "&", "*", "!", "|", ">", "?", "%", "@", "`", "\\", "~", "<", "=",
           "\n", "\t", "\r", "\r\n", " ")),
    _sign(_TEXTS),
    _sign(_MEASURES),
    lambda text, _: text.replace("\n", "\r\n"),
    lambda text, _: text.replace("\n", "\r"),
    lambda text, _: f"\ufeff{text}",
    lambda text, chance: text[: chance.randint(0, len(text))],
    lambda text, chance: text.replace("\n", chance.choice(("\u2028", "\x85", "\n\n", "\x0b", "\x0c", "\x1c")), chance.randint(1, 3)),
)  # fmt: skip


def _slipped(text: str, chance: random.Random, words: Sequence[str]) -> str:
    for _ in range(chance.choice((1, 1, 2, 3))):
        text = (
            chance.choice(_SLIPS)(text, chance)
            if chance.random() < 0.85
            else text.replace(chance.choice(words), chance.choice(words), 1)
        )
    return text[:_LARGEST]


_SIGNS: Final = (
    "```", "~~~", "```calc\n", "```photo\nfile: photos/a.png\nshows: A\n```\n", "`", "``", "**", "_", "[", "](", ")", "![", "<", ">", "</",
    "<!--", "-->", "|", "\n|---|\n", "!!! danger\n",
    "!!! hold\n    ", "    ", "\t", "\n\n", "\n", "1. ", "- ", "- [ ] ", "> ", "# ", "###### ", "{: ", "}", "{#", "&", "&amp;", "&#", ";", "\\",
    "***", "---", "\n---\n", "[^1]", "[a]: b", "$", "=",
    "<div>", "</div>", '<div markdown="1">', "<p>", "<table><tr><td>", "<pre>", "<details><summary>", "<input type=checkbox>", "<math><mi>",
    "<svg><path d=M0>", "<a name=a>", "<br/>", "<img src=a.png>",
    "<span class='x' style='color:red'>", "<h1>", "</h1>", "<!doctype html>", "<?php", "<![CDATA[", "]]>", "\x02", "\x03", "\u2028", "\r",
)  # fmt: skip


def spoilt_page(text: str, chance: random.Random, words: Sequence[str], other: str) -> str:
    """A page with one to five changes in its Markdown; `other` is another page, to take lines of."""
    for _ in range(chance.choice((1, 1, 2, 2, 3, 5))):
        kind = chance.random()
        at = chance.randint(0, len(text))
        if kind < 0.25:
            text = _slipped(text, chance, words)
        elif kind < 0.5:
            text = text[:at] + chance.choice(PAYLOADS) + text[at:]
        elif kind < 0.75:
            sign = chance.choice(_SIGNS)
            text = text[:at] + (sign * chance.choice((1, 1, 1, 2, 3, 30))) + text[at:]
        elif kind < 0.85:
            lines = other.split("\n")
            start = chance.randrange(len(lines))
            text = text[:at] + "\n" + "\n".join(lines[start : start + chance.randint(1, 6)]) + "\n" + text[at:]
        elif kind < 0.92:
            text = (
                text[:at]
                + f"{chance.choice(('[a](', '![a](', '<img src='))}{chance.choice(CLIMBING)}{chance.choice((')', '>', ' '))}"
                + text[at:]
            )
        else:
            end = min(len(text), at + chance.randint(1, 40))
            text = text[:at] + text[at:end] * chance.choice((0, 2, 2, 20)) + text[end:]
    return _writable(text[:_LARGEST])


def spoilt_bytes(data: bytes, chance: random.Random) -> bytes:
    """A file in which bytes were changed, lost, doubled or put in."""
    made = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 4, 8))):
        at = chance.randint(0, len(made))
        kind = chance.randrange(5)
        if kind == 0 and at < len(made):
            made[at] ^= 1 << chance.randrange(8)
        elif kind == 1:
            made[at:at] = chance.choice(
                (
                    b"\x00",
                    b"\xff",
                    b"\xc0\xaf",
                    b"\xed\xa0\x80",
                    b"\xf4\x90\x80\x80",
                    b"\xef\xbb\xbf",
                    b"\xfe\xff",
                    b"\r",
                    b"\x1b[2J",
                    b"\xe2\x80\xae",
                )
            )
        elif kind == 2:
            del made[at : at + chance.randint(1, 30)]
        elif kind == 3:
            made[at:at] = made[at : at + chance.randint(1, 30)]
        else:
            made[at : at + 4] = chance.randbytes(4)
    return bytes(made)


def tree_or_none(text: str) -> Any:
    """What a text says, to be spoilt by its structure; None where a usual reader cannot read it as keys or a list."""
    if _ALIAS.search(text):
        # Such a tree may hold itself.
        return None
    try:
        found = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))  # noqa: S506 - it is the safe one
    except (yaml.YAMLError, ValueError, OverflowError, RecursionError, TypeError):
        return None
    return found if isinstance(found, (dict, list)) else None
