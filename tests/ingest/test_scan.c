/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scans: x,y,z and nothing else, by the lean reader and by the general one. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "jobdir.h"
#include "support/memory.h"

/* A comment that the lean reader's block does not hold makes it give up; its length
 * changes nothing else.  The other begins in the same line. */
enum { LONG_COMMENT = 140000 };

static uint64_t next(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state;
}

static void write_scan(const struct jobdir *dir, const char *name, bool lean,
                       const char *text, size_t length)
{
    char path[200];
    FILE *file;
    size_t mark = length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;

    snprintf(path, sizeof path, "%s/%s", dir->path, name);
    file = fopen(path, "wb");
    cr_assert_not_null(file);
    cr_assert_eq(fwrite(text, 1, mark, file), mark);
    fputc('#', file);
    for (int i = 0; i < LONG_COMMENT && !lean; i++)
        fputc('-', file);
    fputc('\n', file);
    cr_assert_eq(fwrite(text + mark, 1, length - mark, file), length - mark);
    cr_assert_eq(fclose(file), 0);
}

/* ---- both ways give one result ---- */

static void expect_same_notes(const struct bt_set *a, const struct bt_set *b,
                              const char *what)
{
    cr_assert_eq(a->nnote, b->nnote, "%s: %zu notes, %zu", what, a->nnote, b->nnote);
    for (size_t i = 0; i < a->nnote; i++) {
        cr_expect_str_eq(a->note[i].text, b->note[i].text, "%s", what);
        cr_expect_str_eq(a->note[i].file, b->note[i].file, "%s", what);
        cr_expect_eq(a->note[i].line, b->note[i].line, "%s", what);
    }
}

static void expect_same_obs(const struct bt_set *a, const struct bt_set *b,
                            const char *what)
{
    cr_assert_eq(a->readings.nobs, b->readings.nobs, "%s", what);
    for (size_t i = 0; i < a->readings.nobs; i++) {
        const struct bt_obs *p = &a->readings.obs[i], *q = &b->readings.obs[i];
        cr_expect(p->kind == q->kind && p->value == q->value && p->u == q->u &&
                      p->point[0] == q->point[0],
                  "%s: reading %zu", what, i);
    }
}

static void expect_same_points(const struct bt_set *a, const struct bt_set *b,
                               const char *what)
{
    const struct bt_readings *p = &a->readings, *q = &b->readings;

    cr_assert_eq(p->npoint, q->npoint, "%s: %zu, %zu", what, p->npoint, q->npoint);
    cr_assert_eq(!p->scan, !q->scan, "%s", what);
    if (p->npoint)
        cr_expect_eq(memcmp(p->point, q->point, p->npoint * sizeof *p->point), 0, "%s",
                     what);
    if (p->scan) {
        cr_expect_eq(memcmp(p->scan, q->scan, p->npoint * sizeof *p->scan), 0, "%s",
                     what);
        cr_expect_eq(p->scan_u, q->scan_u, "%s: %a, %a", what, p->scan_u, q->scan_u);
    }
    for (size_t i = 0; i < (p->scan ? p->npoint : p->nobs); i++) {
        struct bt_source from = bt_set_source(a, i), to = bt_set_source(b, i);
        cr_expect(from.file == to.file && from.line == to.line, "%s: point %zu", what,
                  i);
    }
}

static void expect_same_sets(const struct bt_set *a, const struct bt_set *b,
                             const char *what)
{
    expect_same_points(a, b, what);
    expect_same_obs(a, b, what);
    expect_same_notes(a, b, what);
    cr_expect_eq(memcmp(a->kinds, b->kinds, sizeof a->kinds), 0, "%s", what);
    cr_expect_eq(memcmp(a->u_origin, b->u_origin, sizeof a->u_origin), 0, "%s", what);
    cr_expect_eq(a->blank, b->blank, "%s", what);
    cr_expect_eq(a->skipped, b->skipped, "%s", what);
    cr_expect_eq(a->one_reference, b->one_reference, "%s", what);
}

