# Steps shared by the two commands of the README. Sourced, not run.
#
# step "what is being done" command ...   runs it, and says what failed if it does.

# libtbb-dev is named by the packaged OpenCASCADE's link line, but not among what its packages depend on.
build_packages=(g++ cmake ninja-build pkg-config libfmt-dev libeigen3-dev nlohmann-json3-dev libcli11-dev
  libboost-dev libcairo2-dev libxlsxwriter-dev libzint-dev libssl-dev zlib1g-dev libexpat1-dev libocct-foundation-dev libocct-modeling-data-dev libocct-modeling-algorithms-dev
  libocct-data-exchange-dev libtbb-dev)
test_packages=(catch2 librapidcheck-dev make python3 python3-ezdxf python3-shapely python3-scipy python3-numpy
  python3-jsonschema python3-openpyxl python3-gdal gdal-bin poppler-utils librsvg2-bin libxml2-utils qpdf chromium
  python3-pil fonts-dejavu-core hp2xx zbar-tools
  pybind11-dev python3-dev)
clang_packages=(clang libclang-rt-dev catch2 librapidcheck-dev)

step() {
  local what=$1 log status=0
  shift
  log=$(mktemp)
  printf -- '-- %s\n' "$what"
  "$@" >"$log" 2>&1 || status=$?
  if [ "$status" -ne 0 ]; then
    tail -n 60 "$log"
    printf '\nFAILED: %s (exit code %s). The last lines of its output are above.\n' "$what" "$status" >&2
    rm -f "$log"
    exit "$status"
  fi
  rm -f "$log"
}

as_root() {
  if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

# What of these packages is missing, one a line.
missing_packages() {
  local package
  for package in "$@"; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || echo "$package"
  done
}

# Installs what is missing; asks the registry for nothing when everything is there.
install_packages() {
  local missing
  mapfile -t missing < <(missing_packages "$@")
  [ ${#missing[@]} -eq 0 ] && return 0
  if [ "$(id -u)" -ne 0 ] && ! command -v sudo >/dev/null; then
    printf 'FAILED: these packages are missing, and there is no sudo to install them with: %s\n' "${missing[*]}" >&2
    exit 1
  fi
  step "reading the package lists" as_root apt-get update -qq
  step "installing ${#missing[@]} packages: ${missing[*]}" \
    as_root env DEBIAN_FRONTEND=noninteractive apt-get ${apt_options:-} install -y -qq --no-install-recommends "${missing[@]}"
}
