/* SPDX-License-Identifier: GPL-3.0-or-later */

/* decide: from the files of a job to the answer, its text, its JSON, its memory. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/decide_result.h"
#include "ingest/jobdir.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(decide, .init = quiet_gsl);

/* A cherry top of 1200 x 600 x 24 mm in four boards, heights at 5 by 9 places, typed to
 * 0.01 mm; invented. */
static const char panel[] = "[job]\nunits = mm\n[panel]\nlength = 1200 mm\n"
                            "width = 600 mm\nthickness = 24 mm\n"
                            "species = black cherry\n[limits]\ncup = 1 mm\n";
static const char plan[] = "[plan]\nleast_thickness = 18 mm\nleast_width = 560 mm\n"
                           "machine_width = 700 mm\nscrew_diameter = 4.5 mm\n"
                           "screw_thread = 16 mm\n";
static const char boards[] =
    "board,width_mm,thickness_mm,rings\n1,150,24,bark up\n"
    "2,150,24,bark down\n3,150,24,bark up\n4,150,24,bark down\n";

/* Shape across the width at v from -1 to 1, mm. */
typedef double shape(double v);

static double arc(double v)
{
    return 1.6 * v * v;
}

static double flat(double v)
{
    return 0.2 * v * v;
}

/* Kinks at the three joints, -0.5, 0 and 0.5. */
static double faceted(double v)
{
    return 1.6 * (fmax(v + 0.5, 0) + fmax(v, 0) + fmax(v - 0.5, 0));
}

static void write_set(const struct jobdir *dir, const char *name, shape *of)
{
    char text[4096];
    int n = snprintf(text, sizeof text, "height_mm@mm,0,300,600,900,1200\n");

    for (int y = 0; y <= 8; y++) {
        n += snprintf(text + n, sizeof text - (size_t)n, "%d", 75 * y);
        for (int x = 0; x < 5; x++) {
            /* noise of a digit, the same each time */
            const int digit = (7 * x + 5 * y) % 3 - 1;

            n += snprintf(text + n, sizeof text - (size_t)n, ",%.2f",
                          5 + of(y / 4.0 - 1) + 0.01 * digit);
        }
        n += snprintf(text + n, sizeof text - (size_t)n, "\n");
    }
    jobdir_write(dir, name, text);
}

struct decided {
    struct jobdir dir;
    struct bt_decide_answer answer;
};

/* more: sections of job.ini after [limits]; second: of a set a week later, or NULL. */
static void decide(struct decided *d, const char *more, shape *first, shape *second)
{
    char ini[4096];
    struct bt_error err = {0};

    snprintf(
        ini, sizeof ini, "%s%s[readings a]\nfiles = a.csv\ndate = 2026-03-02\n%s%s",
        panel, more, first == faceted ? "clamps = on\n" : "",
        second ? "[readings b]\nfiles = b.csv\ndate = 2026-03-30\nclamps = off\n" : "");
    jobdir_make(&d->dir);
    jobdir_write(&d->dir, "job.ini", ini);
    jobdir_write(&d->dir, "boards.csv", boards);
    write_set(&d->dir, "a.csv", first);
    if (second)
        write_set(&d->dir, "b.csv", second);
    jobdir_load_well(&d->dir);
    cr_assert_eq(bt_decide_answer_find(&d->dir.job,
                                       &d->dir.job.set[bt_job_latest(&d->dir.job)],
                                       &d->answer, &err),
                 BT_OK, "%s", err.message);
}

static void undo(struct decided *d)
{
    bt_decide_answer_clear(&d->answer);
    jobdir_remove(&d->dir);
}

static const struct bt_choice *find(const struct bt_decide_answer *a,
                                    enum bt_choice_kind kind)
{
    for (size_t i = 0; i < BT_CHOICES; i++)
        if (a->choices.choice[i].kind == kind)
            return &a->choices.choice[i];
    return NULL;
}

static char *text_of(const struct bt_decide_answer *a)
{
    const struct bt_text_options options = {.system = BT_SYSTEM_MM};
    struct bt_buffer out = {0};

    cr_assert_eq(bt_text_decide(a, &options, &out), BT_OK);
    return out.text;
}

static void expect_text(const struct bt_decide_answer *a, const char *part)
{
    char *text = text_of(a);

    cr_expect_not_null(strstr(text, part), "no '%s' in\n%s", part, text);
    bt_free(text);
}