static void expect_same(const struct jobdir *a, const struct jobdir *b,
                        const char *what)
{
    cr_assert_eq(a->status, b->status, "%s: status %d, %d", what, (int)a->status,
                 (int)b->status);
    cr_assert_eq(a->faults.n, b->faults.n, "%s", what);
    for (size_t i = 0; i < a->faults.n; i++) {
        cr_expect_str_eq(a->faults.item[i].message, b->faults.item[i].message, "%s",
                         what);
        cr_expect_eq(a->faults.item[i].line, b->faults.item[i].line, "%s", what);
        cr_expect_eq(a->faults.item[i].column, b->faults.item[i].column, "%s", what);
    }
    cr_expect_eq(a->job.system, b->job.system, "%s", what);
    cr_assert_eq(a->job.nset, b->job.nset, "%s", what);
    for (size_t i = 0; i < a->job.nset && a->status == BT_OK; i++)
        expect_same_sets(&a->job.set[i], &b->job.set[i], what);
}

static void make_job(struct jobdir *dir, bool lean, const char *text, size_t length,
                     const char *more)
{
    char ini[1000];

    jobdir_make(dir);
    write_scan(dir, "scan.csv", lean, text, length);
    snprintf(ini, sizeof ini,
             "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 600\n"
             "[readings a]\nfiles = scan.csv%s",
             more);
    jobdir_write(dir, "job.ini", ini);
}

/* Read one file both ways; the lean result is left in *dir, of which the caller is to
 * know whether it is a scan. */
static void read_both_ways(struct jobdir *dir, const char *text, size_t length,
                           const char *more)
{
    struct jobdir general;

    make_job(dir, true, text, length, more);
    make_job(&general, false, text, length, more);
    jobdir_load(dir, NULL);
    jobdir_load(&general, NULL);
    expect_same(dir, &general, text);
    jobdir_remove(&general);
}

static void read_text_both_ways(struct jobdir *dir, const char *text)
{
    read_both_ways(dir, text, strlen(text), "\n");
}

Test(scan, plain_files_of_every_form_are_read_as_the_general_reader_does)
{
    static const char *const texts[] = {
        "x,y,z\n0,0,0.5\n1,0,0.6\n0,300,0.75\n",
        "x_mm,y_mm,z_mm\r\n0,0,-0.5\r\n1.25,0,+0.6\r\n.5,300.,0\r\n",
        "\xEF\xBB\xBFx_in;y_mm;z_thou\n0,5;0;1,25\n47,2;1.5;3\n0;300;-0\n",
        "z_mm\ty_in\tx_mm\n0.01\t1\t2\n -0.02 \t 2\t3 \n0.03\t3\t5",
        "# a\n\n  \n x , y , z # not\n1,2,3\n",
        "x,y,z\n# half way \xC2\xBD\n1,2,3\n\n   \n4,5,6\n\t# end\n7,8,9e-3\n# last",
        "Z_um,X_cm,y_ft\n123456789012345678901234567890e-28,1,0.5\n"
        "0.1000000000000000055511151231257827021181583404541015625,2,1e0\n"
        "9007199254740993e-16,3,1\n18014398509481985e-17,4,1.25\n",
        "x,y,z\n1,2,3\r",
        "x,y,z\n1, 2,\t3\n",
        "\"x\",\"y\",\"z\"\n1,2,3\n",
        "x_mm,y_mm,z_mm\n0,0,00000000000000000000000.125\n0,1,0.00\n"};

    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct jobdir dir;
        read_both_ways(&dir, texts[i], strlen(texts[i]), "\n");
        if (i != 4) { /* where the header has a fault */
            cr_expect_eq(dir.status, BT_OK, "%s", texts[i]);
            cr_expect_not_null(dir.job.set[0].readings.scan, "%s", texts[i]);
        }
        jobdir_remove(&dir);
    }
}

Test(scan, keeps_heights_places_lines_and_u_and_makes_no_observations)
{
    static const char text[] = "x_mm,y_mm,z_mm\n0,0,0.5\n\n# note\n10,0,0.25\n"
                               "0,300,0.7\n";
    struct jobdir dir;
    const struct bt_set *set;

    read_both_ways(&dir, text, strlen(text), "\n");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.npoint, 3);
    cr_expect_eq(set->readings.nobs, 0);
    cr_expect_null(set->readings.obs);
    cr_expect_eq(set->readings.ngroup, 0);
    cr_expect(set->readings.point[1].x == 10 && set->readings.point[2].y == 300);
    cr_expect_eq(set->readings.scan[1], 0.25);
    cr_expect_eq(set->readings.scan_u, 0.01 / sqrt(12));
    cr_expect_eq(bt_set_source(set, 0).line, 3);
    cr_expect_eq(bt_set_source(set, 1).line, 6);
    cr_expect_eq(bt_set_source(set, 2).line, 7);
    cr_expect_eq(set->nrun, 2);
    cr_expect_eq(set->kinds[BT_READ_SCAN], 3);
    cr_expect_eq(set->u_origin[BT_U_DIGIT], 3);
    cr_expect(set->one_reference);
    cr_expect_eq(set->merged, 0);
    jobdir_remove(&dir);
}

