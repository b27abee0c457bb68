/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "rb/report/report.h"
#include "rb/report/sheet.h"

#include "figures.h"
#include "suite.h"

TCase *rb_case_sheet(void);

static const char head[] =
    "concept,coverage,dropbacks,successes,rate,low,high,estimate,estimate low,estimate high,below,points,with points,yards,completions,"
    "attempts,explosive,sacks,interceptions,pressured,right,judged\r\n";

static const char *tricky_concept(RbConceptId id, const void *data)
{
    (void)data;
    static const char *const names[] = { "=SUM(A1)", "a \"b\", c", "line\r\nbreak" };
    return names[id.value - 1];
}

static const char *tricky_coverage(RbTermId id, const void *data)
{
    (void)id;
    (void)data;
    return "@x\x01";
}

/* Estimate, its interval and the probability are those of the model, read from the right of a
 * line: its names may hold commas. */
static void check_estimates(const RbPairings *pairings, char *const *lines)
{
    enum { FROM_RIGHT = 15 };
    g_autofree RbMeasured *figures = g_new0(RbMeasured, pairings->n_cells + 1);
    rb_pairings_measure(pairings, RB_MEASURE_SUCCESS, figures);
    for (int i = 0; i < pairings->n_cells; i++) {
        g_auto(GStrv) fields = g_strsplit(lines[i + 1], ",", -1);
        char **at = fields + g_strv_length(fields) - FROM_RIGHT;
        const double want[] = { figures[i].shown, figures[i].low, figures[i].high,
                                figures[i].below };
        for (int j = 0; j < 4; j++) {
            ck_assert_double_eq_tol(g_ascii_strtod(at[j], NULL), want[j], 1e-12);
            ck_assert(*at[j] != '\0' && want[j] >= 0.0 && want[j] <= 1.0);
        }
        ck_assert(figures[i].low < figures[i].shown &&
                  figures[i].shown < figures[i].high);
    }
}

START_TEST(test_sheet__csv_whole)
{
    RbDropback rows[8] = { 0 };
    for (int i = 0; i < 8; i++) {
        rows[i] = (RbDropback){ .concept = { i < 5 ? 1 : 2 },
                                .coverage = { 1 },
                                .verdict = RB_VERDICT_ON_READ,
                                .result = RB_RESULT_COMPLETE,
                                .gain = 4,
                                .success = i == 0,
                                .has_points = i != 7,
                                .points = i != 7 ? 0.25 : 0.0,
                                .in_ladder = true };
    }
    rows[6].concept.value = 3;
    rows[7].concept.value = 3;
    RbPairings pairings;
    rb_pairings_build(rows, 8, &pairings);
    const RbReportNames names = { tricky_concept, tricky_coverage, NULL };
    g_autofree char *csv = rb_pairings_csv(&pairings, &names);
    g_auto(GStrv) lines = g_strsplit(csv, "\r\n", -1);
    ck_assert(g_str_has_prefix(csv, head));
    /* Wilson, 1 of 5: 3.62 to 62.45 % (R 4.2.2, prop.test(1, 5, correct = FALSE)). */
    ck_assert_ptr_nonnull(strstr(lines[1], "'=SUM(A1),'@x\ufffd,5,1,0.2,0.03622"));
    ck_assert_ptr_nonnull(strstr(lines[1], ",0.62446"));
    ck_assert(g_str_has_suffix(lines[1], ",1.25,5,20,5,5,0,0,0,0,5,5"));
    check_estimates(&pairings, lines);
    ck_assert(g_str_has_prefix(lines[2], "line  break,'@x\ufffd,2,0,,,,0."));
    ck_assert(g_str_has_suffix(lines[2], ",0.25,1,8,2,2,0,0,0,0,2,2"));
    ck_assert(g_str_has_prefix(lines[3], "\"a \"\"b\"\", c\",'@x\ufffd,1,0,,,,0."));
    ck_assert(g_str_has_suffix(lines[3], ",0.25,1,4,1,1,0,0,0,0,1,1"));
    /* Margins: three concepts, one coverage, all. */
    ck_assert(g_str_has_prefix(lines[4], "'=SUM(A1),All,5,"));
    ck_assert(g_str_has_prefix(lines[7], "All,'@x\ufffd,8,"));
    ck_assert(g_str_has_prefix(lines[8], "All,All,8,1,0.125,"));
    ck_assert(g_str_has_suffix(lines[8], ",,,,,1.75,7,32,8,8,0,0,0,0,8,8"));
    ck_assert_str_eq(lines[9], "");
    ck_assert_ptr_null(lines[10]);
    rb_pairings_clear(&pairings);
}
END_TEST

