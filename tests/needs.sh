# shellcheck shell=bash
# What a machine needs, checked and installed: sourced by demo/start, tests/run and .ci/run.
# Speaks on stderr only. Exit status 2 everywhere means: something is missing, and the text says how to get it.

BUILD_PACKAGES=(gcc libc6-dev)
WINDOW_PACKAGES=(libgl1 libxcursor1 libxi6 libxkbcommon-x11-0)
# Pictures of the screens are drawn by a software GPU; printed documents are read back as text and their structure checked.
QUICK_TEST_PACKAGES=("${BUILD_PACKAGES[@]}" mesa-vulkan-drivers poppler-utils qpdf)
# The real window in a virtual screen, driven by keys and by accessibility names; system calls watched.
# shellcheck disable=SC2034 # used by the scripts that source this
TEST_PACKAGES=("${QUICK_TEST_PACKAGES[@]}" "${WINDOW_PACKAGES[@]}" xvfb xauth xdotool strace
  at-spi2-core dbus python3-gi gir1.2-atspi-2.0 openbox)

say() { printf '%s\n' "$*" >&2; }

# fail TEXT...: one line each, then status 2.
fail() {
  printf '%s\n' "$@" >&2
  exit 2
}

# need_cargo FILE: a Cargo that knows the edition and the version that the manifest FILE asks for.
need_cargo() {
  local wanted found
  wanted=$(sed -n 's/^rust-version *= *"\([0-9.]*\)".*/\1/p' "$1" | head -n 1)
  if ! command -v cargo >/dev/null 2>&1 && [ -x "${CARGO_HOME:-$HOME/.cargo}/bin/cargo" ]; then
    PATH="${CARGO_HOME:-$HOME/.cargo}/bin:$PATH" # installed, but this shell was opened before
  fi
  if ! command -v cargo >/dev/null 2>&1; then
    fail "Missing: Rust $wanted or later (cargo is not on the PATH)." \
      "Get it:  https://rustup.rs, or:  curl --proto '=https' --tlsv1.2 -sSf https://sh.rustup.rs | sh" \
      "then open a new terminal and start again."
  fi
  # Asked here, in the project: a toolchain that rustup was told to use elsewhere does not count.
  found=$(cargo --version 2>/dev/null | sed -n 's/^cargo \([0-9]*\.[0-9]*\).*/\1/p') || found=
  [ -n "$found" ] || fail "cargo is there but does not answer; try:  rustup default stable"
  if [ "$(printf '%s\n' "$wanted" "$found" | sort -V | head -n 1)" != "$wanted" ]; then
    fail "Missing: Rust $wanted or later; this is $found." \
      "Get it:  rustup update stable   (without rustup: https://rustup.rs)"
  fi
}

# target_folder: where Cargo builds, however it was told to.
target_folder() {
  cargo metadata --format-version 1 --no-deps --locked | sed -n 's/.*"target_directory":"\([^"]*\)".*/\1/p'
}

# need_disk_mb FOLDER MB WHAT: free space where FOLDER is or will be.
need_disk_mb() {
  local folder=$1 free
  while [ ! -d "$folder" ]; do folder=$(dirname "$folder"); done
  free=$(df -Pk "$folder" | awk 'NR == 2 { print int($4 / 1024) }')
  if [ "$free" -lt "$2" ]; then
    fail "Missing: free disk. $3 needs about $2 MB in $1; there are $free MB." \
      "Make room, or put the build elsewhere:  CARGO_TARGET_DIR=/other/disk/chockbook $0"
  fi
}

# need_packages WHAT PACKAGE...: Debian and Ubuntu install them; elsewhere the compiler decides and the rest is named.
need_packages() {
  local what=$1 package missing=() command answer
  shift
  if ! command -v dpkg-query >/dev/null 2>&1 || ! command -v apt-get >/dev/null 2>&1; then
    need_by_hand "$what" "$@"
    return
  fi
  for package in "$@"; do
    [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" = installed ] || missing+=("$package")
  done
  [ "${#missing[@]}" -gt 0 ] || return 0

  command="apt-get install -y --no-install-recommends ${missing[*]}"
  if [ "$(id -u)" = 0 ]; then
    say "Installing for $what: ${missing[*]}"
    install_as "" "${missing[@]}" || fail "The installation failed. Try by hand:  apt-get update && $command"
    return
  fi
  say "Missing for $what: ${missing[*]}"
  if [ ! -t 0 ] || [ ! -t 2 ]; then
    fail "Install them:  sudo $command"
  fi
  read -r -p "Install them now with sudo? [y/N] " answer || answer=
  case $answer in
    [yY]*) install_as sudo "${missing[@]}" || fail "The installation failed. Try by hand:  sudo $command" ;;
    *) fail "Nothing was installed. Install them:  sudo $command" ;;
  esac
}

# install_as PREFIX PACKAGE...: a list of packages that cannot be refreshed may still do.
install_as() {
  local prefix=$1
  shift
  $prefix apt-get update -qq >&2 </dev/null || say "The list of packages could not be refreshed; trying with the old one."
  $prefix env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@" >&2 </dev/null
}

# need_by_hand WHAT PACKAGE...: another system; the names are Debian's, its own are like them.
need_by_hand() {
  local what=$1
  shift
  if ! command -v cc >/dev/null 2>&1; then
    fail "Missing: a C compiler (the command cc) with the C library's headers." \
      "Get it:  Fedora: dnf install gcc glibc-devel; Arch: pacman -S gcc; Alpine: apk add build-base;" \
      "         macOS: xcode-select --install"
  fi
  say "Packages are checked on Debian and Ubuntu only. For $what this system needs what is called there:"
  say "  $*"
}