/* ---- files made at random, with strange cells among the plain ---- */

static void add_cell(char *text, uint64_t *state, bool strange)
{
    static const char *const odd[] = {"",       "1/2",   "3 mm",
                                      "0.5 in", "nan",   "1e400",
                                      "\"5\"",  "5 6",   "0x1p3",
                                      "- 5",    "--1",   "1..2",
                                      "1.2.",   ".",     "1e",
                                      "1e-",    "12'",   "\xC2\xBD",
                                      "1,5",    "5;",    "inf",
                                      "5000",   "-40",   "1\t",
                                      "+ 1",    "+-1",   "\xE2\x88\x92 3",
                                      "1e5",    "0e308", "1e-310",
                                      "16-Mar", "x",     "1\r2",
                                      "#1",     "4\x01"};
    static const char *const rare[] = {"1e2", "-0",  "+7.5", " 3 ",
                                       "1.",  ".25", "2E1",  "00012.50",
                                       "5",   "0",   "12",   "123.456789012345678"};

    if (strange)
        strcat(text, odd[next(state) % (sizeof odd / sizeof *odd)]);
    else if (next(state) % 3 == 0)
        strcat(text, rare[next(state) % (sizeof rare / sizeof *rare)]);
    else
        sprintf(text + strlen(text), "%d.%0*d", (int)(next(state) % 599),
                1 + (int)(next(state) % 4), (int)(next(state) % 10));
}

static void make_strange(char *text, uint64_t *state)
{
    static const char *const headers[] = {"x,y,z",        "x_mm,y_mm,z_in", "x;y;z",
                                          "x\ty\tz_thou", "z,x,y",          "x,y,z,u",
                                          "x,y,z,note",   "x,y,height"};
    static const char *const others[] = {
        "\n",   "# c\n", "  \n",     ",,\n",      "x,y,z\n", "#\r\n",    "\"\n",
        "\t\n", "1,2\n", "1,2,3,\n", "1,2,3,4\n", "\xFF\n",  "# \xFF\n", "#\r1\n"};
    const char *header = headers[next(state) % (sizeof headers / sizeof *headers)];
    const char *separator = strchr(header, ';')    ? ";"
                            : strchr(header, '\t') ? "\t"
                                                   : ",";
    size_t rows = 1 + next(state) % 6, odd = next(state) % 3 ? next(state) % 20 : 99;
    bool other = next(state) % 4 == 0;

    sprintf(text, "%s%s", header, next(state) % 4 ? "\n" : "\r\n");
    for (size_t i = 0; i < rows; i++) {
        if (other && next(state) % 3 == 0)
            strcat(text, others[next(state) % (sizeof others / sizeof *others)]);
        for (size_t k = 0; k < 3; k++) {
            strcat(text, k ? separator : "");
            add_cell(text, state, 3 * i + k == odd);
        }
        strcat(text, i + 1 < rows || next(state) % 2 ? "\n" : "");
    }
}

Test(scan, files_with_strange_rows_are_read_the_same_by_both_readers)
{
    uint64_t state = 88172645463325252;
    size_t scans = 0, faulty = 0;

    for (int i = 0; i < 1500; i++) {
        struct jobdir dir;
        char text[2000];
        make_strange(text, &state);
        read_both_ways(&dir, text, strlen(text), "\n");
        faulty += dir.status != BT_OK;
        scans += dir.status == BT_OK && dir.job.set[0].readings.scan;
        jobdir_remove(&dir);
    }
    cr_expect(scans > 300 && faulty > 300, "%zu scans, %zu faulty", scans, faulty);
}

/* ---- decimals ---- */

