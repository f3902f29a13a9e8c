#!/bin/sh
# Plays a season at Fernhithe Bakehouse into a new book: demo-data/season.sh BOOK [DAYS]
# All of it is invented. Corrow Weir mashes on Tuesdays and Fridays and is steady. Threnby Lock mashes on Mondays, its
# grain gets wetter from October on, and one brew was hardly drained. The same seed gives the same book.
# DRAFF names the program, where it is not in the PATH.
set -eu

book=$1
days=${2:-91}
draff=${DRAFF:-draff}
folder=$(dirname "$0")
clock="2026-09-01 06:00"
by=Nuala
state=20260901

# A number from 0 up to its argument, without it.
dice() {
    state=$(((state * 1103515245 + 12345) % 2147483648))
    die=$((state / 65536 % $1))
}

# A command of the program, as of the clock.
act() {
    "$draff" --book "$book" --now "$clock" --by "$by" --quiet "$@"
}

# The same, only for what it writes; what is refused is shown.
book_in() {
    said=$(act "$@" 2>&1) || {
        printf '%s, draff %s\n%s\n' "$clock" "$*" "$said" >&2
        return 1
    }
}

# The code of the lot that a pickup brought: source, wet grams, time of the mash-out, grist.
pickup() {
    lot=$(act --json pickup --source "$1" --brewed today --mash-out "$3" --cooled 14:00 --temp 4C \
        --wet "$2g" --grist "$4" --place walk-in 2> /dev/null | sed -n 's/^  "lot": "\(.*\)",$/\1/p')
}

# Sets `month` and `day` to those of the day after.
next_day() {
    day=$((day + 1))
    if [ "$day" -gt 31 ] || { [ "$day" -gt 30 ] && [ "$month" -ne 10 ]; }; then
        day=1
        month=$((month + 1))
    fi
}

# Two samples of some 100 g of a moisture in hundredths of a percent, each a little off.
samples() {
    dice 41
    one=$(((10000 - $2 + die - 20) / 10))
    dice 41
    two=$(((10000 - $2 + die - 20) / 10))
    book_in moisture "$1" --weighing "14.2g,114.2g,$((14 + (one + 2) / 10)).$(((one + 2) % 10))g" \
        --weighing "13.8g,113.8g,$((13 + (two + 8) / 10)).$(((two + 8) % 10))g"
}

act new-book --name "Fernhithe Bakehouse" --zone Europe/Dublin > /dev/null 2>&1
book_in place add walk-in --kind fridge --temp 3C --capacity 60kg
book_in formula add "$folder/formulas/pan-loaf.toml"
book_in formula add "$folder/formulas/hearth-loaf.toml"
book_in settings flour-price 1.10

