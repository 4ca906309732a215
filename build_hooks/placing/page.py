"""The page: a photograph to point at, the words of each point, and the block that comes of them."""

from __future__ import annotations

import json
from html import escape
from typing import Final

from build_hooks.placing.subject import Subject

__all__ = ["PICTURE", "SCRIPTS", "page_of"]

PICTURE: Final = "picture"
SCRIPTS: Final = "browser/"

_PAGE: Final = """\
<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Call-outs of {name}</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="{scripts}placing/placing.css">
<script type="module" src="{scripts}placing/placing.js"></script>
</head>
<body>
<main data-start="{start}">
<h1>Call-outs of {name}</h1>
<noscript><p>This page needs scripts. Allow them for this address.</p></noscript>
<div class="columns">
<section aria-labelledby="picture-heading">
<h2 id="picture-heading">1. Point</h2>
<p id="how">Click or tap what a number is to stand on. With keys: the arrow keys move the cross by 1 %, with Shift by 0.1 %, and
Enter sets a number; from its words, Enter leads back to the picture. A number is moved with the same keys, or dragged.</p>
<div class="edge"><div id="frame" tabindex="0" role="application" aria-label="The picture, with a cross to move" aria-describedby="how">
<img src="{picture}" alt="" width="{width}" height="{height}" draggable="false">
<div id="cross" hidden></div>
<div id="marks"></div>
</div></div>
<p id="place" role="status"></p>
</section>
<section aria-labelledby="words-heading">
<h2 id="words-heading">2. Say what is there</h2>
<label for="shows">What the picture shows, in a sentence, for those who cannot see it</label>
<textarea id="shows" rows="2"></textarea>
<ol id="rows" aria-label="Call-outs"></ol>
<p id="none">No call-out yet.</p>
<h2>3. Copy the block</h2>
<label for="folder">The folder of the page that it goes into</label>
<select id="folder"></select>
<label for="block">The block</label>
<textarea id="block" rows="9" readonly spellcheck="false"></textarea>
<ul id="problems" aria-label="What is missing" aria-live="polite"></ul>
<p class="buttons"><button type="button" id="copy">Copy</button> <span id="copied" role="status"></span></p>
</section>
</div>
<section aria-labelledby="pasted-heading">
<h2 id="pasted-heading">Correct a block that is there already</h2>
<label for="pasted">Paste the block. It takes the place of what is above; its comments are left out</label>
<textarea id="pasted" rows="6" spellcheck="false"></textarea>
<ul id="refused" aria-label="What is wrong with it" aria-live="assertive"></ul>
<p class="buttons"><button type="button" id="take">Take it over</button> <span id="taken" role="status"></span></p>
</section>
<p class="buttons" id="anew"></p>
</main>
</body>
</html>
"""


def page_of(subject: Subject) -> str:
    """The page for one photograph."""
    start = {
        "picture": subject.path,
        "folders": [{"value": folder, "words": f"{subject.docs}/{folder}".rstrip("/")} for folder in subject.folders],
        "folder": subject.nearest,
    }
    return _PAGE.format(
        name=escape(subject.path),
        scripts=SCRIPTS,
        start=escape(json.dumps(start)),
        picture=PICTURE,
        width=subject.picture.width,
        height=subject.picture.height,
    )