Test(decide, a_panel_within_its_limits_is_left)
{
    struct decided d;

    decide(&d, plan, flat, NULL);
    cr_expect_eq(bt_decide_answer_verdict(&d.answer), BT_WITHIN);
    cr_expect_not(d.answer.map_known);
    expect_text(&d.answer, "Leave it: every limit holds. Next: go on with the work.\n");
    undo(&d);
}

Test(decide, a_panel_that_moves_is_left_alone_and_read_again)
{
    struct decided d;

    decide(&d, plan, flat, arc);
    cr_expect_eq(bt_decide_answer_verdict(&d.answer), BT_OVER);
    cr_expect(d.answer.trend_known);
    cr_expect_eq(bt_choices_best(&d.answer.choices)->kind, BT_CHOICE_WAIT);
    cr_expect_eq(find(&d.answer, BT_CHOICE_HIGH_SPOTS)->reason, BT_REASON_MOVING);
    cr_expect_eq(find(&d.answer, BT_CHOICE_FLATTEN)->reason, BT_REASON_MOVING);
    expect_text(&d.answer, "Next: wait and measure again on 2026-");
    expect_text(&d.answer, "it still moves: no wood comes off before it rests\n");
    for (size_t i = 0; i < BT_CAUSES; i++)
        if (d.answer.causes.cause[i].kind == BT_CAUSE_DRYING)
            cr_expect(d.answer.causes.cause[i].points > 4);
    undo(&d);
}

Test(decide, a_panel_that_rests_over_its_limit_has_choices_in_order_and_a_map)
{
    struct decided d;

    decide(&d, plan, arc, arc);
    cr_expect_eq(bt_decide_answer_verdict(&d.answer), BT_OVER);
    cr_expect_eq(find(&d.answer, BT_CHOICE_HIGH_SPOTS)->state, BT_CHOICE_POSSIBLE);
    cr_expect_eq(find(&d.answer, BT_CHOICE_FLATTEN)->state, BT_CHOICE_POSSIBLE);
    cr_expect_eq(find(&d.answer, BT_CHOICE_REGLUE)->reason, BT_REASON_SMOOTH);
    cr_expect_eq(find(&d.answer, BT_CHOICE_WAIT)->reason, BT_REASON_SETTLED);
    cr_expect(d.answer.map_known);
    cr_expect_eq(d.answer.map_of, BT_CHOICE_HIGH_SPOTS);
    cr_expect(d.answer.nspot >= 1);
    expect_text(&d.answer, "To be done: hollow 1.6");
    expect_text(&d.answer, "To chalk on the face: most that comes off each cell, mm "
                           "(plane the high spots only)\n");
    undo(&d);
}

Test(decide, a_smooth_arc_is_told_from_facets)
{
    struct decided d;

    decide(&d, plan, arc, NULL);
    cr_expect_eq(d.answer.causes.cause[0].kind, BT_CAUSE_FACES);
    cr_expect(d.answer.evidence.ripple < 0, "%g", d.answer.evidence.ripple);
    undo(&d);
    decide(&d, plan, faceted, NULL);
    cr_expect_eq(d.answer.causes.cause[0].kind, BT_CAUSE_EDGES);
    cr_expect_eq(find(&d.answer, BT_CHOICE_REGLUE)->state, BT_CHOICE_POSSIBLE);
    cr_expect_eq(d.answer.nripped, 3);
    undo(&d);
}

Test(decide, clamps_on_and_off_are_compared)
{
    struct decided d;

    decide(&d, plan, faceted, flat);
    cr_assert_not_null(d.answer.clamped);
    cr_expect_str_eq(d.answer.clamped->name, "a");
    cr_expect(d.answer.evidence.eased.seen);
    cr_expect(d.answer.evidence.eased.value < -0.5, "%g",
              d.answer.evidence.eased.value);
    undo(&d);
}

/* Gaps of nine lines across, read on and off with one straightedge. */
static void write_gaps(const struct jobdir *dir, const char *name, double cup)
{
    char text[4096];
    int n = snprintf(text, sizeof text, "gap-across_mm@mm,0,300,600,900,1200\n");

    for (int y = 0; y <= 8; y++) {
        const double v = y / 4.0 - 1;

        n += snprintf(text + n, sizeof text - (size_t)n, "%d", 75 * y);
        for (int x = 0; x < 5; x++)
            n +=
                snprintf(text + n, sizeof text - (size_t)n, ",%.2f", cup * (1 - v * v));
        n += snprintf(text + n, sizeof text - (size_t)n, "\n");
    }
    jobdir_write(dir, name, text);
}