month=9
day=1
weekday=2
number=0
threnby=0
logged=$(mktemp)
trap 'rm -f "$logged"' EXIT
while [ "$number" -lt "$days" ]; do
    date=$(printf '2026-%02d-%02d' "$month" "$day")

    # The dough of the morning, of the grain that goes first.
    by=Piet
    if [ "$number" -gt 0 ] && [ "$weekday" -ne 7 ]; then
        clock="$date 06:30"
        for bake in $(act --json bake list 2> /dev/null | sed -n 's/^ *"bake": "\(.*\)",$/\1/p'); do
            sheet=$(act --json sheet "$bake" 2> /dev/null || true)
            case "$(printf '%s\n' "$sheet" | sed -n 's/^  "mix_at": "\([0-9-]*\)T.*/\1/p')" in
                "$date") ;;
                *) continue ;;
            esac
            pour=$(printf '%s\n' "$sheet" | sed -n 's/^ *"pour_first_g": \([0-9]*\).*/\1/p')
            back=$(printf '%s\n' "$sheet" | sed -n 's/^ *"likely_back_g": \([0-9]*\).*/\1/p')
            used=$(printf '%s\n' "$sheet" | awk -F '"' '/"draws"/ { inside = 1 } inside && /]/ { exit }
                inside && $2 == "lot" { lot = $4 } inside && $2 == "wet_g" { print "--used", lot "=" substr($3, 3) "g" }' | tr -d ,)
            dice 60
            water=$((${pour:-0} + ${back:-0} * (70 + die) / 100))
            pieces=$(printf '%s\n' "$sheet" | sed -n 's/^  "pieces": \([0-9]*\),$/\1/p')
            baked=$(printf '%s\n' "$sheet" | sed -n 's/^  "baked_g": \([0-9]*\).*/\1/p')
            dice 5
            # shellcheck disable=SC2086
            set -- $used --pieces "$((pieces - die / 4))" --baked "$((baked - 40 * die))g"
            # Now and then nobody has a hand free to write the water down.
            [ "$die" -eq 0 ] || [ -z "$used" ] || set -- "$@" --water "${water}g"
            # Of no grain, or less than its minimum, nobody makes it.
            enough=$(printf '%s\n%s\n' "$sheet" "$(act --json bake show "$bake" 2> /dev/null)" | awk -F '[:,]' '
                /"grain_share"/ { share = $2 } /"total_flour_g"/ { flour = $2 } /"min_dry_g"/ { least = $2 }
                END { print (share * flour >= least) }')
            { [ -n "$used" ] && [ "$enough" -eq 1 ] && book_in bake done "$bake" "$@"; } ||
                book_in bake drop "$bake" --reason "not enough grain in date"
        done
        # What is past goes to the hens.
        for lot in $(act --json shelf 2> /dev/null | awk -F '"' '$2 == "lot" { lot = $4 } $2 == "verdict" && $4 == "past" { print lot }'); do
            book_in discard "$lot" --reason "past its date, to the hens" --as feed
        done
    fi

    # Grain comes in the afternoon and is tested at once, now and then not.
    by=Nuala
    clock="$date 15:30"
    lot=
    if [ "$weekday" -eq 2 ] || [ "$weekday" -eq 5 ]; then
        dice 1600
        [ "$number" -gt 0 ] || die=$((die + 4500))
        pickup "Corrow Weir" $((4700 + die)) 09:30 "pale barley malt 90%, wheat malt 10%"
        dice 61
        wet=$((7700 + die - 30))
    elif [ "$weekday" -eq 1 ]; then
        threnby=$((threnby + 1))
        dice 1200
        pickup "Threnby Lock" $((3800 + die)) 10:10 "pale barley malt 70%, rye malt 30%"
        dice 161
        wet=$((7600 + die - 80))
        [ "$threnby" -lt 5 ] || wet=$((wet + 35 * (threnby - 4)))
        [ "$threnby" -ne 3 ] || wet=8480
    fi
    if [ -n "$lot" ]; then
        clock="$date 16:00"
        dice 8
        [ "$die" -eq 0 ] || samples "$lot" "$wet"
        clock="$date 16:30"
        if [ "$weekday" -eq 5 ]; then
            book_in move "$lot" freezer --wet 1kg
        fi
    fi

    # What did not go as it should: a figure misread, a tub for a neighbour, a walk-in that stood open at night.
    if [ "$date" = 2026-09-15 ]; then
        first=$lot
        pickup "Corrow Weir" 4700 09:30 "pale barley malt 90%, wheat malt 10%"
        entries=$(act --json log "$lot" 2> /dev/null | sed -n 's/^ *"entry": \([0-9]*\),$/\1/p' | sort -rn | uniq)
        # shellcheck disable=SC2086
        book_in strike $entries --reason "the same tub booked twice"
        lot=$first
    fi
    if [ "$weekday" -eq 6 ] && [ -n "${spare:-}" ]; then
        book_in give "$spare" --wet 500g --to "Fernhithe school kitchen" || true
    fi
    [ -z "$lot" ] || spare=$lot

    # What the logger of the walk-in measured that day; in one night in October the door stood open.
    clock="$date 23:30"
    dice 10
    awk -v day="$date" -v seed="$die" -v warm="$((number == 40))" 'BEGIN {
        print "time,temp C"
        for (hour = 0; hour < 22; hour++) {
            printf "%s %02d:00,%.1f\n", day, hour, (warm && hour < 3 ? 8.2 : 2.6 + (hour * 7 + seed) % 9 / 10)
        }
    }' > "$logged"
    book_in readings walk-in --csv "$logged" --zone UTC

    # The doughs of the coming days, and a plan for them.
    clock="$date 17:00"
    if [ "$weekday" -eq 1 ] || [ "$number" -eq 0 ]; then
        # The mornings from the next one up to that after the next planning, without the Sunday.
        today="$month $day"
        for coming in 1 2 3 4 5 6 7; do
            [ "$weekday" -eq 1 ] || [ "$coming" -lt 7 ] || break
            next_day
            [ $(((weekday + coming) % 7)) -ne 0 ] || continue
            at=$(printf '2026-%02d-%02d 06:00' "$month" "$day")
            book_in bake add "Quern pan loaf" --at "$at" mix
            [ $(((weekday + coming) % 7)) -ne 4 ] || book_in bake add "Weir hearth loaf" --at "$at" mix --optional
        done
        month=${today% *}
        day=${today#* }
    fi
    [ -z "$lot" ] || book_in plan --days 7 --accept || true

    number=$((number + 1))
    weekday=$((weekday % 7 + 1))
    next_day
done
