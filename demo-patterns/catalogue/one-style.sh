#!/usr/bin/env bash
# One style of a catalogue: graded into OUT/NAME/set, with what was said and the exit code beside it.
#
#   one-style.sh STYLE.json OUT
#
# NAME is the style's path with / as +. Work that was finished for these very files is not done again: the set is whole or not there
# (lastwright writes it so), and "finished" holds the digests of the style and of every drawing and table beside it. So a night that
# was cut short is simply started again. Exit code: 0 where the style was graded, also when a check failed, which the summary tells;
# else that of lastwright, and the style is tried again the next time.
set -u
style=$1 out=$2
name=${style#/} name=${name#./} name=${name//\//+}
place=$out/${name%.json}
mkdir -p "$place" || exit 6
want=$(find "$(dirname "$style")" -maxdepth 1 -type f \( -name '*.json' -o -iname '*.dxf' \) -print0 | sort -z | xargs -0 sha256sum; "${LASTWRIGHT:-lastwright}" --version)
[ -f "$place/finished" ] && [ "$(cat "$place/finished")" = "$want" ] && exit 0
rm -f "$place/finished"
"${LASTWRIGHT:-lastwright}" grade "$style" --out "$place/set" --force --threads "${THREADS:-1}" --pictures none >"$place/said.txt" 2>&1
code=$?
echo "$code" >"$place/exit"
[ "$code" -le 1 ] || exit "$code"
printf '%s\n' "$want" >"$place/finished.new" && mv "$place/finished.new" "$place/finished"
