#!/usr/bin/env bash
# One style of a catalogue, graded into its folder of OUT (place.sh says which):
#
#   one-style.sh STYLE.json OUT
#
#   set       what was graded, whole or not there
#   said.txt  what the program said
#   exit      its exit code, once it has ended
#   finished  where the code is 0 or 1: SHA-256 of every file that the style is read from, and the version of the program
#   old-set   a set of earlier files, until the style can be graded again
#
# Work that was finished for these very files is not done again; a night that was cut short is simply started again. When it is cut, nothing
# here is wrong: "finished" goes first and comes last, "exit" of 0 or 1 holds only beside it. Exit code: 0 where the style was graded, also
# when a check failed, which the summary tells; else that of lastwright, or 6, with a line on standard error, and the style is tried again
# the next time.
set -u
. "$(dirname "${BASH_SOURCE[0]}")/place.sh"
style=$1 out=$2 program=${LASTWRIGHT:-lastwright}

fail() { # WHY CODE
  printf 'one-style.sh: %s: %s\n' "$style" "$1" >&2
  exit "$2"
}

# What the set depends on; fails where a file is missing.
sources() {
  local listed files
  listed=$("$program" check "$style" --list-files) || return 1
  mapfile -t files <<<"$listed"
  sha256sum -- "${files[@]}" || return 1
  "$program" --version
}

# Whole, or as it was.
put() { # FILE TEXT
  printf '%s\n' "$2" >"$place/$1.new" && sync "$place/$1.new" && mv "$place/$1.new" "$place/$1" || fail "$place/$1 cannot be written" 6
}

put_aside() {
  [ -e "$place/set" ] || return 0
  rm -rf "$place/old-set" && mv "$place/set" "$place/old-set" || fail "$place/set cannot be moved" 6
}

folder_of "$style"
place=$out/$folder
mkdir -p -- "$place" || fail "its folder $place cannot be made" 6
# Held until the program has ended, also when this script is ended before.
{ exec 9>>"$place/lock" && flock 9; } || fail "$place/lock cannot be locked" 6
want=$(sources 2>/dev/null) || want=
[ -n "$want" ] && [ -f "$place/finished" ] && [ -f "$place/exit" ] && [ "$(cat "$place/finished")" = "$want" ] && exit 0
rm -f "$place/finished" && rm -f "$place/exit" || fail "what was said before cannot be removed" 6
put_aside
"$program" grade "$style" --out "$place/set" --force --threads "${THREADS:-1}" --pictures none >"$place/said.txt" 2>&1
code=$?
[ "$code" -le 128 ] || printf 'one-style.sh: the program was ended by signal %s\n' $((code - 128)) >>"$place/said.txt"
sync "$place/said.txt"
if [ "$code" -gt 1 ]; then
  put_aside
  put exit "$code"
  fail "exit code $code, see $place/said.txt" "$code"
fi
[ -n "$want" ] && [ "$(sources 2>/dev/null)" = "$want" ] || fail "a file that it is read from has changed meanwhile: start again" 6
rm -rf "$place/old-set"
put exit "$code"
put finished "$want"
