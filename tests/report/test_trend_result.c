/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Dated sets of a job compared: from files to the answer, its text and its JSON. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/trend_text.h"
#include "ingest/jobdir.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(trend_result, .init = quiet_gsl);

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

/* ---- jobs ---- */

static const char limits[] = "[limits]\ncup = 1 mm\nbow = 1 mm\ntwist = 1 mm\n";

/* What a set of the job is; heights at nine places, typed to 0.01 mm. */
struct typed {
    const char *name, *more; /* more: `date = ...` and other lines of its section */
    double cup, bow, twist;
};

static void write_set(const struct jobdir *dir, size_t i, const struct typed *t)
{
    char name[32], text[1024];
    int n = snprintf(text, sizeof text, "height_mm@mm,0,600,1200\n");

    for (int y = -1; y <= 1; y++) {
        n += snprintf(text + n, sizeof text - (size_t)n, "%d", 300 + 300 * y);
        for (int x = -1; x <= 1; x++)
            n += snprintf(text + n, sizeof text - (size_t)n, ",%.2f",
                          5 - t->bow * x * x - t->cup * y * y + t->twist / 4 * x * y);
        n += snprintf(text + n, sizeof text - (size_t)n, "\n");
    }
    snprintf(name, sizeof name, "set%zu.csv", i);
    jobdir_write(dir, name, text);
}

/* more: of job.ini, `[limits]` and the like; thickness: with its key, or "". */
static void load(struct jobdir *dir, const char *thickness, const char *more, size_t n,
                 const struct typed typed[])
{
    char ini[4096];
    int at;

    jobdir_make(dir);
    at = snprintf(ini, sizeof ini,
                  "[job]\nunits = mm\ntitle = Oak window seat\n[panel]\n"
                  "length = 1200 mm\nwidth = 600 mm\n%s\n%s",
                  thickness, more);
    for (size_t i = 0; i < n; i++) {
        write_set(dir, i, &typed[i]);
        at += snprintf(ini + at, sizeof ini - (size_t)at,
                       "[readings %s]\nfiles = set%zu.csv\n%s\n", typed[i].name, i,
                       typed[i].more);
    }
    jobdir_write(dir, "job.ini", ini);
    jobdir_load(dir, NULL);
    cr_assert_eq(dir->status, BT_OK, "%s",
                 dir->faults.n ? dir->faults.item[0].message : "?");
}

static const char inch[] = "thickness = 25 mm";

static struct bt_trend_answer answer_of(const struct jobdir *dir,
                                        const struct bt_trend_request *request)
{
    struct bt_trend_answer answer;
    struct bt_error err = {0};

    cr_assert_eq(bt_trend_answer_find(&dir->job, request, &answer, &err), BT_OK, "%s",
                 err.message);
    return answer;
}

static const struct bt_text_options plain = {.system = BT_SYSTEM_MM};

/* The text of an answer; to be freed with bt_buffer_clear. */
static struct bt_buffer text_of(const struct bt_trend_answer *answer, bool details)
{
    struct bt_text_options options = plain;
    struct bt_buffer out = {0};

    options.details = details;
    cr_assert_eq(bt_text_trend(answer, &options, &out), BT_OK);
    return out;
}

static void expect_first_line(const struct bt_trend_answer *answer, const char *want)
{
    struct bt_buffer out = text_of(answer, false);

    *strchr(out.text, '\n') = '\0';
    cr_expect_str_eq(out.text, want);
    bt_buffer_clear(&out);
}

static void expect_in_text(const struct bt_trend_answer *answer, const char *want)
{
    struct bt_buffer out = text_of(answer, true);

    cr_expect_not_null(strstr(out.text, want), "'%s' is not in\n%s", want, out.text);
    bt_buffer_clear(&out);
}

static void done(struct bt_trend_answer *answer, struct jobdir *dir)
{
    bt_trend_answer_clear(answer);
    jobdir_remove(dir);
}

/* ---- two sets ---- */

/*
 * By hand: nine heights of u = 0.01/sqrt(12) on a grid of 3 by 3 give cup and bow
 * u sqrt(1/2) (sum of (v^2 - 2/3)^2 is 2), twist 4 u sqrt(1/4); a change sqrt(2) more.
 * The drying time constant of 25 mm is 7.3 to 24.4 d (reference/checks.py, section 6),
 * their geometric mean 13.4.
 */