/* As instruments write them, and at times with all the digits that a double has, or
 * halfway between two. */
static void random_decimal(char text[80], uint64_t *state)
{
    uint64_t kind = next(state) % 16;
    double value = (double)(next(state) % 2000001 - 1000000) / 1000;
    uint64_t bits;

    if (kind < 10) {
        snprintf(text, 80, "%.*f", (int)(next(state) % 7), value);
    } else if (kind < 13) {
        snprintf(text, 80, "%.*e", (int)(next(state) % 20), value);
    } else if (kind == 13) { /* 2^53 and what lies beside it, in hundredths */
        snprintf(text, 80, "%llu.%02u",
                 (unsigned long long)(90071992547409u + next(state) % 3),
                 (unsigned)(next(state) % 100));
    } else {
        do {
            bits = next(state);
            memcpy(&value, &bits, sizeof value);
        } while (!(fabs(value) < 1e280) || !(fabs(value) > 1e-280));
        snprintf(text, 80, "%.*e", 14 + (int)(next(state) % 30), value);
    }
}

Test(scan, a_million_decimals_become_what_strtod_makes_of_them)
{
    enum { ROWS = 333334 };
    uint64_t state = 20260611;
    struct jobdir dir;
    char path[200], text[3][80];
    FILE *file;
    const struct bt_readings *r;

    jobdir_make(&dir);
    snprintf(path, sizeof path, "%s/m.csv", dir.path);
    file = fopen(path, "w");
    cr_assert_not_null(file);
    fputs("x_mm,y_mm,z_mm\n", file);
    for (int i = 0; i < ROWS; i++) {
        for (int k = 0; k < 3; k++)
            random_decimal(text[k], &state);
        fprintf(file, "%s,%s,%s\n", text[0], text[1], text[2]);
    }
    cr_assert_eq(fclose(file), 0);
    jobdir_load_file(&dir, "m.csv",
                     &(struct bt_load_options){.length = NAN, .width = NAN});
    cr_assert_eq(dir.status, BT_OK);
    r = &dir.job.set[0].readings;
    cr_assert_not_null(r->scan);
    cr_assert_eq(r->npoint, ROWS);
    state = 20260611;
    for (int i = 0; i < ROWS; i++) {
        const double got[3] = {r->point[i].x, r->point[i].y, r->scan[i]};
        for (int k = 0; k < 3; k++) {
            /* Criterion runs in the C locale; -0 is read as 0 */
            random_decimal(text[k], &state);
            cr_assert(got[k] == strtod(text[k], NULL) &&
                          !(got[k] == 0 && signbit(got[k])),
                      "%s: %a", text[k], got[k]);
        }
    }
    jobdir_remove(&dir);
}

/* ---- what else is in the set ---- */

static const char three_points[] = "x,y,z\n0,0,0.5\n10,0,0.25\n0,300,0.7\n";

Test(scan, beside_another_kind_of_reading_becomes_observations)
{
    struct jobdir dir, general;
    const char *more = ", heights.csv, more.csv\n";
    const struct bt_set *set;

    make_job(&dir, true, three_points, strlen(three_points), more);
    make_job(&general, false, three_points, strlen(three_points), more);
    for (int i = 0; i < 2; i++) {
        struct jobdir *to = i ? &general : &dir;
        jobdir_write(to, "heights.csv", "x,y,height\n0,0,1\n50,0,2\n0,50,3\n");
        write_scan(to, "more.csv", !i, three_points, strlen(three_points));
        jobdir_load_well(to);
    }
    expect_same(&dir, &general, "mixed");
    set = &dir.job.set[0];
    cr_expect_null(set->readings.scan);
    cr_assert_eq(set->readings.nobs, 9);
    cr_expect_eq(set->readings.obs[1].kind, BT_READ_SCAN);
    cr_expect_eq(set->readings.obs[1].value, 0.25);
    cr_expect_eq(set->readings.obs[1].u, 0.01 / sqrt(12));
    expect_place(set, 1, 0, 10, 0);
    cr_expect_eq(set->source[1].line, 4);
    cr_expect_eq(set->readings.obs[4].kind, BT_READ_HEIGHT);
    expect_place(set, 4, 0, 50, 0);
    cr_expect_eq(set->source[7].file, 2);
    cr_expect_eq(bt_set_source(set, 7).line, 4);
    jobdir_remove(&dir);
    jobdir_remove(&general);
}

