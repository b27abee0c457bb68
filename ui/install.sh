# SPDX-License-Identifier: GPL-3.0-or-later
# Sourced by ui/run and tests/run: installs the packages of the named groups that this machine
# lacks. The list is ui/packages.

say() {
  printf '%s\n' "$*" >&2
}

packages_of() { # groups...
  for group in "$@"; do
    sed -n "s/^$group  *\([^ ]*\).*/\1/p" ui/packages
  done
}

missing_of() { # packages...
  for package in "$@"; do
    state=$(dpkg-query -W -f '${db:Status-Abbrev}' "$package" 2>/dev/null || :)
    case $state in
    ii*) ;;
    *) printf '%s ' "$package" ;;
    esac
  done
}

as_root() {
  if [ "$(id -u)" = 0 ]; then
    "$@"
  elif command -v sudo >/dev/null 2>&1; then
    sudo "$@"
  else
    say "These packages are needed and only an administrator can install them: $missing"
    say "Ask for:  apt-get install --no-install-recommends $missing"
    exit 1
  fi
}

install_missing() { # groups...
  missing=$(missing_of $(packages_of "$@"))
  [ -n "$missing" ] || return 0
  say "Installing: $missing"
  as_root apt-get update -q >&2
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing >&2
}

# A bare machine may have no HOME in its environment, or one that cannot be written to.
settle_home() {
  [ -n "${HOME:-}" ] || HOME=$(getent passwd "$(id -u)" | cut -d: -f6)
  [ -n "$HOME" ] && [ -w "$HOME" ] || HOME=$(mktemp -d)
  export HOME
}

configure() { # folder, meson options...
  folder=$1
  shift
  [ ! -f "$folder/build.ninja" ] || return 0
  mkdir -p "$folder"
  meson setup "$folder" "$@" >"$folder/setup.log" 2>&1 || {
    cat "$folder/setup.log" >&2
    exit 1
  }
}