Test(trend_result, change_of_each_figure_is_told_with_u_and_what_matters)
{
    static const struct typed sets[] = {
        {"clamps off", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"a week on", "date = 2026-03-09", -0.5, 0.2, 0.4}};
    const double u = 0.01 / sqrt(12);
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, limits, 2, sets);
    a = answer_of(&dir, NULL);
    cr_expect_eq(a.verdict, BT_TREND_MOVED);
    cr_expect_eq(a.line[0].figure, BT_FIGURE_CUP);
    near(a.line[0].change.value, 0.3, 1e-9, "cup");
    near(a.line[0].change.u, u, 1e-9, "u of cup");
    near(a.line[1].change.value, 0, 1e-9, "bow");
    near(a.line[1].change.u, u, 1e-9, "u of bow");
    near(a.line[2].change.u, 2 * sqrt(2) * u, 1e-9, "u of twist");
    near(a.line[0].matters, 0.25, 1e-12, "a quarter of 1 mm");
    near(a.line[0].total.value, 0.3, 1e-9, "all told");
    cr_expect_eq(a.line[0].verdict, BT_TREND_MOVED);
    cr_expect_eq(a.line[1].verdict, BT_TREND_SETTLED);
    cr_expect(a.same_places);
    cr_expect(!a.line[0].fitted);
    near(a.tau.middle, 13.4, 0.05, "time constant");
    cr_expect_eq(a.next, BT_TREND_NEXT_CONSTANT);
    expect_first_line(&a, "Moved: cup 0.300 mm towards crowned in the 7 days to "
                          "2026-03-09. Next: leave it as it is, neither plane nor fit "
                          "it, and read it again on 2026-03-23, after the 14 days in "
                          "which it comes most of its way.");
    done(&a, &dir);
}

Test(trend_result, a_panel_that_rests_for_a_time_constant_has_settled)
{
    static const struct typed sets[] = {
        {"first", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"second", "date = 2026-03-16", -0.8, 0.2, 0.4}};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, limits, 2, sets);
    a = answer_of(&dir, NULL);
    cr_expect_eq(a.verdict, BT_TREND_SETTLED);
    cr_expect_eq(a.next, BT_TREND_NEXT_NONE);
    expect_first_line(&a,
                      "Settled: cup, bow, twist changed by less than matters in the "
                      "14 days to 2026-03-16. Next: go on with the work, in the air "
                      "that it lies in now.");
    done(&a, &dir);
}

Test(trend_result, a_panel_that_rests_for_two_days_is_to_be_looked_at_again)
{
    static const struct typed sets[] = {
        {"first", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"second", "date = 2026-03-04", -0.8, 0.2, 0.4}};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, limits, 2, sets);
    a = answer_of(&dir, NULL);
    cr_expect_eq(a.verdict, BT_TREND_SETTLED);
    cr_expect_eq(a.next, BT_TREND_NEXT_CONSTANT);
    expect_first_line(&a,
                      "Settled: cup, bow, twist changed by less than matters in the "
                      "2 days to 2026-03-04. Next: leave it as it is, and read it "
                      "again on 2026-03-18, after the 14 days in which it comes most "
                      "of its way.");
    done(&a, &dir);
}

Test(trend_result, without_a_thickness_one_looks_again_after_as_long_again)
{
    static const struct typed sets[] = {
        {"first", "date = 2026-02-27", -0.8, 0.2, 0.4},
        {"second", "date = 2026-03-04", -0.8, 0.2, 0.1}};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, "", limits, 2, sets);
    a = answer_of(&dir, NULL);
    cr_expect(!a.tau_known);
    cr_expect_eq(a.next, BT_TREND_NEXT_AGAIN);
    expect_in_text(&a, "Drying:    not known: state the thickness in job.ini");
    expect_first_line(&a, "Moved: twist 0.300 mm towards B and D high in the 5 days to "
                          "2026-03-04. Next: leave it as it is, neither plane nor fit "
                          "it, and read it again on 2026-03-09.");
    done(&a, &dir);
}

