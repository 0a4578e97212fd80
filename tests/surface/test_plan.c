/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/surface/flatness.h"
#include "surface/plan_private.h"

#include "support/builder.h"

static void quiet(void)
{
    gsl_set_error_handler_off();
}

TestSuite(plan, .init = quiet);

static const struct bt_plan_instrument edge = {
    .kind = BT_PLAN_LINE, .u = 0.0144, .straightness = NAN, .edge = -1, .reach = NAN};
static const struct bt_plan_instrument dial = {
    .kind = BT_PLAN_SETUP, .u = 0.015, .straightness = NAN, .edge = -1, .reach = NAN};
static const struct bt_plan_instrument bar = {
    .kind = BT_PLAN_BAR, .u = 0.01, .straightness = NAN, .edge = -1, .reach = 300};
static const struct bt_plan_instrument level = {.kind = BT_PLAN_LEVEL,
                                                .u = 0.00005,
                                                .straightness = NAN,
                                                .edge = -1,
                                                .zero_unknown = true,
                                                .reach = NAN};
static const struct bt_plan_instrument sticks = {
    .kind = BT_PLAN_STICKS, .u = 0.2, .straightness = NAN, .edge = -1, .reach = NAN};

static struct bt_plan_request request_of(size_t n, const struct bt_plan_instrument i[],
                                         double cup, double bow, double twist)
{
    return (struct bt_plan_request){.length = 1500,
                                    .width = 750,
                                    .ninstrument = n,
                                    .instrument = i,
                                    .aim = {cup, bow, twist, NAN},
                                    .step = 0.1,
                                    .same_point = 3};
}

static struct bt_plan plan_of(const struct bt_plan_request *request)
{
    struct bt_error err = {0};
    struct bt_plan plan;

    cr_assert_eq(bt_plan_find(request, &plan, &err), BT_OK, "%s", err.message);
    return plan;
}

/* ---- what is promised ---- */

static bool alike(double promised, double got)
{
    if (isnan(promised))
        return isnan(got);
    return fabs(got - promised) <= 1e-6 * promised;
}

/* The plan's readings as if they had been taken, through the whole evaluation. */
static void expect_kept(const char *name, const struct bt_plan_request *request,
                        const struct bt_plan *plan)
{
    struct bt_readings readings;
    struct bt_flatness f;
    struct bt_error err = {0};
    const struct bt_flatness_options size = {.length = request->length,
                                             .width = request->width};

    cr_assert_eq(bt_plan_readings(request, plan, &readings), BT_OK);
    cr_assert_eq(bt_flatness_evaluate(&readings, &size, &f, &err), BT_OK, "%s: %s",
                 name, err.message);
    cr_expect(alike(plan->figure[BT_PLAN_CUP].after, f.form.cup.u), "%s: cup %g, %g",
              name, plan->figure[BT_PLAN_CUP].after, f.form.cup.u);
    cr_expect(alike(plan->figure[BT_PLAN_BOW].after, f.form.bow.u), "%s: bow %g, %g",
              name, plan->figure[BT_PLAN_BOW].after, f.form.bow.u);
    cr_expect(alike(plan->figure[BT_PLAN_TWIST].after, f.form.twist.u),
              "%s: twist %g, %g", name, plan->figure[BT_PLAN_TWIST].after,
              f.form.twist.u);
    cr_expect_eq(f.net->dof, plan->dof, "%s: %zu %zu", name, f.net->dof, plan->dof);
    for (size_t k = 0; k < f.nloose; k++) /* a line that was taken may hang loose */
        cr_expect_lt(f.loose[k], request->taken ? request->taken->nobs : 0, "%s", name);
    bt_flatness_clear(&f);
    bt_readings_clear(&readings);
}

struct scheme {
    const char *name;
    size_t n;
    struct bt_plan_instrument instrument[3];
    double aim[3];
    bool reached[3];
    double straightness, reach;
};

