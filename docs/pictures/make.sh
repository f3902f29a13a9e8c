#!/usr/bin/env bash
# Draws the pictures of the README from the demo book, anew. Needs the built program and Chromium.
set -euo pipefail
cd "$(dirname "$0")/../.."
draff="$PWD/${1:-target/release/draff}"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export TZ=Europe/Dublin
"$draff" --quiet demo --folder "$work/demo" > /dev/null 2>&1
export DRAFF_BOOK="$work/demo/book.draff" DRAFF_NOW='2026-11-20 19:00'
"$draff" sheet B-2Q --html "$work/sheet.html"
"$draff" plan --html "$work/plan.html"
for name in sheet plan; do
    chromium --headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking \
        --disable-component-update --disable-sync --hide-scrollbars --user-data-dir="$work/browser" \
        --window-size=820,1160 --screenshot="$PWD/docs/pictures/$name.png" "file://$work/$name.html" 2> /dev/null
done