Test(trend_result, a_change_too_small_to_see_but_not_to_matter_cannot_be_told)
{
    static const struct typed sets[] = {
        {"first", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"second", "date = 2026-03-16", -0.8, 0.2, 0.4}};
    static const struct bt_trend_request strict = {.share = 0.005};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, "[limits]\ncup = 1 mm\nbow = 2 mm\n", 2, sets);
    a = answer_of(&dir, &strict);
    cr_expect_eq(a.line[0].verdict, BT_TREND_CANNOT_TELL);
    cr_expect_eq(a.line[1].verdict, BT_TREND_SETTLED);
    cr_expect(isnan(a.line[2].matters));
    cr_expect_eq(a.line[2].verdict, BT_TREND_CANNOT_TELL);
    cr_expect_eq(a.verdict, BT_TREND_CANNOT_TELL);
    expect_first_line(&a,
                      "Cannot tell: cup may have changed by up to 0.006 mm, 0.01 mm "
                      "matters. Next: leave it as it is, and read it again on "
                      "2026-03-30, after the 14 days in which it comes most of its "
                      "way.");
    done(&a, &dir);
}

Test(trend_result, without_limits_nothing_says_what_matters)
{
    static const struct typed sets[] = {
        {"first", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"second", "date = 2026-03-16", -0.8, 0.2, 0.4}};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, "", 2, sets);
    a = answer_of(&dir, NULL);
    cr_expect_eq(a.verdict, BT_TREND_CANNOT_TELL);
    expect_first_line(&a,
                      "Cannot tell: no movement is seen in the 14 days to "
                      "2026-03-16, but the job limits neither cup, bow nor twist, so "
                      "that nothing says what matters. Next: state limits in "
                      "job.ini, and read it again on 2026-03-30, after the 14 days "
                      "in which it comes most of its way.");
    done(&a, &dir);
}

/* ---- which sets ---- */

/* One of each that cannot be used, around two that can. */
static const struct typed mixed[] = {{"old", "", -0.9, 0.2, 0.4},
                                     {"no day", "", -0.8, 0.2, 0.4},
                                     {"first", "", -0.8, 0.2, 0.4},
                                     {"turned", "", 0.8, -0.2, 0.4},
                                     {"last", "", -0.5, 0.2, 0.4}};

static void load_mixed(struct jobdir *dir, size_t n)
{
    jobdir_make(dir);
    for (size_t i = 0; i < n; i++)
        write_set(dir, i, &mixed[i]);
    jobdir_write(dir, "set5.csv", "x_mm,y_mm,height_mm\n0,0,1\n600,0,1\n1200,0,1\n");
    jobdir_write(dir, "set6.csv", "x_mm,y_mm,height_mm\n0,0,\n600,0,\n1200,300,\n");
    jobdir_write(
        dir, "job.ini",
        "[job]\nunits = mm\n[panel]\nlength = 1200 mm\nwidth = 600 mm\n"
        "[limits]\ncup = 1 mm\n"
        "[readings old]\nfiles = set0.csv\ndate = 2026-02-01\n"
        "[readings no day]\nfiles = set1.csv\n"
        "[readings first]\nfiles = set2.csv\ndate = 2026-03-02\n"
        "[readings turned]\nfiles = set3.csv\ndate = 2026-03-05\nface = bottom\n"
        "[readings last]\nfiles = set4.csv\ndate = 2026-03-09\n"
        "[readings line]\nfiles = set5.csv\ndate = 2026-03-08\n"
        "[readings empty]\nfiles = set6.csv\ndate = 2026-03-20\n");
    jobdir_load(dir, NULL);
    cr_assert_eq(dir->status, BT_OK, "%s",
                 dir->faults.n ? dir->faults.item[0].message : "?");
}