Test(plan, what_is_promised_is_what_the_evaluation_finds)
{
    const struct scheme schemes[] = {
        {"edge", 1, {edge}, {0.3, 0.3, 0.3}, {true, true, true}, NAN, NAN},
        {"edge, close", 1, {edge}, {0.01, 0.01, 0.05}, {true, true, true}, NAN, NAN},
        {"edge with a stated straightness",
         1,
         {edge},
         {0.03, 0.03, 0.1},
         {true, true, true},
         0.04,
         NAN},
        {"dial", 1, {dial}, {0.02, 0.02, 0.1}, {true, true, true}, NAN, NAN},
        {"dial that reaches 1000",
         1,
         {dial},
         {0.1, 0.1, 0.1},
         {true, true, true},
         NAN,
         1000},
        {"bar", 1, {bar}, {0.1, 0.1, NAN}, {true, true, false}, NAN, 300},
        {"level", 1, {level}, {0.1, 0.1, 0.1}, {true, true, true}, NAN, NAN},
        {"sticks", 1, {sticks}, {NAN, NAN, 0.15}, {false, false, true}, NAN, NAN},
        {"bar and sticks",
         2,
         {bar, sticks},
         {0.1, 0.1, 0.15},
         {true, true, true},
         NAN,
         NAN},
    };

    for (size_t k = 0; k < sizeof schemes / sizeof *schemes; k++) {
        struct scheme s = schemes[k];
        struct bt_plan_request request =
            request_of(s.n, s.instrument, s.aim[0], s.aim[1], s.aim[2]);
        struct bt_plan plan;

        if (!isnan(s.reach))
            s.instrument[0].reach = s.reach;
        if (!isnan(s.straightness)) {
            s.instrument[0].straightness = s.straightness;
            s.instrument[0].edge = 0;
        }
        plan = plan_of(&request);
        cr_expect(plan.nstep > 0, "%s", s.name);
        cr_expect(plan.sound, "%s", s.name);
        for (int f = 0; f < 3; f++)
            cr_expect_eq(plan.figure[f].reached, s.reached[f], "%s: figure %d, u %g",
                         s.name, f, plan.figure[f].after);
        expect_kept(s.name, &request, &plan);
        bt_plan_clear(&plan);
    }
}

/* ---- how near the best ---- */

/* The least effort of every set of options. */
static double cheapest(const struct plan_world *w, const struct plan_demand *demand)
{
    double best = HUGE_VAL;

    for (size_t set = 1; set < (size_t)1 << w->noption; set++) {
        bool chosen[32], twice = false;
        struct plan_figures got;
        for (size_t k = 0; k < w->noption; k++) {
            chosen[k] = set >> k & 1;
            for (size_t i = 0; i < k; i++)
                twice = twice || (chosen[k] && chosen[i] &&
                                  w->option[i].family == w->option[k].family);
        }
        if (twice)
            continue;
        cr_assert_eq(plan_evaluate(w, chosen, &got), BT_OK);
        if (plan_meets(&got, demand))
            best = fmin(best, got.cost);
    }
    return best;
}

struct small {
    const char *name;
    double length, width;
    double aim[4];
    bool checked;
};

Test(plan, search_finds_the_best_of_all_sets_but_for_one_case)
{
    static const struct small smalls[] = {
        {"free", 600, 240, {1, 1, 1, NAN}, true},
        {"surface", 600, 240, {NAN, NAN, NAN, 0.025}, true},
        {"bow", 600, 240, {1, 0.011, 1, NAN}, true},
        {"free, short", 240, 200, {1, 1, 1, NAN}, true},
        {"free again", 240, 200, {1, 1, 1, NAN}, true},
        {"cup", 240, 200, {0.012, 1, 1, NAN}, true},
        {"twist", 240, 200, {1, 1, 0.045, NAN}, true},
        {"twist alone", 240, 200, {NAN, NAN, 0.06, NAN}, true},
        {"cup and bow", 240, 200, {0.012, 0.012, NAN, NAN}, true},
        {"surface, short", 240, 200, {NAN, NAN, NAN, 0.025}, true},
        {"square", 240, 240, {0.02, 0.02, 0.1, NAN}, true},
    };
    const size_t n = sizeof smalls / sizeof *smalls;
    size_t exact = 0;

    for (size_t k = 0; k < n; k++) {
        const struct small *s = &smalls[k];
        const bool use = true;
        struct bt_plan_request request = request_of(1, &edge, 0, 0, 0);
        struct plan_demand demand = {.checked = s->checked};
        struct plan_world world;
        struct bt_plan plan;
        double best, got;

        request.length = s->length;
        request.width = s->width;
        memcpy(request.aim, s->aim, sizeof request.aim);
        memcpy(demand.aim, s->aim, sizeof demand.aim);
        cr_assert_eq(plan_world_build(&request, &use, 1, &world), BT_OK);
        cr_assert_leq(world.noption, 17, "%zu", world.noption);
        best = cheapest(&world, &demand);
        plan = plan_of(&request);
        got = plan.cost;
        bt_plan_clear(&plan);
        cr_log_info("%s: %zu options, best %g, found %g", s->name, world.noption, best,
                    got);
        cr_expect(got >= best - 1e-9 && got <= 1.3 * best, "%s: best %g, found %g",
                  s->name, best, got);
        exact += got <= best + 1e-9;
        plan_world_clear(&world);
    }
    cr_expect(exact + 1 >= n, "%zu of %zu", exact, n); /* measured: 44 against 56 */
}

