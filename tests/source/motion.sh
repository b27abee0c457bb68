# SPDX-License-Identifier: GPL-3.0-or-later
set -eu
exec python3 "$RB_SOURCE/tests/source/check-motion.py" "$RB_SOURCE"
