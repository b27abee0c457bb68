# SPDX-License-Identifier: GPL-3.0-or-later
# What the built libraries and programs need and give: no toolkit in core, libav in the helper
# alone, every global of ours under its prefix.
set -eu
cd "$RB_BUILD"
failed=0
complain() {
  echo "$1:"
  echo "$2" | head -n 10
  failed=1
}
for library in src/*/librb-*.a src/*/*/librb-*.a; do
  [ -f "$library" ] || continue
  case $library in
  */app/*) continue ;;
  esac
  needs=$(nm -u "$library" | sed -n 's/^ *U //p' | sort -u)
  case $library in
  # Text is drawn with pango, whose layouts can be freed in no other way.
  */report/*) needs=$(echo "$needs" | grep -vx g_object_unref) ;;
  esac
  bad=$(echo "$needs" | grep -E '^(g_object_|g_main_|g_mutex_|g_thread_|g_async_queue_|gtk_|gdk_|g_file_new)' || :)
  [ -z "$bad" ] || complain "$library must not use" "$bad"
  bad=$(echo "$needs" | grep -E '^(av_|avcodec_|avformat_|avio_|sws_)' || :)
  [ -z "$bad" ] || complain "$library must not use libav" "$bad"
  bad=$(nm -g --defined-only "$library" | awk 'NF == 3 { print $3 }' |
    grep -vE '^(rb_|_|\.L|__asan|__odr)' || :)
  [ -z "$bad" ] || complain "$library has globals without the prefix rb_" "$bad"
done
for program in src/app/readbreak src/cli/readbreak-cli; do
  bad=$(nm -u "$program" | grep -E ' (av_|avcodec_|avformat_|avio_|sws_)' || :)
  [ -z "$bad" ] || complain "$program must not use libav" "$bad"
done
exit $failed
