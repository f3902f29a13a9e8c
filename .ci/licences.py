"""Copies the licence files of every library that is linked into the program.

usage: cargo metadata --format-version 1 --filter-platform TARGET | licences.py FOLDER
"""

import json
import pathlib
import shutil
import sys

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


def main():
    folder = pathlib.Path(sys.argv[1])
    rows = []
    for package in sorted(linked(json.load(sys.stdin)), key=lambda one: (one["name"], one["version"])):
        name = f"{package['name']}-{package['version']}"
        home = pathlib.Path(package["manifest_path"]).parent
        files = [path for path in sorted(home.iterdir()) if path.is_file() and path.name.lower().startswith(NAMES)]
        for path in files:
            (folder / name).mkdir(exist_ok=True)
            shutil.copyfile(path, folder / name / path.name)
        if not package["license"]:
            sys.exit(f"{name} names no licence")
        rows.append(f"{name}: {package['license']}" + ("" if files else " (its package holds no licence text)"))
    (folder / "list.txt").write_text("\n".join(rows) + "\n")


main()