static void decide_two(struct decided *d, const char *head, const char *first,
                       const char *second)
{
    char ini[4096];
    struct bt_error err = {0};

    snprintf(ini, sizeof ini,
             "%s%s[readings a]\nfiles = a.csv\ndate = 2026-03-02\n%s"
             "[readings b]\nfiles = b.csv\ndate = 2026-03-02\n%s",
             panel, head, first, second);
    jobdir_write(&d->dir, "job.ini", ini);
    jobdir_load_well(&d->dir);
    cr_assert_eq(
        bt_decide_answer_find(&d->dir.job, &d->dir.job.set[1], &d->answer, &err), BT_OK,
        "%s", err.message);
}

/* Its hollow of 0.2 mm is in both and drops out; another one's does not. */
Test(decide, what_clamps_change_does_not_count_a_straightedge_twice)
{
    static const char edges[] =
        "[instrument edge]\nkind = straightedge\nu = 0.02 mm\nstraightness = 0.2 mm\n"
        "[instrument other]\nkind = straightedge\nu = 0.02 mm\nstraightness = 0.2 mm\n";
    double u[2];

    for (int other = 0; other < 2; other++) {
        struct decided d;

        jobdir_make(&d.dir);
        write_gaps(&d.dir, "a.csv", 1.8);
        write_gaps(&d.dir, "b.csv", 1.5);
        decide_two(&d, edges, "instrument = edge\nclamps = on\n",
                   other ? "instrument = other\nclamps = off\n"
                         : "instrument = edge\nclamps = off\n");
        cr_assert(d.answer.evidence.eased.seen);
        cr_expect(fabs(d.answer.evidence.eased.value + 0.3) <= 0.01, "%g",
                  d.answer.evidence.eased.value);
        u[other] = d.answer.evidence.eased.u;
        cr_expect(d.answer.evidence.cup.u > 0.1, "%g", d.answer.evidence.cup.u);
        undo(&d);
    }
    cr_expect(u[0] > 0.001 && u[0] < 0.03, "%g", u[0]);
    cr_expect(u[1] > 0.15, "%g", u[1]);
}

static const struct bt_cause *cause(const struct bt_decide_answer *a,
                                    enum bt_cause_kind kind)
{
    for (int i = 0; i < BT_CAUSES; i++)
        if (a->causes.cause[i].kind == kind)
            return &a->causes.cause[i];
    return NULL;
}

/* Cherry of 24 mm, 600 mm wide and 1.6 mm crowned: 1.6 x 8 x 24/600^2/C, some 0.4 %
 * damper; turned over it would be hollow. */
Test(decide, the_moisture_of_each_face_moves_the_score_of_damp)
{
    double points[3];
    static const char *const faces[] = {
        "moisture_top = 7.5 %\nmoisture_bottom = 9 %\n", "",
        "moisture_top = 9 %\nmoisture_bottom = 7.5 %\n"};

    for (int k = 0; k < 3; k++) {
        struct decided d;

        jobdir_make(&d.dir);
        write_set(&d.dir, "a.csv", arc);
        write_set(&d.dir, "b.csv", arc);
        decide_two(&d, "", "", faces[k]);
        points[k] = cause(&d.answer, BT_CAUSE_FACES)->points;
        /* arc is hollow: damper below */
        cr_expect(d.answer.evidence.cup.value < -1);
        cr_expect_eq(d.answer.evidence.damp.seen, k != 1);
        if (k == 0)
            cr_expect(d.answer.evidence.damp.value < 0);
        undo(&d);
    }
    cr_expect(points[0] > points[2] + 0.5, "%g %g", points[0], points[2]);
}

Test(decide, the_face_that_lay_up_in_drying_air_is_expected_hollow)
{
    static const char lay[] = "supports = flat bench\nmoisture = 12 %\n"
                              "humidity = 40 %\ntemperature = 20 C\n";
    struct decided d;

    jobdir_make(&d.dir);
    write_set(&d.dir, "a.csv", arc);
    write_set(&d.dir, "b.csv", arc);
    decide_two(&d, "", "", lay);
    cr_expect_eq(d.answer.evidence.lay, -1);
    expect_text(&d.answer, "which face lay up in air that dries or wets it");
    undo(&d);
}

/* The other face as flat as the first is hollow: the thickness is uneven. */
Test(decide, the_other_face_of_the_same_day_is_compared)
{
    struct decided d;

    jobdir_make(&d.dir);
    write_set(&d.dir, "a.csv", flat);
    write_set(&d.dir, "b.csv", arc);
    decide_two(&d, "", "face = bottom\n", "");
    cr_assert(d.answer.evidence.other.seen);
    cr_expect(fabs(d.answer.evidence.other.value + 0.2) <= 0.02);
    expect_text(&d.answer, "-5.0   the other face against this one");
    undo(&d);
}

