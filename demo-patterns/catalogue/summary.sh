#!/usr/bin/env bash
# All that was found in a catalogue, in one table: summary.sh [--hashes] OUT LIST > summary.csv
#
# LIST holds the styles, one a line, as they were given to one-style.sh (- : standard input); run it in the same folder. A line for every style
# of the list: its exit code and how it stands. Below it every failed check, everything to be looked at and every problem, as lastwright told
# them. Then what stands in OUT and is not in the list. Of every set the names and sizes are compared with its manifest, and the bytes of files
# that were changed after it was finished; with --hashes, or HASHES=1, the bytes of all of them. The sum is told on standard error: every style
# counts once. Exit code: 0 where every style was graded from the files as they are, its set is there and every check passed, also where
# something is to be looked at; 1 where not; 2 without a list.
set -u
# Bytes: else a path that ends in half a character would swallow the line end behind it.
export LC_ALL=C
shopt -s dotglob nullglob
. "$(dirname "${BASH_SOURCE[0]}")/place.sh"
if [ "${1:-}" = --hashes ]; then
  HASHES=1
  shift
fi
if [ $# -ne 2 ]; then
  printf 'summary.sh [--hashes] OUT LIST > summary.csv\n' >&2
  exit 2
fi
out=$1 list=$2
case $out in -*) out=./$out ;; esac
[ "$list" = - ] && list=/dev/stdin
most=40 # lines of a style that was not graded
declare -A listed=() count=() looked=()
styles=0 again=0 strangers=0 bad=0

row() { printf '"%s",%s,"%s"\n' "${1//\"/\"\"}" "$2" "${3//\"/\"\"}"; } # STYLE CODE WHAT

# Sets `code` and `finished` to what the folder holds; empty where it is not there or no whole line.
read_state() { # PLACE
  code= finished=
  [ -f "$1/exit" ] && IFS= read -r code <"$1/exit"
  case $code in *[!0-9]*) code= ;; esac
  [ -f "$1/finished" ] && finished=$(<"$1/finished")
}

# Sets `state`, `code`, `looks` (how much is to be looked at) and `lines`, what is to be told below.
look_at() { # PLACE
  local said=() kept=() left was_code was_finished i line
  state= code= lines=() looks=0
  if [ ! -d "$1" ]; then
    state='not begun'
    return
  fi
  read_state "$1"
  was_code=$code was_finished=$finished
  [ -f "$1/said.txt" ] && mapfile -t said <"$1/said.txt"
  if [ -z "$code" ] || [ ! -f "$1/said.txt" ] || { [ "$code" -le 1 ] && [ -z "$finished" ]; }; then
    state='not finished' code=
    return
  fi
  if [ "$code" -gt 1 ]; then
    state='not graded'
    [ -e "$1/old-set" ] && state='not graded; old-set is of earlier files'
    for ((i = 0; i < ${#said[@]} && i < most; ++i)); do lines+=("${said[i]}"); done
    [ ${#said[@]} -le $most ] || lines+=("and $((${#said[@]} - most)) more lines in $1/said.txt")
  else
    for ((i = 0; i < ${#said[@]}; ++i)); do
      line=${said[i]}
      case $line in
        '  FAIL '* | '  LOOK '*)
          [ "${line:2:4}" = LOOK ] && ((++looks))
          case ${said[i + 1]:-} in '       '*) line="$line; ${said[i + 1]}" ;; esac
          ;;
        'lastwright: '* | 'warning: '* | '  warning: '*) ;;
        *) continue ;;
      esac
      lines+=("$line")
    done
    state='every check passed'
    [ "$code" -eq 0 ] || state='checks failed'
    [ $looks -eq 0 ] || state="$state, $looks to be looked at"
    # The version of the program, what the run left, and then the files that the style is read from.
    mapfile -t kept <<<"$finished"
    left=$(left_by_run "$1") || left=
    if ! { [ "$left" = "${kept[1]:-}"$'\n'"${kept[2]:-}"$'\n'"${kept[3]:-}" ] && set_is_whole "$1"; }; then
      lines=("as it was finished: $state" "${lines[@]}")
      state='set is missing or changed' looks=0
    elif ! printf '%s\n' "${kept[@]:4}" | sha256sum --status --check 2>/dev/null; then
      lines=("of the files as they were: $state" "${lines[@]}")
      state='changed since it was graded' looks=0
    fi
  fi
  # Who begins the style anew meanwhile takes its state away first.
  read_state "$1"
  [ "$code" = "$was_code" ] && [ "$finished" = "$was_finished" ] && return
  state='not finished' code= lines=() looks=0
}

rows_of() { # STYLE
  local line words
  row "$1" "$code" "$state"
  for line in "${lines[@]}"; do
    read -ra words <<<"$line"
    row "$1" "$code" "${words[*]}"
  done
}

printf 'style,exit,what\n'
number=0
while IFS= read -r line || [ -n "$line" ]; do
  ((++number))
  style_of "$line"
  [ -n "$style" ] || continue
  folder_of "$style"
  if [ -n "${listed[$folder]:-}" ]; then
    row "$style" '' "named again in line $number, first in line ${listed[$folder]}"
    ((++again))
    continue
  fi
  listed[$folder]=$number
  look_at "$out/$folder"
  rows_of "$style"
  kind=${state%%[,;]*}
  [ "$kind" = 'every check passed' ] || bad=1
  [ $looks -eq 0 ] || looked[$kind]=$((${looked[$kind]:-0} + 1))
  count[$kind]=$((${count[$kind]:-0} + 1))
  ((++styles))
done <"$list" || exit 2
if [ $styles -eq 0 ]; then
  printf 'summary.sh: %s names no style\n' "$2" >&2
  exit 2
fi
for place in "$out"/*/; do
  folder=${place%/} folder=${folder##*/}
  [ -z "${listed[$folder]:-}" ] && [ -e "$place/said.txt" ] || continue
  read_state "${place%/}"
  row "$folder" "$code" 'not in the list'
  ((++strangers))
done
{
  printf 'summary.sh: styles: %s' "$styles"
  for kind in 'every check passed' 'checks failed' 'not graded' 'not finished' 'not begun' 'set is missing or changed' 'changed since it was graded'; do
    [ -z "${count[$kind]:-}" ] || printf '; %s: %s' "$kind" "${count[$kind]}"
    [ -z "${looked[$kind]:-}" ] || printf ' (of them to be looked at: %s)' "${looked[$kind]}"
  done
  printf '\n'
  [ $again -eq 0 ] || printf 'summary.sh: lines that name a style again: %s\n' $again
  [ $strangers -eq 0 ] || printf 'summary.sh: folders that are not in the list: %s\n' $strangers
} >&2
exit $bad