Test(scan, readings_that_differ_in_u_become_observations)
{
    struct jobdir dir;

    jobdir_load_set(&dir, "x,y,z,u_mm\n0,0,0.5,0.1\n10,0,0.2,0.1\n0,300,0.7,0.2\n", "");
    cr_expect_null(dir.job.set[0].readings.scan);
    cr_assert_eq(dir.job.set[0].readings.nobs, 3);
    cr_expect_eq(dir.job.set[0].readings.obs[2].u, 0.2);
    jobdir_remove(&dir);
}

Test(scan, readings_of_one_typed_u_stay_a_scan)
{
    struct jobdir dir;

    jobdir_load_set(&dir, "x,y,z,u_mm\n0,0,0.5,0.1\n10,0,,0.3\n0,300,0.7,0.1\n", "");
    cr_assert_not_null(dir.job.set[0].readings.scan);
    cr_expect_eq(dir.job.set[0].readings.npoint, 2);
    cr_expect_eq(dir.job.set[0].readings.scan_u, 0.1);
    cr_expect_eq(dir.job.set[0].u_origin[BT_U_TYPED], 2);
    cr_expect_eq(dir.job.set[0].blank, 1);
    cr_expect_eq(bt_set_source(&dir.job.set[0], 1).line, 4);
    jobdir_remove(&dir);
}

Test(scan, several_files_make_one_scan_and_each_point_knows_its_file)
{
    struct jobdir dir, general;
    const char *more = ", second.csv\n";
    const struct bt_set *set;

    make_job(&dir, true, three_points, strlen(three_points), more);
    make_job(&general, false, three_points, strlen(three_points), more);
    for (int i = 0; i < 2; i++) {
        struct jobdir *to = i ? &general : &dir;
        /* one way and the other in one set */
        write_scan(to, "second.csv", i, "x,y,z\n5,5,0.1\n", 14);
        jobdir_load_well(to);
    }
    expect_same(&dir, &general, "two files");
    set = &dir.job.set[0];
    cr_assert_not_null(set->readings.scan);
    cr_expect_eq(set->readings.npoint, 4);
    cr_expect_eq(bt_set_source(set, 2).file, 0);
    cr_expect_eq(bt_set_source(set, 3).file, 1);
    cr_expect_eq(bt_set_source(set, 3).line, 3);
    /* three of 0.01/sqrt(12), one of 0.1/sqrt(12) */
    cr_expect(fabs(set->readings.scan_u -
                   sqrt((3 * 0.01 * 0.01 + 0.1 * 0.1) / 12 / 4)) <= 1e-15);
    jobdir_remove(&dir);
    jobdir_remove(&general);
}

Test(scan, u_is_that_of_the_instrument_where_the_set_states_one)
{
    struct jobdir dir;

    read_both_ways(&dir, three_points, strlen(three_points),
                   "\ninstrument = d\n[instrument d]\nkind = dial\nu = 0.03\n");
    cr_expect_eq(dir.job.set[0].readings.scan_u, 0.03);
    cr_expect_eq(dir.job.set[0].u_origin[BT_U_INSTRUMENT], 3);
    jobdir_remove(&dir);
    read_both_ways(&dir, three_points, strlen(three_points),
                   "\ninstrument = d\n[instrument d]\nkind = dial\nresolution = 0.3\n");
    cr_expect_eq(dir.job.set[0].readings.scan_u, 0.3 / sqrt(12));
    cr_expect_eq(dir.job.set[0].u_origin[BT_U_RESOLUTION], 3);
    jobdir_remove(&dir);
    read_both_ways(&dir, three_points, strlen(three_points),
                   "\ninstrument = d\n[instrument d]\nkind = level\n");
    cr_expect_eq(dir.status, BT_EINPUT);
    jobdir_remove(&dir);
}

/* ---- left out, outside, nothing ---- */