/* ---- what was taken ---- */

static double bent(double x, double y)
{
    return 1e-6 * x * (1500 - x) + 2e-7 * x * y;
}

/* Three lines along: bow is seen, nothing else. */
static void take_three_lines(struct builder *b)
{
    builder_init(b, 0.0144, bent);
    for (int k = 0; k < 3; k++)
        builder_run(b, (struct bt_point){0, 375.0 * k},
                    (struct bt_point){1500, 375.0 * k}, 5);
}

Test(plan, what_was_taken_is_added_to_and_not_read_again)
{
    struct bt_plan_request request = request_of(1, &edge, 0.1, 0.1, 0.1);
    struct bt_plan alone = plan_of(&request), more;
    struct builder b;

    take_three_lines(&b);
    request.taken = &b.r;
    more = plan_of(&request);
    cr_expect(isnan(more.figure[BT_PLAN_CUP].before));
    cr_expect(isnan(more.figure[BT_PLAN_TWIST].before));
    cr_expect(more.figure[BT_PLAN_BOW].before <= 0.02);
    cr_expect(more.figure[BT_PLAN_CUP].reached && more.figure[BT_PLAN_TWIST].reached);
    cr_expect(more.cost < alone.cost, "%g %g", more.cost, alone.cost);
    expect_kept("three lines and a plan", &request, &more);
    bt_plan_clear(&more);
    bt_plan_clear(&alone);
    builder_clear(&b);
}

/* Of three lines that do not cross no reading checks another. */
Test(plan, where_no_reading_taken_checks_another_some_that_do_are_planned)
{
    struct bt_plan_request request = request_of(1, &edge, NAN, 0.1, NAN);
    struct bt_plan plan;
    struct builder b;

    take_three_lines(&b);
    request.taken = &b.r;
    plan = plan_of(&request);
    cr_expect(plan.figure[BT_PLAN_BOW].before <= 0.1);
    cr_expect_gt(plan.nstep, 0);
    cr_expect(plan.sound && plan.dof >= 2, "%zu", plan.dof);
    bt_plan_clear(&plan);
    builder_clear(&b);
}

Test(plan, nothing_is_planned_where_the_readings_taken_do)
{
    struct bt_plan_request request = request_of(1, &edge, NAN, 0.1, NAN);
    struct bt_plan plan;
    struct builder b;

    take_three_lines(&b);
    builder_run(&b, (struct bt_point){0, 0}, (struct bt_point){1500, 0}, 5); /* again */
    request.taken = &b.r;
    plan = plan_of(&request);
    cr_expect_eq(plan.nstep, 0);
    cr_expect_eq(plan.dof, 3);
    cr_expect(plan.figure[BT_PLAN_BOW].reached);
    cr_expect(fabs(plan.figure[BT_PLAN_BOW].after - plan.figure[BT_PLAN_BOW].before) <=
              0);
    bt_plan_clear(&plan);
    builder_clear(&b);
}

