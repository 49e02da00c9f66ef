#!/usr/bin/env bash
# All findings of a night in one table: summary.sh OUT > summary.csv
#
# A line for every style (its exit code, in words), every failed check and every problem, as lastwright told them.
set -eu
out=$1
field() { printf '"%s"' "${1//\"/\"\"}"; }
echo 'style,exit,what'
find "$out" -mindepth 2 -maxdepth 2 -name said.txt | sort | while read -r said; do
  place=$(dirname "$said") code=none
  [ -f "$place/exit" ] && code=$(cat "$place/exit")
  case $code in
    0) words='every check passed' ;;
    1) words='checks failed' ;;
    none) words='not finished' ;;
    *) words='not graded' ;;
  esac
  printf '%s,%s,%s\n' "$(field "$(basename "$place")")" "$code" "$(field "$words")"
  grep -E '(^|[[:space:]])FAIL|^lastwright: |^warning: |  warning: ' "$said" | while read -r line; do
    printf '%s,%s,%s\n' "$(field "$(basename "$place")")" "$code" "$(field "$line")"
  done || true
done