Test(scan, a_line_can_be_left_out)
{
    for (int lean = 0; lean < 2; lean++) {
        struct bt_without without[] = {{"scan.csv", 4, false}, {"scan.csv", 9, true}};
        struct bt_load_options options = {
            .length = NAN, .width = NAN, .nwithout = 2, .without = without};
        struct jobdir dir;
        const struct bt_set *set;
        make_job(&dir, lean, three_points, strlen(three_points), "\n");
        jobdir_load(&dir, &options);
        set = &dir.job.set[0];
        cr_assert_eq(dir.status, BT_OK);
        cr_assert_eq(set->readings.npoint, 2);
        cr_expect_eq(set->skipped, 1);
        cr_expect(without[0].found && !without[1].found);
        cr_expect_eq(set->readings.scan[1], 0.7);
        cr_expect_eq(bt_set_source(set, 1).line, 5);
        /* its digits count, as those of any reading do */
        cr_expect_eq(set->readings.scan_u, 0.01 / sqrt(12));
        jobdir_remove(&dir);
    }
}

Test(scan, without_any_line_left_is_told)
{
    struct bt_without without[] = {{"scan.csv", 3, false}};
    struct bt_load_options options = {.length = NAN,
                                      .width = NAN,
                                      .blank_is_fault = true,
                                      .nwithout = 1,
                                      .without = without};
    struct jobdir dir;

    make_job(&dir, true, "x,y,z\n1,2,3\n", 12, "\n");
    jobdir_load(&dir, &options);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_str_eq(dir.faults.item[0].message,
                     "every reading is left out: 'a', type what you read into "
                     "scan.csv");
    jobdir_remove(&dir);
}

Test(scan, points_outside_the_panel_are_faults_that_end_at_a_thousand)
{
    static char text[60000] = "x,y,z\n1,2,3\n";
    struct jobdir dir;

    for (int i = 0; i < 1500; i++)
        sprintf(text + strlen(text), "%d,603,0.5\n", i % 1000);
    read_both_ways(&dir, text, strlen(text), "\n");
    cr_expect_eq(dir.status, BT_EINPUT);
    cr_assert_eq(dir.faults.n, 1001);
    cr_expect_eq(dir.faults.item[0].line, 4);
    cr_expect_eq(dir.faults.item[0].column, 3);
    cr_expect_str_eq(dir.faults.item[0].message,
                     "outside the panel: '603', y, across the panel, is 0 to 600 mm "
                     "(and up to 2 mm beyond)");
    jobdir_remove(&dir);
    /* the edge itself, and 2 mm beyond, will do */
    read_text_both_ways(&dir, "x,y,z\n-2,602,3\n1202,-2,3\n1,1,1\n");
    cr_expect_eq(dir.status, BT_OK);
    cr_expect_not_null(dir.job.set[0].readings.scan);
    jobdir_remove(&dir);
}

Test(scan, a_header_alone_is_nothing_read_yet)
{
    struct jobdir dir;

    read_text_both_ways(&dir, "x,y,z\n# none\n");
    cr_expect_eq(dir.status, BT_OK);
    cr_expect_not_null(set_note(&dir.job.set[0], "nothing read yet"));
    jobdir_remove(&dir);
}

Test(scan, a_file_that_is_not_there_is_told)
{
    struct jobdir dir;

    make_job(&dir, true, three_points, strlen(three_points), ", other.csv\n");
    jobdir_load(&dir, NULL);
    cr_expect_eq(dir.status, BT_ENOFILE);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_str_eq(dir.faults.item[0].file, "job.ini");
    cr_expect_str_eq(dir.faults.item[0].message,
                     "other.csv: there is no such file: put it into the job folder, or "
                     "name the one that is there");
    jobdir_remove(&dir);
}

/* ---- many blocks ---- */

struct told {
    size_t calls;
    double last;
    bool rises, names;
};

static void take_progress(void *user, const char *file, double share)
{
    struct told *told = user;

    told->calls++;
    told->rises = told->rises && share >= told->last;
    told->last = share;
    told->names = strcmp(file, "scan.csv") == 0;
}

/* Lines of every length end at every place of a block. */
static char *long_text(size_t rows)
{
    char *text = malloc(60 * rows + 10), *at = text;

    cr_assert_not_null(text);
    at += sprintf(at, "x,y,z\n");
    for (size_t i = 0; i < rows; i++) {
        if (i % 1000 == 999)
            at += sprintf(at, "# %zu\r\n", i);
        at += sprintf(at, "%*zu.5,%zu,%zu.%04zu%s", (int)(i % 7), i % 1000, i / 1000,
                      i % 13, i % 9973, i % 2 ? "\n" : "\r\n");
    }
    return text;
}