Test(trend_result, sets_that_cannot_be_compared_are_left_out_and_told)
{
    static const struct {
        const char *name;
        enum bt_trend_use use;
        const char *why;
    } rows[] = {
        {"no day", BT_TREND_UNDATED, "no date"},
        {"old", BT_TREND_BEFORE, "before the day asked for"},
        {"first", BT_TREND_USED, ""},
        {"turned", BT_TREND_OTHER_FACE, "read on the bottom face"},
        {"line", BT_TREND_NO_SURFACE,
         "all readings lie on one line, which shows no plane: read a second line "
         "beside it"},
        {"last", BT_TREND_USED, ""},
        {"empty", BT_TREND_BLANK, "no reading yet"}};
    struct bt_trend_request request = {.only = true};
    struct bt_trend_answer a;
    struct jobdir dir;

    cr_assert(bt_day_of_date("2026-03-02", &request.since));
    load_mixed(&dir, 5);
    a = answer_of(&dir, &request);
    cr_assert_eq(a.nset, 7);
    cr_expect_eq(a.nused, 2);
    for (size_t i = 0; i < 7; i++) {
        cr_expect_str_eq(a.set[i].set->name, rows[i].name);
        cr_expect_eq(a.set[i].use, rows[i].use, "%s", rows[i].name);
        cr_expect_str_eq(bt_trend_left_out(&a.set[i]), rows[i].why);
    }
    near(a.line[0].change.value, 0.3, 1e-9, "cup");
    expect_in_text(&a, "Left out:  no day, undated: no date\n");
    expect_in_text(&a, "Left out:  turned, 2026-03-05: read on the bottom face\n");
    expect_in_text(&a, "Left out:  line, 2026-03-08: all readings lie on one line");
    expect_in_text(&a, "Left out:  empty, 2026-03-20: no reading yet\n");
    expect_in_text(&a, "Left out:  old, 2026-02-01: before the day asked for\n");
    done(&a, &dir);
}

/* The latest set decides the face; cup and bow of the other are not even looked at. */
Test(trend_result, the_face_is_that_of_the_latest_set)
{
    static const struct typed sets[] = {
        {"up", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"down", "date = 2026-03-03\nface = bottom", 0.8, -0.2, 0.4},
        {"down again", "date = 2026-03-20\nface = bottom", 0.7, -0.2, 0.4}};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, limits, 3, sets);
    a = answer_of(&dir, NULL);
    cr_expect_eq(a.nused, 2);
    near(a.line[0].change.value, -0.1, 1e-9, "cup");
    cr_expect_str_eq(bt_trend_left_out(&a.set[0]), "read on the top face");
    expect_in_text(&a, "Bottom face, seen as it was read");
    expect_in_text(&a,
                   "Moved: cup 0.100 mm towards hollow in the 17 days to 2026-03-20, "
                   "too little to matter so far. Next: ");
    done(&a, &dir);
}

Test(trend_result, sets_of_one_day_are_not_compared_with_each_other)
{
    static const struct typed sets[] = {
        {"early", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"again", "date = 2026-03-09", -0.5, 0.2, 0.4},
        {"and again", "date = 2026-03-09", -0.52, 0.2, 0.4}};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, limits, 3, sets);
    a = answer_of(&dir, NULL);
    cr_expect_eq(a.before, 0);
    cr_expect_eq(a.latest, 2);
    near(a.line[0].change.value, 0.28, 1e-9, "cup");
    cr_expect(!a.line[0].fitted, "two days are too few");
    done(&a, &dir);
}