Test(plan, places_go_to_where_readings_were_taken)
{
    struct bt_plan_request request = request_of(1, &edge, 0.1, 0.1, 0.1);
    struct bt_plan plan;
    struct builder b;

    /* Not at the quarters, but near them. */
    builder_init(&b, 0.0144, bent);
    for (int k = 0; k < 2; k++) {
        static const double x[] = {10, 400, 760, 1140, 1490};
        struct bt_point p[5];
        for (int i = 0; i < 5; i++)
            p[i] = (struct bt_point){x[i], 20 + 710.0 * k};
        builder_line(&b, 5, p);
    }
    request.taken = &b.r;
    plan = plan_of(&request);
    cr_assert_gt(plan.nstep, 0);
    for (size_t k = 0; k < plan.nplace; k++) {
        const double x = plan.place[k].x;
        cr_expect(fabs(x - 10) < 1e-9 || fabs(x - 400) < 1e-9 || fabs(x - 760) < 1e-9 ||
                      fabs(x - 1140) < 1e-9 || fabs(x - 1490) < 1e-9,
                  "x %g", x);
    }
    bt_plan_clear(&plan);
    builder_clear(&b);
}

/* ---- what cannot be had ---- */

Test(plan, an_aim_out_of_reach_is_told_with_the_best_and_come_near)
{
    const struct bt_plan_instrument worn = {.kind = BT_PLAN_LINE,
                                            .u = 0.0144,
                                            .straightness = 0.2,
                                            .edge = 0,
                                            .reach = NAN};
    struct bt_plan_request request = request_of(1, &worn, 0.01, 0.3, 0.3);
    struct bt_plan plan = plan_of(&request);
    const struct bt_plan_expected *cup = &plan.figure[BT_PLAN_CUP];

    /* The edge's own shape is under every line: about 0.2/sqrt(3) in the cup. */
    cr_expect(!cup->reached && cup->best > 0.05 && cup->after <= 1.25 * cup->best,
              "best %g, after %g", cup->best, cup->after);
    cr_expect(plan.figure[BT_PLAN_TWIST].reached);
    bt_plan_clear(&plan);
}

Test(plan, a_bar_alone_cannot_see_the_twist_and_reads_the_rest)
{
    struct bt_plan_request request = request_of(1, &bar, 0.1, 0.1, 0.1);
    struct bt_plan plan;

    request.length = 900;
    request.width = 450;
    plan = plan_of(&request);
    cr_expect(isnan(plan.figure[BT_PLAN_TWIST].best));
    cr_expect(!plan.figure[BT_PLAN_TWIST].reached);
    cr_expect(plan.figure[BT_PLAN_CUP].reached && plan.figure[BT_PLAN_BOW].reached);
    bt_plan_clear(&plan);
}

/* ---- what a sound plan is ---- */

Test(plan, a_gross_error_in_a_checked_reading_becomes_a_suspect)
{
    struct bt_plan_request request = request_of(1, &edge, 0.1, 0.1, 0.1);
    struct bt_plan plan = plan_of(&request);
    struct bt_readings readings;
    const struct bt_flatness_options size = {.length = 1500, .width = 750};
    struct bt_network *net;
    size_t noticed = 0;

    cr_assert_eq(bt_plan_readings(&request, &plan, &readings), BT_OK);
    cr_assert_eq(bt_network_adjust(&readings, &net, NULL), BT_OK);
    for (size_t i = 0; i < readings.nobs; i++) {
        struct bt_flatness f;
        if (!(net->redundancy[i] >= BT_PLAN_CHECKED))
            continue;
        readings.obs[i].value = 20 * readings.obs[i].u;
        cr_assert_eq(bt_flatness_evaluate(&readings, &size, &f, NULL), BT_OK);
        for (size_t s = 0; s < f.nsuspect; s++)
            noticed += f.suspect[s].obs == i;
        readings.obs[i].value = 0;
        bt_flatness_clear(&f);
    }
    cr_expect_eq(noticed, plan.checked, "%zu of %zu", noticed, plan.checked);
    cr_expect(2 * plan.checked >= plan.nreading);
    bt_network_free(net);
    bt_readings_clear(&readings);
    bt_plan_clear(&plan);
}

/* ---- the walk ---- */