Test(scan, long_files_are_read_across_blocks_and_tell_how_far_they_are)
{
    enum { ROWS = 100000 };
    struct told told = {.rises = true};
    struct bt_load_options options = {
        .length = NAN, .width = NAN, .progress = take_progress, .progress_user = &told};
    struct jobdir dir;
    const struct bt_set *set;
    char *text = long_text(ROWS);

    make_job(&dir, true, text, strlen(text), "\n");
    jobdir_load(&dir, &options);
    cr_assert_eq(dir.status, BT_OK);
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.npoint, ROWS);
    for (size_t i = 0; i < ROWS; i++) {
        double z = (double)(i % 13) + (double)(i % 9973) / 1e4;
        cr_assert_eq(set->readings.point[i].x, (double)(i % 1000) + 0.5);
        cr_assert_eq(set->readings.point[i].y, (double)(i / 1000));
        cr_assert(fabs(set->readings.scan[i] - z) <= 1e-14 * 13);
        cr_assert_eq(bt_set_source(set, i).line, 3 + i + (i + 1) / 1000);
    }
    cr_expect(told.calls >= 10 && told.rises && told.names);
    cr_expect_eq(told.last, 1);
    jobdir_remove(&dir);
    free(text);
}

Test(scan, a_fault_behind_the_first_block_is_found_at_its_place)
{
    struct jobdir dir;
    char *text = long_text(20000);

    strcpy(text + strlen(text), "5,5,five\n");
    read_both_ways(&dir, text, strlen(text), "\n");
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_eq(dir.faults.item[0].line, 20000 + 20 + 3);
    cr_expect_eq(dir.faults.item[0].column, 5);
    jobdir_remove(&dir);
    free(text);
}

/* ---- notes ---- */

Test(scan, check_names_points_at_one_place)
{
    static const char text[] = "x,y,z\n0,0,0.5\n10,0,0.2\n0,300,0.7\n10.0,0,0.3\n"
                               "-0,0,0.4\n10.000001,0,1\n";
    struct jobdir dir;
    const struct bt_note *note;

    read_both_ways(&dir, text, strlen(text), ", more.csv\n");
    jobdir_remove(&dir);
    make_job(&dir, true, text, strlen(text), ", more.csv\n");
    jobdir_write(&dir, "more.csv", "x,y,z\n0,300,0.7\n");
    jobdir_load_well(&dir);
    note = set_note(&dir.job.set[0], "the same place as line 4; both heights count");
    cr_assert_not_null(note);
    cr_expect_eq(note->line, 6);
    note = set_note(&dir.job.set[0], "the same place as line 3; both heights count");
    cr_assert_not_null(note);
    cr_expect_eq(note->line, 7);
    note = set_note(&dir.job.set[0],
                    "the same place as scan.csv, line 5; both heights count");
    cr_assert_not_null(note);
    cr_expect_str_eq(note->file, "more.csv");
    cr_expect_eq(note->line, 2);
    cr_expect_eq(dir.job.set[0].readings.npoint, 7);
    jobdir_remove(&dir);
}

static size_t notes_with(const struct bt_set *set, const char *text)
{
    size_t n = 0;

    for (size_t i = 0; i < set->nnote; i++)
        n += strstr(set->note[i].text, text) != NULL;
    return n;
}

/* A gently curved panel with `spikes` heights far off, and `twice` points repeated. */
static void make_panel(char *text, int spikes, int twice)
{
    char *at = text + sprintf(text, "x,y,z\n");

    for (int i = 0; i < 1000; i++) {
        int x = i % 40 * 30, y = i / 40 * 24;
        double z = i % 31 == 7 && i / 31 < spikes
                       ? (i % 2 ? 55.5 : -60)
                       : 2.0 * (x - 600.0) * (x - 600.0) / 360000 + (i * 7 % 5) * 0.01;
        at += sprintf(at, "%d,%d,%.2f\n", x, y, z);
    }
    for (int i = 0; i < twice; i++)
        at += sprintf(at, "%d,0,%.2f\n", i * 30,
                      2.0 * (i * 30 - 600.0) * (i * 30 - 600.0) / 360000);
}