/* Python's zipfile and ElementTree read back the workbook: the numbers of each row as numbers,
 * equal to the CSV's. */
static const char reader[] =
    "import sys, zipfile, csv, re\n"
    "import xml.etree.ElementTree as tree\n"
    "n = '{http://schemas.openxmlformats.org/spreadsheetml/2006/main}'\n"
    "book = zipfile.ZipFile(sys.argv[1])\n"
    "assert book.testzip() is None\n"
    "texts = [''.join(t.text or '' for t in s.iter(n + 't'))\n"
    "         for s in tree.fromstring(book.read('xl/sharedStrings.xml'))]\n"
    "sheet = tree.fromstring(book.read('xl/worksheets/sheet1.xml'))\n"
    "rows = list(csv.reader(open(sys.argv[2], newline='', encoding='utf-8')))\n"
    "seen = 0\n"
    "for r, row in enumerate(sheet.iter(n + 'row')):\n"
    "    for c in row:\n"
    "        letters = re.match('[A-Z]+', c.get('r')).group()\n"
    "        column = sum((ord(x) - 64) * 26 ** i for i, x in enumerate(letters[::-1])) - 1\n"
    "        value = c.find(n + 'v').text\n"
    "        want = rows[r][column]\n"
    "        if c.get('t') == 's':\n"
    "            assert texts[int(value)] == want, (r, column)\n"
    "        else:\n"
    "            assert r > 0 and column > 1\n"
    "            assert abs(float(value) - float(want)) < 1e-9, (r, column)\n"
    "        seen += 1\n"
    "assert seen == sum(1 for row in rows for cell in row if cell != ''), seen\n"
    "assert 'personal data' in ' '.join(texts)\n"
    "print('rows', len(rows))\n";

START_TEST(test_sheet__workbook_equals_the_csv)
{
    RbExampleReport example;
    rb_example_report_init(&example);
    GError *error = NULL;
    g_autofree char *xlsx = rb_test_path("table.xlsx");
    g_autofree char *csv = rb_test_path("table.csv");
    g_autofree char *script = rb_test_path("read.py");
    g_autofree char *text = rb_pairings_csv(&example.pairings, &example.report.names);
    ck_assert(g_file_set_contents(csv, text, -1, &error));
    ck_assert(g_file_set_contents(script, reader, -1, &error));
    ck_assert(g_file_set_contents(xlsx, "old", -1, &error));
    ck_assert(
        rb_pairings_write_xlsx(&example.pairings, &example.report.names, xlsx, &error));
    rb_assert_no_error(error);
    g_autofree char *command =
        g_strdup_printf("python3 '%s' '%s' '%s'", script, xlsx, csv);
    g_autofree char *out = NULL;
    g_autofree char *err = NULL;
    int status = 0;
    ck_assert(g_spawn_command_line_sync(command, &out, &err, &status, &error));
    ck_assert_msg(status == 0, "%s", err);
    g_autofree char *want = g_strdup_printf(
        "rows %d\n", 1 + example.pairings.n_cells + example.pairings.n_concepts +
                         example.pairings.n_coverages + 1);
    ck_assert_str_eq(out, want);
    rb_example_report_clear(&example);
}
END_TEST

START_TEST(test_sheet__failure_leaves_what_was_there)
{
    RbPairings pairings;
    rb_pairings_build(NULL, 0, &pairings);
    const RbReportNames names = rb_example_names();
    g_autoptr(GError) error = NULL;
    g_autofree char *path = rb_test_path("missing/table.xlsx");
    ck_assert(!rb_pairings_write_xlsx(&pairings, &names, path, &error));
    ck_assert(g_error_matches(error, RB_REPORT_ERROR, RB_REPORT_ERROR_WRITE));
    ck_assert_ptr_nonnull(strstr(error->message, path));
    g_clear_error(&error);
    /* A folder stands where the file should go. */
    ck_assert(!rb_pairings_write_xlsx(&pairings, &names, rb_test_folder(), &error));
    ck_assert_ptr_nonnull(strstr(error->message, "Choose another place."));
    ck_assert(g_file_test(rb_test_folder(), G_FILE_TEST_IS_DIR));
    rb_pairings_clear(&pairings);
}
END_TEST

TCase *rb_case_sheet(void)
{
    TCase *tcase = rb_case_new("sheet");
    tcase_add_test(tcase, test_sheet__csv_whole);
    tcase_add_test(tcase, test_sheet__workbook_equals_the_csv);
    tcase_add_test(tcase, test_sheet__failure_leaves_what_was_there);
    return tcase;
}