Test(plan, each_line_begins_at_the_end_nearest_to_where_the_last_one_ended)
{
    struct bt_plan_request request = request_of(1, &edge, 0.1, 0.1, 0.1);
    struct bt_plan plan = plan_of(&request);
    struct bt_point here = {0, 0};

    for (size_t k = 0; k < plan.nstep; k++) {
        const struct bt_point *first = &plan.place[plan.step[k].first];
        const double way = hypot(first->x - here.x, first->y - here.y);
        for (size_t i = k; i < plan.nstep; i++) {
            const struct bt_point *a = &plan.place[plan.step[i].first];
            const struct bt_point *b = a + plan.step[i].n - 1;
            cr_expect(way <= hypot(a->x - here.x, a->y - here.y) + 1e-6 &&
                          way <= hypot(b->x - here.x, b->y - here.y) + 1e-6,
                      "step %zu", k);
        }
        here = first[plan.step[k].n - 1];
    }
    bt_plan_clear(&plan);
}

/* ---- refusals ---- */

struct refusal {
    double length, width, step, same_point, aim, u, reach;
    size_t ninstrument, row;
    enum bt_plan_kind kind;
    const char *message;
};

Test(plan, refuses_what_it_cannot_plan_and_says_why)
{
    static const char size[] =
        "length and width of the panel are not over 0 and finite";
    static const struct refusal rows[] = {
        {0, 750, 1, 3, 0.1, 0.01, NAN, 1, 0, BT_PLAN_LINE, size},
        {1500, NAN, 1, 3, 0.1, 0.01, NAN, 1, 0, BT_PLAN_LINE, size},
        {1500, 750, 0, 3, 0.1, 0.01, NAN, 1, 0, BT_PLAN_LINE,
         "the step of the places is not over 0 and finite"},
        {1500, 750, 1, NAN, 0.1, 0.01, NAN, 1, 0, BT_PLAN_LINE,
         "the step of the places is not over 0 and finite"},
        {1500, 750, 1, 3, NAN, 0.01, NAN, 1, 0, BT_PLAN_LINE, "no figure is wanted"},
        {1500, 750, 1, 3, -1, 0.01, NAN, 1, 0, BT_PLAN_LINE,
         "an uncertainty wanted is not over 0 and finite"},
        {1500, 750, 1, 3, 0.1, 0.01, NAN, 0, 0, BT_PLAN_LINE,
         "no instrument to read with"},
        {1500, 750, 1, 3, 0.1, NAN, NAN, 2, 1, BT_PLAN_LINE,
         "the uncertainty of an instrument is not over 0 and finite"},
        {1500, 750, 1, 3, 0.1, 0.01, 0, 2, 1, BT_PLAN_LINE,
         "the reach of an instrument is not over 0 and finite"},
        {1500, 750, 1, 3, 0.1, 0.01, NAN, 2, 1, BT_PLAN_BAR,
         "how far apart the feet of the bar stand is not known"},
        {1500, 750, 1, 3, 0.1, 0.01, 800, 2, 1, BT_PLAN_BAR,
         "the feet of the bar stand farther apart than the panel is wide"},
    };

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        const struct refusal *r = &rows[k];
        struct bt_plan_instrument tools[2] = {edge, edge};
        struct bt_plan_request request =
            request_of(r->ninstrument, tools, r->aim, NAN, NAN);
        struct bt_error err = {0};
        struct bt_plan plan;

        tools[1].kind = r->kind;
        tools[1].u = r->u;
        tools[1].reach = r->reach;
        request.length = r->length;
        request.width = r->width;
        request.step = r->step;
        request.same_point = r->same_point;
        cr_expect_eq(bt_plan_find(&request, &plan, &err), BT_EINPUT, "row %zu", k);
        cr_expect_str_eq(err.message, r->message);
        cr_expect_eq(err.row, r->row, "row %zu", k);
        bt_plan_clear(&plan);
    }
}

Test(plan, a_scan_is_refused)
{
    struct bt_plan_request request = request_of(1, &edge, 0.1, NAN, NAN);
    double height = 0;
    const struct bt_readings scan = {.scan = &height};
    struct bt_error err = {0};
    struct bt_plan plan;

    request.taken = &scan;
    cr_expect_eq(bt_plan_find(&request, &plan, &err), BT_ECALL);
    cr_expect_str_eq(err.message, "a scan is no readings to add to");
    bt_plan_clear(&plan);
}
