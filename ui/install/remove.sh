#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Takes away what "meson install" put below a prefix, with the indexes and folders in which nothing
# of anybody's is left.
# Usage: remove.sh PREFIX DATADIR [LIST]   LIST: a file of paths; else those that meson tells
set -eu
prefix=$1
data=$prefix/$2
list=${3:-}

installed() {
  if [ -n "$list" ]; then
    cat "$list"
  else
    meson introspect --installed "$MESON_BUILD_ROOT" | tr ',' '\n' | sed -n 's/.*": *"\(.*\)".*/\1/p'
  fi
}

installed | while read -r path; do
  rm -f "$path"
done
# Indexes with no source left are nothing but ours.
[ -n "$(ls "$data/mime/packages" 2>/dev/null)" ] || rm -rf "$data/mime"
[ -n "$(ls "$data/applications"/*.desktop 2>/dev/null)" ] || rm -f "$data/applications/mimeinfo.cache"
[ -n "$(ls "$data/glib-2.0/schemas"/*.xml 2>/dev/null)" ] || rm -f "$data/glib-2.0/schemas/gschemas.compiled"
MESON_INSTALL_PREFIX=$prefix sh "$(dirname "$0")/caches.sh" "$2"
installed | while read -r path; do
  rmdir -p --ignore-fail-on-non-empty "$(dirname "$path")" 2>/dev/null || :
done
