# Sourced by the other scripts: where in OUT the work of a style stands.

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
