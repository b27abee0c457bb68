/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes the report of an invented season into a folder, as web page and PDF, and prints its
 * tables: for looking at. Usage: example-report FOLDER */
#include <stdio.h>
#include <stdlib.h>

#include "rb/report/text.h"

#include "figures.h"

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: %s FOLDER\n", argv[0]);
        return EXIT_FAILURE;
    }
    RbExampleReport example;
    rb_example_report_init(&example);
    g_autofree char *html = g_build_filename(argv[1], "report.html", NULL);
    g_autofree char *pdf = g_build_filename(argv[1], "report.pdf", NULL);
    g_autofree char *table =
        rb_pairings_text(&example.pairings, &example.report.names, 100);
    g_autofree char *ladder =
        rb_ladder_text(&example.ladders[0], &example.breaks[0], example.looked[0].reads);
    printf("%s\n%s", table, ladder);
    g_autoptr(GError) error = NULL;
    const bool written = rb_report_write_html(&example.report, html, &error) &&
                         rb_report_write_pdf(&example.report, pdf, &error);
    if (!written) {
        fprintf(stderr, "%s\n", error->message);
    }
    rb_example_report_clear(&example);
    return written ? EXIT_SUCCESS : EXIT_FAILURE;
}
