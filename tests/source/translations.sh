# SPDX-License-Identifier: GPL-3.0-or-later
# Every file with text for people is listed in po/POTFILES, every listed file exists, and every
# language has all of the text.
set -eu
cd "$RB_SOURCE"
git ls-files 'src/*.c' 'ui/*.ui' | xargs grep -lE '\b(_|N_|C_|ngettext) ?\("|translatable="yes"|\brb_told(_in|_many)?\(("|$)|\b(rb_error_set|rb_error_errno|rb_chain_add|rb_node_refuse|rb_log_ask|spoil|cli_usage_error)\(' |
  LC_ALL=C sort >"$RB_BUILD/potfiles-found" || :
grep -v '^#' po/POTFILES | LC_ALL=C sort >"$RB_BUILD/potfiles-listed" || :
diff -u "$RB_BUILD/potfiles-listed" "$RB_BUILD/potfiles-found"
# Every catalogue says all of it, in good form.
exec python3 "$RB_SOURCE/tests/source/check-po.py" "$RB_SOURCE"