static void expect_refused(const struct jobdir *dir,
                           const struct bt_trend_request *request, const char *message)
{
    struct bt_trend_answer a;
    struct bt_error err = {0};

    cr_expect_eq(bt_trend_answer_find(&dir->job, request, &a, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, message);
    bt_trend_answer_clear(&a);
}

Test(trend_result, refuses_a_job_without_two_days)
{
    static const struct typed same[] = {
        {"one", "date = 2026-03-09", -0.8, 0.2, 0.4},
        {"two", "date = 2026-03-09", -0.5, 0.2, 0.4},
        {"three", "", -0.5, 0.2, 0.4},
        {"four", "date = 2026-03-01\nface = bottom", -0.5, 0.2, 0.4}};
    struct bt_trend_request late = {.only = true};
    struct jobdir dir;

    load(&dir, inch, limits, 4, same);
    expect_refused(&dir, NULL,
                   "a trend needs sets of readings of two days, on one face; all that "
                   "can be compared are of 2026-03-09; left out: three (no date), four "
                   "(read on the bottom face); write date = 2026-03-02 (the day of the "
                   "readings) under [readings three] in job.ini");
    cr_assert(bt_day_of_date("2026-04-01", &late.since));
    expect_refused(
        &dir, &late,
        "a trend needs sets of readings of two days, on one face; of this "
        "job none can be used: three (no date), four (before the day asked for), one "
        "(before the day asked for), two (before the day asked for); write date = "
        "2026-03-02 (the day of the readings) under [readings three] in job.ini");
    jobdir_remove(&dir);
    load(&dir, inch, limits, 1, same);
    expect_refused(&dir, NULL,
                   "a trend needs sets of readings of two days, on one face; all that "
                   "can be compared are of 2026-03-09");
    jobdir_remove(&dir);
    load(&dir, inch, limits, 0, same);
    expect_refused(&dir, NULL,
                   "a trend needs sets of readings of two days, on one face; this job "
                   "names none");
    jobdir_remove(&dir);
    bt_trend_answer_clear(NULL);
}

Test(trend_result, refuses_a_share_out_of_range)
{
    static const double bad[] = {-0.1, 1.01, NAN, INFINITY};
    static const struct typed sets[] = {
        {"first", "date = 2026-03-02", -0.8, 0.2, 0.4},
        {"second", "date = 2026-03-04", -0.8, 0.2, 0.4}};
    struct jobdir dir;

    load(&dir, inch, limits, 2, sets);
    for (size_t i = 0; i < 4; i++) {
        const struct bt_trend_request request = {.share = bad[i]};

        expect_refused(&dir, &request,
                       "the share of a limit must be over 0 % and at most 100 %");
    }
    jobdir_remove(&dir);
}

/* ---- straightedges, and other places ---- */

Test(trend_result, one_straightedge_does_not_count_twice)
{
    struct bt_trend_answer a = {0};
    struct bt_faults faults = {0};
    struct bt_job job = {0};
    struct bt_error err;

    bt_job_init(&job);
    cr_assert_eq(bt_job_load(BT_SAMPLE_DIR "/cherry-shelf", NULL, &job, &faults),
                 BT_OK);
    cr_assert_eq(bt_trend_answer_find(&job, NULL, &a, &err), BT_OK);
    cr_assert_eq(a.nused, 4);
    for (size_t i = 0; i < 4; i++) {
        const struct bt_form_parts *parts = &a.set[i].parts;

        cr_assert_eq(parts->nshare, 1);
        cr_expect(fabs(parts->share[0].effect.cup) > parts->own.cup,
                  "the straightedge is the larger part of u");
    }
    near(a.line[0].change.u, hypot(a.set[2].parts.own.cup, a.set[3].parts.own.cup),
         1e-9, "u of the change of cup");
    cr_expect(a.line[0].change.u < a.set[3].parts.form.cup.u);
    expect_in_text(&a, "one straightedge both times, whose own shape does not count "
                       "twice");
    bt_trend_answer_clear(&a);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
}

/* Waves that the form does not hold, read at other places the second time. */
Test(trend_result, other_places_add_what_finer_shapes_may_do)
{
    struct bt_trend_answer a;
    struct jobdir dir;
    char text[2][4096];

    for (int set = 0; set < 2; set++) {
        int n = snprintf(text[set], sizeof text[set], "x_mm,y_mm,height_mm\n");

        for (int i = 0; i < 25; i++) {
            const double x = 300 * (i % 5) - (set ? 40 * (i % 5 == 4) : 0);
            const double y = 150 * (i / 5);

            n += snprintf(text[set] + n, sizeof text[set] - (size_t)n,
                          "%.0f,%.0f,%.2f\n", x, y, 0.1 * sin(i * 1.7));
        }
    }
    jobdir_make(&dir);
    jobdir_write(&dir, "a.csv", text[0]);
    jobdir_write(&dir, "b.csv", text[1]);
    jobdir_write(&dir, "job.ini",
                 "[job]\nunits = mm\n[panel]\nlength = 1200 mm\nwidth = 600 mm\n"
                 "[limits]\ncup = 1 mm\n"
                 "[readings a]\nfiles = a.csv\ndate = 2026-03-02\n"
                 "[readings b]\nfiles = b.csv\ndate = 2026-03-09\n");
    jobdir_load(&dir, NULL);
    cr_assert_eq(dir.status, BT_OK);
    a = answer_of(&dir, NULL);
    cr_expect(!a.same_places);
    cr_expect(a.set[1].parts.misfit.cup > 5 * a.set[1].parts.own.cup);
    near(a.line[0].change.u,
         hypot(hypot(a.set[0].parts.own.cup, a.set[0].parts.misfit.cup),
               hypot(a.set[1].parts.own.cup, a.set[1].parts.misfit.cup)),
         1e-12, "u of the change");
    expect_in_text(&a, "Places:    not the same both times, which is in u");
    done(&a, &dir);
}

Test(trend_result, a_figure_that_one_set_does_not_show_is_not_seen)
{
    struct bt_trend_answer a;
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "a.csv", "gap-along_mm@mm,0,600,1200\n0,0,0.2,0\n300,0,0.2,0\n");
    jobdir_write(&dir, "b.csv", "gap-along_mm@mm,0,600,1200\n0,0,0.2,0\n300,0,0.2,0\n");
    jobdir_write(&dir, "job.ini",
                 "[job]\nunits = mm\n[panel]\nlength = 1200 mm\nwidth = 600 mm\n"
                 "[limits]\ncup = 1 mm\nbow = 0.2 mm\n"
                 "[readings a]\nfiles = a.csv\ndate = 2026-03-02\n"
                 "[readings b]\nfiles = b.csv\ndate = 2026-03-09\n");
    jobdir_load(&dir, NULL);
    cr_assert_eq(dir.status, BT_OK);
    a = answer_of(&dir, NULL);
    cr_expect_eq(a.line[0].verdict, BT_TREND_NOT_SEEN);
    cr_expect_eq(a.verdict, BT_TREND_CANNOT_TELL);
    expect_in_text(&a, "Cannot tell: cup was not seen each time; bow may have changed "
                       "by up to ");
    expect_in_text(&a, "Next: read what shows it each time (benchtrue flatness says "
                       "what)");
    done(&a, &dir);
}

