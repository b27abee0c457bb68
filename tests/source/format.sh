# SPDX-License-Identifier: GPL-3.0-or-later
# clang-format is the only authority on layout.
set -eu
cd "$RB_SOURCE"
git ls-files '*.c' '*.h' | xargs clang-format --dry-run --Werror
# Tabs and trailing space in what clang-format does not read.
if git grep -nI -e ' $' -e "$(printf '\t')" -- '*.sh' '*.py' '*.ui' '*.css' '*.build' '*.md'; then
  echo "Trailing space or tab above."
  exit 1
fi
