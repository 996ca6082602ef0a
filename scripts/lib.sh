# shellcheck shell=bash disable=SC2034
# What ./start and ./check share: plain progress, and installing what is missing. Sourced, not run.
set -uo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
cd "$root" || exit 3

# A need is PACKAGE, looked up as a Debian package, or COMMAND:PACKAGE, met by any such command on the path.
needs_to_run=(
  g++:g++ cmake:cmake ninja:ninja-build pkg-config:pkg-config git:git
  libfmt-dev libexpected-dev libtomlplusplus-dev nlohmann-json3-dev libcli11-dev libsqlite3-dev libsqlitecpp-dev
  libhowardhinnant-date-dev libsodium-dev libqrcodegencpp-dev libcpp-httplib-dev libboost-dev libssl-dev zlib1g-dev libcairo2-dev libpango1.0-dev fonts-dejavu-core libgtest-dev tzdata ca-certificates
)
needs_to_check=(
  clang++-19:clang-19 wasm-ld-19:lld-19 clang-format-19:clang-format-19 libc++-19-dev-wasm32 wasi-libc
  chromium:chromium mold:mold ccache:ccache curl:curl python3-numpy python3-scipy librapidcheck-dev libbenchmark-dev
  certutil:libnss3-tools pdftotext:poppler-utils
)
needs_to_check_long=(clang-tidy-19:clang-tidy-19 libclang-rt-19-dev)

say() { printf '%s\n' "$*"; }
die() {  # die EXIT_CODE MESSAGE…
  local code=$1
  shift
  printf 'leafturn: %s\n' "$*" >&2
  exit "$code"
}

# quietly WHAT COMMAND…: one line when it begins, one when it ends, everything it said only when it fails.
quietly() {
  local what=$1 log started=$SECONDS
  shift
  mkdir -p build
  log=build/$(tr -c 'a-z0-9\n' '-' <<<"${what,,}").log
  printf '%s …' "$what"
  if "$@" >"$log" 2>&1 </dev/null; then
    printf ' done in %d s\n' $((SECONDS - started))
    return 0
  fi
  printf ' failed\n'
  tail -n 40 "$log" >&2
  printf 'leafturn: %s failed (%s): mend what the lines above say, then run this again\n' "$what" "$log" >&2
  return 3
}

node_major() { node --version 2>/dev/null | sed -n 's/^v\([0-9]*\).*/\1/p'; }

missing_packages() {  # prints the packages that are missing out of the needs given
  local need command package
  for need in "$@"; do
    command=${need%%:*} package=${need#*:}
    if [[ $need == *:* ]]; then
      command -v "$command" >/dev/null || printf '%s\n' "$package"
    else
      dpkg-query -W -f='${db:Status-Status}\n' "$package" 2>/dev/null | grep -qx installed || printf '%s\n' "$package"
    fi
  done
  # Any Node.js from 18 on will do, wherever it is from; Debian's npm is only for where there is none.
  (($(node_major) + 0 >= 18)) || printf 'nodejs\n'
  command -v npm >/dev/null || printf 'npm\n'
}

install_packages() {  # needs…
  if ! command -v apt-get >/dev/null || ! command -v dpkg-query >/dev/null; then
    local need tools=()
    for need in "$@"; do
      if [[ $need == *:* ]] && ! command -v "${need%%:*}" >/dev/null; then tools+=("${need%%:*}"); fi
    done
    (($(node_major) + 0 >= 18)) && command -v npm >/dev/null || tools+=("Node.js 18 or newer with npm")
    ((${#tools[@]})) || return 0  # the tools are here; CMake says which library is missing
    die 3 "this is not Debian or Ubuntu (no apt-get): install with your own package manager ${tools[*]}," \
      "and the libraries behind these Debian packages: ${*##*:}; then run this again"
  fi
  local missing
  mapfile -t missing < <(missing_packages "$@")
  if ((${#missing[@]})); then
    local as=()
    if ((EUID != 0)); then
      command -v sudo >/dev/null || die 3 "packages are missing and this is neither root nor sudo: as root, run: apt-get install ${missing[*]}"
      as=(sudo)
    fi
    say "Missing: ${missing[*]}"
    quietly "Looking up packages" "${as[@]}" apt-get update -qq || return 3
    quietly "Installing ${#missing[@]} packages" "${as[@]}" env DEBIAN_FRONTEND=noninteractive \
      apt-get install -y --no-install-recommends "${missing[@]}" || return 3
  fi
  check_versions
}

check_versions() {
  local compiler cmake
  compiler=$(g++ -dumpversion | cut -d. -f1)
  cmake=$(cmake --version | sed -n '1s/[^0-9]*\([0-9]*\)\.\([0-9]*\).*/\1 \2/p')
  ((compiler >= 12)) || die 3 "g++ is version $compiler (g++): leafturn needs 12 or newer: use Debian 12, Ubuntu 24.04 or later"
  read -r major minor <<<"$cmake"
  ((major > 3 || (major == 3 && minor >= 25))) || die 3 "CMake is version $major.$minor (cmake): leafturn needs 3.25 or newer"
}

install_node_modules() {  # folder: what its lock file lists, if that isn't there yet
  [[ -f $1/package.json ]] || return 0
  [[ $1/node_modules/.package-lock.json -nt $1/package-lock.json ]] && return 0
  PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1 quietly "Installing packages for $1" npm --prefix "$1" ci --no-audit --no-fund --loglevel=error
}

build() {  # preset targets…: progress as ninja tells it
  local preset=$1
  shift
  quietly "Preparing the $preset build" cmake --preset "$preset" || return 3
  NINJA_STATUS="  %f of %t  " cmake --build --preset "$preset" --parallel "$(nproc)" ${1:+--target "$@"}
}
