#!/usr/bin/env bash
# One style of a catalogue, graded into its folder of OUT (place.sh says which):
#
#   one-style.sh STYLE.json OUT
#
#   set       what was graded, whole or not there
#   said.txt  what the program said
#   exit      its exit code, once it has ended
#   finished  where the code is 0 or 1: the version of the program, SHA-256 of exit, said.txt and the manifest of the set, and of every file
#             that the style is read from
#   old-set   a set of earlier files, until the style can be graded again
#
# Work that was finished for these very files, and is still there, is not done again; a night that was cut short is simply started again. Of a
# set names and sizes are compared with its manifest, and the bytes of files that were changed later; with HASHES=1 of all of them. When a run
# is cut, nothing here is wrong: "finished" goes first and comes last, "exit" of 0 or 1 holds only beside it. Exit code: 0 where the style was
# graded, also when a check failed, which the summary tells, and for an empty line of a list; else that of lastwright, or 6, with a line on
# standard error, and the style is tried again the next time.
set -u
. "$(dirname "${BASH_SOURCE[0]}")/place.sh"
if [ $# -ne 2 ]; then
  printf 'one-style.sh STYLE.json OUT\n' >&2
  exit 2
fi
style_of "$1"
out=$2 program=${LASTWRIGHT:-lastwright}
if [ -z "$style" ]; then
  printf 'one-style.sh: an empty line names no style\n' >&2
  exit 0
fi
# No option of any program.
case $style in -*) style=./$style ;; esac
case $out in -*) out=./$out ;; esac
# No control characters on a terminal.
shown=$style
case $style in *[![:print:]]*) shown=${style@Q} ;; esac

fail() { # WHY CODE
  printf 'one-style.sh: %s: %s\n' "$shown" "$1" >&2
  exit "$2"
}

# What the set depends on, by names as they are; fails where a file is missing.
sources() {
  local files
  "$program" --version || return 1
  # An empty name at the end says that the program listed all of them.
  mapfile -d '' -t files < <("$program" check "$style" --list-files --nul && printf '\0')
  [ ${#files[@]} -gt 1 ] && [ -z "${files[-1]}" ] && sha256sum -- "${files[@]:0:${#files[@]}-1}"
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
# What "finished" holds of a run that is done: of the files as they are, and of what it left.
finished() { # OF THE SOURCES
  local left
  left=$(left_by_run "$place") && printf '%s\n%s\n%s' "${1%%$'\n'*}" "$left" "${1#*$'\n'}"
}
if [ -n "$want" ] && [ -f "$place/finished" ] && [ "$(<"$place/finished")" = "$(finished "$want")" ] && set_is_whole "$place"; then
  exit 0
fi
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
now=$(sources 2>/dev/null) || fail "graded, but the files that it is read from cannot be read once more, so that it is not finished: $(sources 2>&1 >/dev/null)" 6
[ "$now" = "$want" ] || fail "a file that it is read from has changed meanwhile: start again" 6
rm -rf "$place/old-set"
put exit "$code"
record=$(finished "$want") || fail "$place/set/manifest.json cannot be read" 6
put finished "$record"
