# Sourced by the other scripts: where in OUT the work of a style stands, and whether its set is there.

# Sets `style` to the path that a line of a list holds: a CR at its end is a part of the line end, in a list of another system.
style_of() { # LINE
  style=${1%$'\r'}
}

# Sets `folder`: the path of the style with / as +, so that it can be read; + and % in it are written %2B and %25, so that no two styles
# share a folder. A long path is cut and ends with %~ and its SHA-256: no name is longer than 200 bytes.
folder_of() { # STYLE
  local LC_ALL=C path=$1 digest
  while [ "${path#./}" != "$path" ]; do path=${path#./}; done
  folder=${path//\%/%25} folder=${folder//+/%2B} folder=${folder//\//+}
  case $folder in
    *.json) folder=${folder%.json} ;;
    *) folder=$folder%_ ;;
  esac
  case $folder in '' | . | ..) folder=$folder%- ;; esac
  [ ${#folder} -gt 200 ] || return 0
  digest=$(printf '%s' "$path" | sha256sum)
  folder=${folder:0:120}
  folder=${folder//[^ -~]/_}%~${digest%% *}
}

# What a run leaves beside its set and in it, as "finished" keeps it; fails where one of them is missing.
left_by_run() { # PLACE
  (cd -- "$1" && sha256sum -- exit said.txt set/manifest.json) 2>/dev/null
}

# Whether PLACE/set holds every file of its manifest, each of its size, and those that were changed after "finished" was written with their
# bytes: the others are only read where HASHES is 1. A file more is not looked at.
set_is_whole() { # PLACE
  (
    export LC_ALL=C
    cd -- "$1/set" 2>/dev/null && [ -f ../finished ] || exit 1
    # One file a line, and no quotation mark or backslash in a name, as lastwright writes it.
    listed=$(sed -n 's/^    {"name": "\([^"\\]*\)", "size": \([0-9]*\), "sha256": "\([0-9a-f]*\)"},\{0,1\}$/l \3 \2 \1/p' manifest.json 2>/dev/null)
    [ -n "$listed" ] || exit 1
    # s, size and name of every file that is there; r and name of those that were changed later.
    there=$(find . -type f -printf 's %s %P\n' -cnewer ../finished -printf 'r %P\n' 2>/dev/null) || exit 1
    to_read=$(printf '%s\n%s\n' "$there" "$listed" | awk -v all="${HASHES:-}" '
      { rest = substr($0, 3) }
      $1 == "s" { size[substr(rest, index(rest, " ") + 1)] = rest + 0 }
      $1 == "r" { changed[rest] = 1 }
      $1 == "l" {
        digest = $2
        rest = substr(rest, length(digest) + 2)
        name = substr(rest, index(rest, " ") + 1)
        if (!(name in size) || size[name] != rest + 0) exit 1
        if (all == 1 || (name in changed)) print digest "  " name
      }') || exit 1
    [ -z "$to_read" ] || sha256sum --status --strict --check <<<"$to_read" 2>/dev/null
  )
}
