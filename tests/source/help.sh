# SPDX-License-Identifier: GPL-3.0-or-later
# Every language of the help has every page, id, link and example of the English one.
set -eu
exec python3 "$RB_SOURCE/tests/source/check-help.py" "$RB_SOURCE"