Test(decide, what_is_missing_is_said_and_nothing_is_guessed)
{
    struct decided d;

    decide(&d, "", arc, NULL);
    cr_expect_not(d.answer.trend_known);
    cr_expect_eq(find(&d.answer, BT_CHOICE_FLATTEN)->state, BT_CHOICE_OPEN);
    expect_text(&d.answer, "nothing says how thin it may become: state "
                           "least_thickness in [plan] of job.ini\n");
    expect_text(&d.answer, "Moving:    not known, a trend needs sets of readings of "
                           "two days");
    expect_text(&d.answer, "missing  change from day to day: read it again at the same "
                           "places on another day, and date both sets\n");
    undo(&d);
}

/* Top hollow by 1.6; thickness 24.0 at the edges, 24.4 along the middle.  The other
 * face stands at -22.4 at the edges and -24.4 in the middle: 22.4 are left, 2.0 come
 * off it. With an even thickness 1.6 would. */
Test(decide, a_measured_thickness_makes_both_faces_known)
{
    char ini[2048], text[1024];
    struct bt_error err = {0};
    struct decided d;
    int n = snprintf(text, sizeof text, "x_mm,y_mm,thickness_mm,u_mm\n");

    for (int y = 0; y <= 2; y++)
        for (int x = 0; x <= 2; x++)
            n += snprintf(text + n, sizeof text - (size_t)n, "%d,%d,%s,0.02\n", 600 * x,
                          300 * y, y == 1 ? "24.4" : "24.0");
    snprintf(ini, sizeof ini, "%s%s[readings a]\nfiles = a.csv\ndate = 2026-03-02\n",
             panel, plan);
    jobdir_make(&d.dir);
    jobdir_write(&d.dir, "job.ini", ini);
    jobdir_write(&d.dir, "thickness.csv", text);
    write_set(&d.dir, "a.csv", arc);
    jobdir_load_well(&d.dir);
    cr_assert_eq(d.dir.job.nthickness, 9);
    cr_assert_eq(bt_decide_answer_find(&d.dir.job, &d.dir.job.set[0], &d.answer, &err),
                 BT_OK, "%s", err.message);
    cr_assert(d.answer.under_known);
    cr_expect(d.answer.choices.pair_exact);
    cr_expect(fabs(d.answer.choices.pair.thickness - 22.4) <= 0.05, "%g",
              d.answer.choices.pair.thickness);
    cr_expect(fabs(find(&d.answer, BT_CHOICE_FLATTEN)->removed_other - 2.0) <= 0.05,
              "%g", find(&d.answer, BT_CHOICE_FLATTEN)->removed_other);
    undo(&d);
}

Test(decide, faults_of_thickness_are_told_with_their_place)
{
    static const struct {
        const char *text, *message;
        size_t line, column;
    } rows[] = {
        {"x_mm,y_mm\n0,0\n",
         "no column 'thickness': a table of thicknesses has x,y,thickness", 1, 1},
        {"x_mm,y_mm,thickness_mm\n0,,24\n",
         "y is missing: type where the thickness was read", 2, 3},
        {"x_mm,y_mm,thickness_mm\n0,0,0\n",
         "thickness_mm must be more than 0, such as 40 mm or 1 1/2 in: '0'", 2, 5},
        {"x_mm,y_mm,thickness_mm\n1300,0,24\n",
         "outside the panel: '1300', x, along the panel, is 0 to 1200 mm (and up to 2 "
         "mm beyond)",
         2, 1},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;

        jobdir_make(&dir);
        jobdir_write(&dir, "job.ini", panel);
        jobdir_write(&dir, "thickness.csv", rows[i].text);
        jobdir_load(&dir, NULL);
        cr_expect_eq(dir.status, BT_EINPUT, "row %zu", i);
        cr_assert_eq(dir.faults.n, 1, "row %zu", i);
        cr_expect_str_eq(dir.faults.item[0].message, rows[i].message);
        cr_expect_eq(dir.faults.item[0].line, rows[i].line);
        cr_expect_eq(dir.faults.item[0].column, rows[i].column, "row %zu: %zu", i,
                     dir.faults.item[0].column);
        jobdir_remove(&dir);
    }
}