/* ---- where it comes to rest ---- */

/* cup = -0.4 - 0.8 2^(-t/10): what is left halves in ten days, tau 10/ln 2. */
static const struct typed series[] = {{"day 0", "date = 2026-03-02", -1.20, 0.2, 0.4},
                                      {"day 10", "date = 2026-03-12", -0.80, 0.2, 0.4},
                                      {"day 20", "date = 2026-03-22", -0.60, 0.2, 0.4},
                                      {"day 30", "date = 2026-04-01", -0.50, 0.2, 0.4}};

Test(trend_result, three_days_and_more_tell_where_it_comes_to_rest)
{
    struct bt_trend_answer a;
    struct bt_measured end;
    struct jobdir dir;

    load(&dir, inch, limits, 4, series);
    a = answer_of(&dir, NULL);
    cr_assert(a.line[0].fitted && a.line[0].follows);
    end = bt_trend_end(&a.line[0].rest);
    near(end.value, -0.4, 1e-4, "end");
    cr_expect(end.u > 0.001 && end.u < 0.02, "%g", end.u);
    near(bt_trend_left(&a.line[0].rest, a.line[0].rest.last).value, 0.1, 1e-4,
         "still to come");
    cr_expect_eq(a.line[0].at_rest, BT_WITHIN);
    near(a.line[0].rest.tau, 10 / log(2), 1e-2, "time constant");
    near(a.line[0].total.value, 0.7, 1e-9, "all told");
    near(a.line[0].change.value, 0.1, 1e-9, "the last ten days");
    cr_expect_eq(a.next, BT_TREND_NEXT_REST);
    expect_in_text(&a, "Where it comes to rest if nothing changes");
    expect_in_text(&a, " mm towards crowned");
    expect_in_text(&a, "time constant 1");
    /* what is to come, 0.1 mm, over 0.002 is more than e^3: three time constants */
    cr_expect_eq(a.next_day, a.set[3].day + 44);
    done(&a, &dir);
}

Test(trend_result, readings_that_jump_do_not_follow_an_approach_to_rest)
{
    struct typed jump[4];
    struct bt_trend_answer a;
    struct jobdir dir;

    memcpy(jump, series, sizeof jump);
    jump[2].cup = -1.6; /* wetted in between */
    load(&dir, inch, limits, 4, jump);
    a = answer_of(&dir, NULL);
    cr_expect(a.line[0].fitted && !a.line[0].follows);
    cr_expect_eq(a.line[0].at_rest, BT_NOT_SEEN);
    expect_in_text(&a, "its readings do not follow an approach to rest");
    done(&a, &dir);
}

