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
# What is served is fetched as a paired phone would, and drawn from files.
"$draff" serve --port 0 > "$work/told" 2> /dev/null &
served=$!
trap 'kill "$served"; rm -rf "$work"' EXIT
until grep -q 'pair?key=' "$work/told"; do sleep 0.1; done
house=$(grep -o 'http://[0-9.:]*' "$work/told" | head -n 1)
key=$(grep -o 'key=[0-9a-f]*' "$work/told" | head -n 1)
curl --silent --cookie-jar "$work/cookie" --header "Origin: $house" --data "$key&whose=Nuala" "$house/pair"
for name in today shelf; do
    page=${name/today/}
    curl --silent --cookie "$work/cookie" "$house/$page" > "$work/fetched.html"
    curl --silent "$house$(grep -o '/part/[0-9a-f]*.css' "$work/fetched.html" | head -n 1)" > "$work/page.css"
    sed 's#/part/[0-9a-f]*.css#page.css#' "$work/fetched.html" > "$work/page-$name.html"
done

draw() {
    chromium --headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking \
        --disable-component-update --disable-sync --hide-scrollbars --user-data-dir="$work/browser" \
        --window-size="$2" --screenshot="$PWD/docs/pictures/$1.png" "file://$work/$1.html" 2> /dev/null
}
draw sheet 820,1160
draw plan 820,1160
draw page-today 390,844
draw page-shelf 390,844
