# SPDX-License-Identifier: GPL-3.0-or-later
# The top level holds exactly what it should, and every script and source names its licence.
set -eu
cd "$RB_SOURCE"
want='DEVELOPERS.md LICENSE README.md include meson.build po schema src tests ui'
have=$(git ls-tree --name-only HEAD | grep -v '^\.' | LC_ALL=C sort | tr '\n' ' ')
[ "$have" = "$want " ] || {
  echo "The top level holds: $have"
  echo "It should hold:      $want"
  exit 1
}
bare=$(git ls-files '*.c' '*.h' '*.sh' '*.py' '*meson.build' '*.sql' | while read -r file; do
  head -n 3 "$file" | grep -q 'SPDX-License-Identifier: GPL-3.0-or-later' || echo "$file"
done)
[ -z "$bare" ] || {
  echo "No licence line in:" $bare
  exit 1
}