Test(decide, each_caution_is_printed_once)
{
    const char caution[] = "The manual of the machine, its guards";
    struct decided d;
    char *text, *at;

    decide(&d, plan, arc, NULL);
    text = text_of(&d.answer);
    at = strstr(text, caution);
    cr_assert_not_null(at);
    cr_expect_null(strstr(at + 1, caution));
    bt_free(text);
    undo(&d);
}

Test(decide, each_choice_says_what_form_it_leaves)
{
    struct decided d;

    decide(&d, plan, arc, NULL);
    expect_text(&d.answer, "     form left  not known: sets of three days or more show "
                           "where it comes to rest\n");
    expect_text(&d.answer,
                "     form left  cup, bow and twist 0: as flat as the machine "
                "cuts, which nothing here says\n");
    expect_text(&d.answer, " hollow, u 0.0");
    expect_text(&d.answer, ": of the face planed down to the level\n");
    undo(&d);
}

Test(decide, json_holds_the_choices_and_the_causes)
{
    struct bt_buffer out = {0};
    const cJSON *choice, *why;
    struct decided d;
    cJSON *root;

    decide(&d, plan, arc, arc);
    cr_assert_eq(bt_json_decide(&d.answer, &out), BT_OK);
    root = cJSON_Parse(out.text);
    cr_assert_not_null(root);
    cr_expect_str_eq(cJSON_GetObjectItem(root, "verdict")->valuestring, "to be done");
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(root, "choices")), BT_CHOICES);
    choice = cJSON_GetArrayItem(cJSON_GetObjectItem(root, "choices"), 0);
    cr_expect_str_eq(cJSON_GetObjectItem(root, "best")->valuestring,
                     cJSON_GetObjectItem(choice, "choice")->valuestring);
    cr_expect_str_eq(cJSON_GetObjectItem(choice, "reason")->valuestring, "");
    why = cJSON_GetObjectItem(root, "why");
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(why, "causes")), BT_CAUSES);
    cr_expect(cJSON_IsObject(cJSON_GetObjectItem(root, "removal_map")));
    cr_expect_str_eq(cJSON_GetObjectItem(root, "moving")->valuestring, "settled");
    cJSON_Delete(root);
    bt_buffer_clear(&out);
    undo(&d);
}

Test(decide, a_set_without_a_reading_is_refused)
{
    struct bt_error err = {0};
    struct decided d;

    jobdir_make(&d.dir);
    jobdir_write(&d.dir, "job.ini",
                 "[job]\nunits = mm\n[readings later]\nfiles = a.csv\n");
    jobdir_write(&d.dir, "a.csv", "x_mm,y_mm,height_mm\n0,0,\n");
    jobdir_load_well(&d.dir);
    cr_expect_eq(bt_decide_answer_find(&d.dir.job, &d.dir.job.set[0], &d.answer, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "the set 'later' has no reading yet");
    undo(&d);
}

Test(decide, no_map_is_drawn_where_nothing_comes_off)
{
    struct bt_figure_bytes bytes = {0};
    struct bt_error err = {0};
    struct decided d;

    decide(&d, plan, flat, NULL);
    cr_expect_eq(bt_decide_draw(&d.answer, BT_FIGURE_SVG, &bytes, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "there is no removal map: no choice that takes off "
                                  "wood is possible");
    undo(&d);
}

/* Every call cannot be tried one by one: an evaluation makes thousands, most of them in
 * rooms that test their own.  A stride that is prime meets all parts. */
Test(decide, memory_may_fail_anywhere_and_nothing_leaks, .timeout = 120)
{
    enum { STRIDE = 37 };
    struct bt_decide_answer answer;
    size_t calls, live;
    struct decided d;

    decide(&d, plan, arc, arc);
    bt_decide_answer_clear(&d.answer);
    live = memory_live();
    memory_fail_at(0);
    cr_assert_eq(bt_decide_answer_find(&d.dir.job, &d.dir.job.set[1], &answer, NULL),
                 BT_OK);
    calls = memory_calls();
    bt_decide_answer_clear(&answer);
    cr_expect_eq(memory_live(), live);
    for (size_t k = 1; k <= calls; k += STRIDE) {
        struct bt_error err = {0};

        memory_fail_from(k);
        cr_expect_eq(
            bt_decide_answer_find(&d.dir.job, &d.dir.job.set[1], &answer, &err),
            BT_ENOMEM, "call %zu of %zu: %s", k, calls, err.message);
        memory_fail_at(0);
        bt_decide_answer_clear(&answer);
        cr_expect_eq(memory_live(), live, "call %zu", k);
    }
    jobdir_remove(&d.dir);
}
