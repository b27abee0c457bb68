/* SPDX-License-Identifier: GPL-3.0-or-later */
/* In ordinary builds a fuzz target is a test: it runs over every file of its corpus, and over
 * each of them cut short and with one byte changed at every place (bounded). */
#include <glib.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { CHANGES_A_FILE = 512 };

static void run_variants(const uint8_t *data, size_t size)
{
    LLVMFuzzerTestOneInput(data, size);
    const size_t step = size / CHANGES_A_FILE + 1;
    g_autofree uint8_t *copy = g_memdup2(data, size);
    for (size_t at = 0; at < size; at += step) {
        LLVMFuzzerTestOneInput(data, at);
        copy[at] ^= (uint8_t)(1U << at % 8);
        LLVMFuzzerTestOneInput(copy, size);
        copy[at] = data[at];
    }
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: %s CORPUS\n", argv[0]);
        return EXIT_FAILURE;
    }
    g_autoptr(GDir) dir = g_dir_open(argv[1], 0, NULL);
    int files = 0;
    const char *name = NULL;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(argv[1], name, NULL);
        g_autofree char *data = NULL;
        gsize size = 0;
        if (g_file_get_contents(path, &data, &size, NULL)) {
            run_variants((const uint8_t *)data, size);
            files++;
        }
    }
    printf("%d corpus files\n", files);
    return files > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