Test(trend_result, where_waiting_shows_no_more_finer_readings_are_asked_for)
{
    static const struct typed rests[] = {
        {"day 0", "date = 2026-03-02", -0.5, 0.2, 0.4},
        {"day 20", "date = 2026-03-22", -0.5, 0.2, 0.4},
        {"day 60", "date = 2026-05-01", -0.5, 0.2, 0.4}};
    static const struct bt_trend_request strict = {.share = 0.005};
    struct bt_trend_answer a;
    struct jobdir dir;

    load(&dir, inch, limits, 3, rests);
    a = answer_of(&dir, &strict);
    cr_expect_eq(a.verdict, BT_TREND_CANNOT_TELL);
    cr_expect_eq(a.next, BT_TREND_NEXT_FINER);
    expect_in_text(&a, "Next: read it at more places, at the same ones each time, or "
                       "with a finer instrument.");
    done(&a, &dir);
}

/* ---- JSON ---- */

static const cJSON *at(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);

    cr_assert_not_null(item, "no '%s'", key);
    return item;
}

Test(trend_result, json_says_what_the_answer_says)
{
    struct bt_buffer out = {0};
    struct bt_trend_answer a;
    struct jobdir dir;
    const cJSON *cup;
    cJSON *json;

    load(&dir, inch, limits, 4, series);
    a = answer_of(&dir, NULL);
    cr_assert_eq(bt_json_trend(&a, &out), BT_OK);
    json = cJSON_Parse(out.text);
    cr_assert_not_null(json);
    cr_expect_str_eq(at(json, "verdict")->valuestring, "moved");
    cr_expect_str_eq(at(json, "from")->valuestring, "day 20");
    cr_expect_str_eq(at(json, "to")->valuestring, "day 30");
    near(at(json, "days")->valuedouble, 10, 0, "days");
    cup = at(json, "figures")->child;
    cr_expect_str_eq(at(cup, "name")->valuestring, "cup");
    near(at(at(cup, "change_mm"), "value")->valuedouble, a.line[0].change.value, 0,
         "change");
    near(at(at(at(cup, "rest"), "end_mm"), "u")->valuedouble,
         bt_trend_end(&a.line[0].rest).u, 0, "u of end");
    cr_expect_eq(cJSON_GetArraySize(at(json, "sets")), 4);
    cr_expect_eq(cJSON_GetArraySize(at(json, "left_out")), 0);
    cr_expect_eq(strlen(at(at(json, "next"), "date")->valuestring), 10);
    cJSON_Delete(json);
    bt_buffer_clear(&out);
    done(&a, &dir);
}

/* ---- memory ---- */

static void *take(size_t size)
{
    return bt_mem_resize(NULL, size);
}

Test(trend_result, fails_cleanly_at_every_allocation)
{
    cJSON_Hooks hooks = {take, bt_free};
    enum bt_status status = BT_ENOMEM;
    struct jobdir dir;
    size_t before, k;

    load(&dir, inch, limits, 4, series);
    before = memory_live();
    cJSON_InitHooks(&hooks);
    for (k = 1; status != BT_OK; k++) {
        struct bt_figure_bytes bytes = {0};
        struct bt_buffer text = {0}, json = {0};
        struct bt_trend_answer a;
        struct bt_error err;

        memory_fail_at(k);
        status = bt_trend_answer_find(&dir.job, NULL, &a, &err);
        if (status == BT_ENOMEM)
            cr_expect_str_eq(err.message, "out of memory");
        if (status == BT_OK)
            status = bt_text_trend(&a, &plain, &text);
        if (status == BT_OK)
            status = bt_json_trend(&a, &json);
        if (status == BT_ENOMEM)
            cr_expect(!json.text || !*json.text);
        if (status == BT_OK)
            status = bt_trend_draw(&a, BT_FIGURE_SVG, &bytes, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu: %d", k,
                  (int)status);
        bt_figure_bytes_clear(&bytes);
        bt_buffer_clear(&text);
        bt_buffer_clear(&json);
        bt_trend_answer_clear(&a);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    memory_fail_at(0);
    cJSON_InitHooks(NULL);
    cr_expect_gt(k, 50);
    jobdir_remove(&dir);
    bt_figure_teardown();
}
