#!/usr/bin/env bash
# Every style of a list, graded as array jobs of Slurm; submit it again and only what is missing or changed is done:
#
#   submit.sh LIST OUT [AT ONCE]
#
# An array holds fewer tasks than Slurm's MaxArraySize, 1001 unless the cluster says otherwise: a longer list becomes several jobs, one after
# the other, so that no more than AT ONCE tasks (40) run at a time. What a task cannot do is told in OUT/tasks-JOB.txt.
set -euo pipefail
if [ $# -lt 2 ]; then
  printf 'submit.sh LIST OUT [AT ONCE]\n' >&2
  exit 2
fi
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
list=$(realpath -e -- "$1") out=$(realpath -m -- "$2") at_once=${3:-40}
case $out in
  *\\*)
    printf 'submit.sh: %s: Slurm takes no file below a folder with a backslash in its name for what tasks say: give another one\n' "$out" >&2
    exit 2
    ;;
esac
mkdir -p -- "$out"
lines=$(grep -c '' "$list") || { printf 'submit.sh: %s names no style\n' "$1" >&2; exit 2; }
most=$(scontrol show config 2>/dev/null | awk '$1 == "MaxArraySize" { print $3 - 1 }') || most=
most=${most:-1000} before=
for ((offset = 0; offset < lines; offset += most)); do
  tasks=$((lines - offset < most ? lines - offset : most))
  job=$(sbatch --parsable --array="1-$tasks%$at_once" ${before:+"--dependency=afterany:$before"} --output="${out//\%/%%}/tasks-%A.txt" \
    "$here/night.sbatch" "$list" "$out" "$offset" "$here")
  before=${job%%;*}
  printf 'job %s: lines %s to %s of %s\n' "$before" $((offset + 1)) $((offset + tasks)) "$1"
done
