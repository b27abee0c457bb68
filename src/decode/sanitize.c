/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Debian's libav is not built for ThreadSanitizer, which therefore cannot see how its threads
 * hand memory over and reports races inside it. Our own code here has one thread. Used only in
 * builds with that sanitizer. */
const char *__tsan_default_suppressions(void);

const char *__tsan_default_suppressions(void)
{
    return "race:libavutil.so\n"
           "race:libavcodec.so\n"
           "race:libavfilter.so\n"
           "race:libavformat.so\n"
           "race:libswscale.so\n"
           "race:libx264.so\n"
           "race:libx265.so\n"
           "race:libdav1d.so\n"
           "race:libvpx.so\n";
}
