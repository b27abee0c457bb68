#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Brings the desktop's indexes below a data folder up to date, each where its tool is there. Not
# for a package's staging folder: there the system does it when the package is installed.
# Usage: caches.sh DATADIR   (below $MESON_INSTALL_PREFIX)
set -eu
[ -z "${DESTDIR:-}" ] || exit 0
data=$MESON_INSTALL_PREFIX/$1

have() {
  command -v "$1" >/dev/null 2>&1
}

# The path of files that are there; a cache alone is no source.
has() {
  [ -n "$(ls "$@" 2>/dev/null)" ]
}

! has "$data/mime/packages" || ! have update-mime-database || update-mime-database "$data/mime"
! has "$data/applications"/*.desktop || ! have update-desktop-database ||
  update-desktop-database -q "$data/applications"
! has "$data/glib-2.0/schemas"/*.xml || glib-compile-schemas "$data/glib-2.0/schemas"
[ ! -f "$data/icons/hicolor/icon-theme.cache" ] || ! have gtk-update-icon-cache ||
  gtk-update-icon-cache -q -f -t "$data/icons/hicolor"
