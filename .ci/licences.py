"""Copies the licence files of every library that is linked into the program.

usage: cargo metadata --format-version 1 --filter-platform TARGET | licences.py FOLDER MIT_TEXT

A package without a licence text has to be under MIT: the standard text is written once, with the authors whom these packages name.
"""

import json
import pathlib
import shutil
import sys

HOLDERS = "Copyright (c) <year> <copyright holders>"
NAMES = ("licen", "copying", "notice", "unlicense", "copyright")


def linked(metadata):
    """The packages that the program itself depends on, not those of its tests or of build scripts."""
    nodes = {node["id"]: node for node in metadata["resolve"]["nodes"]}
    root = metadata["resolve"]["root"]
    found, to_see = set(), [root]
    while to_see:
        here = to_see.pop()
        for dependency in nodes[here]["deps"]:
            is_linked = any(kind["kind"] is None for kind in dependency["dep_kinds"])
            if is_linked and dependency["pkg"] not in found:
                found.add(dependency["pkg"])
                to_see.append(dependency["pkg"])
    return [package for package in metadata["packages"] if package["id"] in found]


def copyright_line(package):
    name = f"{package['name']} {package['version']}"
    if "MIT" not in package["license"]:
        sys.exit(f"{name} holds no licence text and is not under MIT")
    if not package["authors"]:
        sys.exit(f"{name} holds no licence text and names no authors")
    return f"Copyright (c) {', '.join(package['authors'])} ({name})"


def main():
    folder, mit = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]).read_text()
    if HOLDERS not in mit:
        sys.exit(f"{sys.argv[2]} has no line `{HOLDERS}`")
    rows, holders = [], []
    for package in sorted(linked(json.load(sys.stdin)), key=lambda one: (one["name"], one["version"])):
        name = f"{package['name']}-{package['version']}"
        home = pathlib.Path(package["manifest_path"]).parent
        files = [path for path in sorted(home.iterdir()) if path.is_file() and path.name.lower().startswith(NAMES)]
        for path in files:
            (folder / name).mkdir(exist_ok=True)
            shutil.copyfile(path, folder / name / path.name)
        if not package["license"]:
            sys.exit(f"{name} names no licence")
        if not files:
            holders.append(copyright_line(package))
        rows.append(f"{name}: {package['license']}" + ("" if files else " (MIT.txt: its package holds no licence text)"))
    if holders:
        (folder / "MIT.txt").write_text(mit.replace(HOLDERS, "\n".join(holders)))
    (folder / "list.txt").write_text("\n".join(rows) + "\n")


main()
