"""Fails where a page of the archive links to a file that the archive does not hold.

usage: links.py FOLDER
"""

import pathlib
import re
import sys

LINK = re.compile(r"\]\(([^)#\s]+)")


def main():
    folder = pathlib.Path(sys.argv[1])
    dead = [
        f"{page.relative_to(folder)}: {link}"
        for page in sorted([*folder.glob("*.md"), *folder.glob("docs/**/*.md")])
        for link in LINK.findall(page.read_text())
        if "://" not in link and not (page.parent / link).exists()
    ]
    if dead:
        sys.exit("dead links in the archive:\n" + "\n".join(dead))


main()