Test(scan, check_names_heights_far_off_and_flatness_does_not_look)
{
    static char text[30000];
    struct jobdir dir;
    const struct bt_note *note;

    make_panel(text, 2, 0);
    read_both_ways(&dir, text, strlen(text), "\n");
    cr_expect_eq(notes_with(&dir.job.set[0], "far off"), 2);
    note = set_note(&dir.job.set[0], "above the mean plane");
    cr_assert_not_null(note);
    cr_expect_eq(note->line, 3 + 7);
    note = set_note(&dir.job.set[0], "below the mean plane");
    cr_assert_not_null(note);
    cr_expect_eq(note->line, 3 + 7 + 31);
    jobdir_remove(&dir);
    make_panel(text, 2, 2);
    make_job(&dir, true, text, strlen(text), "\n");
    jobdir_load(&dir, &(struct bt_load_options){.length = NAN, .width = NAN});
    cr_assert_eq(dir.status, BT_OK);
    cr_expect_eq(notes_with(&dir.job.set[0], "far off"), 0);
    cr_expect_eq(notes_with(&dir.job.set[0], "same place"), 0);
    jobdir_remove(&dir);
}

Test(scan, a_panel_without_slips_has_nothing_far_off)
{
    static char text[30000];
    struct jobdir dir;

    make_panel(text, 0, 0);
    read_both_ways(&dir, text, strlen(text), "\n");
    cr_expect_eq(dir.job.set[0].nnote, 1); /* where u is from */
    jobdir_remove(&dir);
}

Test(scan, after_twenty_notes_of_a_kind_their_number_is_told)
{
    static char text[30000];
    struct jobdir dir;

    make_panel(text, 25, 30);
    read_both_ways(&dir, text, strlen(text), "\n");
    cr_expect_eq(notes_with(&dir.job.set[0], "far off:"), 20);
    cr_expect_eq(notes_with(&dir.job.set[0], "25 heights in all are far off"), 1);
    cr_expect_eq(notes_with(&dir.job.set[0], "the same place as"), 20);
    cr_expect_eq(
        notes_with(&dir.job.set[0], "30 points in all stand at the place of another"),
        1);
    jobdir_remove(&dir);
}

Test(scan, points_on_one_line_have_no_mean_plane_and_no_note_of_it)
{
    struct jobdir dir;

    read_text_both_ways(&dir, "x,y,z\n0,0,1\n5,0,1\n10,0,900\n");
    cr_expect_eq(dir.status, BT_OK);
    cr_expect_eq(notes_with(&dir.job.set[0], "far off"), 0);
    jobdir_remove(&dir);
}

/* ---- memory ---- */

/* libcsv asks again for less where it gets no room: a failure may then pass. */
static void fail_each(const struct jobdir *dir)
{
    const size_t before = memory_live();
    size_t calls = SIZE_MAX, passed = 0;

    for (size_t k = 1; k <= calls; k++) {
        struct jobdir run = *dir;
        memory_fail_at(k);
        jobdir_load(&run, NULL);
        if (memory_calls() < k)
            calls = 0; /* the end was reached before */
        else if (run.status != BT_ENOMEM)
            passed++;
        memory_fail_at(0);
        /* or the program would have nothing to say, and take it for success */
        cr_expect_eq(bt_faults_status(&run.faults), run.status, "allocation %zu", k);
        bt_job_clear(&run.job);
        bt_faults_clear(&run.faults);
        cr_assert_eq(memory_live(), before, "allocation %zu", k);
    }
    cr_expect(passed <= 6, "%zu failures passed", passed); /* two for a table */
}

Test(scan, each_failing_allocation_is_told_and_leaks_nothing)
{
    static char text[30000];
    struct jobdir dir;

    make_panel(text, 25, 30);
    make_job(&dir, true, text, strlen(text), ", two.csv\n");
    jobdir_write(&dir, "two.csv", "x,y,z\n0,300,0.7\n\n0,301,0.7\n");
    fail_each(&dir);
    jobdir_remove(&dir);
    make_job(&dir, true, three_points, strlen(three_points), ", two.csv\n");
    jobdir_write(&dir, "two.csv", "x,y,height\n0,300,0.7\n1,1,0.7\n0,1,1\n");
    fail_each(&dir);
    jobdir_remove(&dir);
}
