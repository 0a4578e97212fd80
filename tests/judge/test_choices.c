/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/judge/choices.h"
#include "support/memory.h"

/* A hollow panel of 1200 x 600 x 20 mm, read at 5 by 5 places; invented. */
enum { ACROSS = 5, PLACES = ACROSS * ACROSS };

struct panel {
    struct bt_point p[PLACES];
    double z[PLACES], u[PLACES];
    struct bt_wood wood;
    struct bt_choices_request request;
};

static struct bt_measured seen(double value, double u)
{
    return (struct bt_measured){value, u, true};
}

static void fill(struct panel *panel, double cup)
{
    for (size_t i = 0; i < PLACES; i++) {
        const double v = (double)(i / ACROSS) / 2 - 1;

        panel->p[i] =
            (struct bt_point){300 * (double)(i % ACROSS), 150 * (double)(i / ACROSS)};
        panel->z[i] = -cup * v * v; /* crowned positive */
        panel->u[i] = 0.02;
    }
}

/* Hollow by 1.6 mm, limit 1 mm: over. */
static void init(struct panel *panel)
{
    struct bt_choices_request *r = &panel->request;

    memset(panel, 0, sizeof *panel);
    fill(panel, -1.6);
    cr_assert_eq(bt_wood_find("Ash, white", 10, &panel->wood, NULL), BT_OK);
    for (int f = 0; f < BT_FIGURE_COUNT; f++) {
        r->limit[f] = NAN;
        r->verdict[f] = BT_NOT_SEEN;
        r->u[f] = NAN;
    }
    r->limit[BT_FIGURE_CUP] = 1;
    r->verdict[BT_FIGURE_CUP] = BT_OVER;
    r->u[BT_FIGURE_CUP] = 0.05;
    r->cup = seen(-1.6, 0.05);
    r->bow = seen(0, 0.05);
    r->twist = seen(0, 0.05);
    r->face = (struct bt_removal_face){
        .n = PLACES, .p = panel->p, .z = panel->z, .u = panel->u};
    r->rectangle = (struct bt_rectangle){0, 0, 1200, 600};
    r->local_span = 300;
    r->band = 6;
    r->length = 1200;
    r->width = 600;
    r->thickness = 20;
    r->u_thickness = 0.1;
    r->wood = &panel->wood;
    r->hardwood = true;
    r->njoint = r->nripped = 5;
    r->joints = BT_JOINTS_AT_FAULT;
    r->moving_known = true;
    r->moving = BT_TREND_SETTLED;
    r->plan = bt_work_plan_none();
    r->plan.least_thickness = 15;
    r->plan.least_width = 560;
    r->plan.machine_width = 700;
    r->plan.screw_diameter = 4.5;
    r->plan.screw_thread = 18;
}

static const struct bt_choice *find(const struct bt_choices *choices,
                                    enum bt_choice_kind kind)
{
    for (size_t i = 0; i < BT_CHOICES; i++)
        if (choices->choice[i].kind == kind)
            return &choices->choice[i];
    return NULL;
}

static size_t rank(const struct bt_choices *choices, enum bt_choice_kind kind)
{
    return (size_t)(find(choices, kind) - choices->choice);
}

static void found(struct panel *panel, struct bt_choices *out)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_choices_find(&panel->request, out, &err), BT_OK, "%s", err.message);
}

/* State and reason of one choice. */
static void expect(struct panel *panel, enum bt_choice_kind kind,
                   enum bt_choice_state state, enum bt_choice_reason reason)
{
    struct bt_choices out;
    const struct bt_choice *c;

    found(panel, &out);
    c = find(&out, kind);
    cr_expect_eq(c->state, state, "%s: %s", bt_choice_name(kind),
                 bt_choice_state_name(c->state));
    cr_expect_eq(c->reason, reason, "%s: reason %d", bt_choice_name(kind),
                 (int)c->reason);
    bt_choices_clear(&out);
}

static const enum bt_choice_kind cutting[] = {BT_CHOICE_HIGH_SPOTS, BT_CHOICE_FLATTEN,
                                              BT_CHOICE_ELSEWHERE, BT_CHOICE_REGLUE};
enum { CUTTING = sizeof cutting / sizeof *cutting };

Test(choices, a_panel_within_every_limit_is_left_and_nothing_else_is_done)
{
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    fill(&panel, -0.3);
    panel.request.cup = seen(-0.3, 0.05);
    panel.request.verdict[BT_FIGURE_CUP] = BT_WITHIN;
    found(&panel, &out);
    cr_assert_not_null(bt_choices_best(&out));
    cr_expect_eq(bt_choices_best(&out)->kind, BT_CHOICE_LEAVE);
    for (int i = 0; i < CUTTING; i++) {
        cr_expect_eq(find(&out, cutting[i])->state, BT_CHOICE_NOT);
        cr_expect_eq(find(&out, cutting[i])->reason, BT_REASON_HOLDS);
    }
    bt_choices_clear(&out);
}

Test(choices, no_wood_comes_off_while_the_panel_moves)
{
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    panel.request.moving = BT_TREND_MOVED;
    found(&panel, &out);
    cr_expect_eq(bt_choices_best(&out)->kind, BT_CHOICE_WAIT);
    cr_expect_eq(bt_choices_best(&out)->rank, BT_RANK_MOVES);
    for (int i = 0; i < CUTTING; i++) {
        cr_expect_eq(find(&out, cutting[i])->state, BT_CHOICE_NOT);
        cr_expect_eq(find(&out, cutting[i])->reason, BT_REASON_MOVING, "%d", i);
    }
    bt_choices_clear(&out);
}

/* 15 mm must be left: of 16.0 mm 1.6 come off, with 2 u too much; of 20 mm not. */
Test(choices, nothing_goes_below_the_least_thickness)
{
    struct panel panel;

    init(&panel);
    panel.request.thickness = 16;
    expect(&panel, BT_CHOICE_FLATTEN, BT_CHOICE_NOT, BT_REASON_TOO_THIN);
    expect(&panel, BT_CHOICE_ELSEWHERE, BT_CHOICE_NOT, BT_REASON_TOO_THIN);
    panel.request.thickness = 15.1;
    expect(&panel, BT_CHOICE_HIGH_SPOTS, BT_CHOICE_NOT, BT_REASON_TOO_THIN);
    panel.request.thickness = 20;
    expect(&panel, BT_CHOICE_FLATTEN, BT_CHOICE_POSSIBLE, BT_REASON_NONE);
    expect(&panel, BT_CHOICE_HIGH_SPOTS, BT_CHOICE_POSSIBLE, BT_REASON_NONE);
    panel.request.plan.least_thickness = 18.3; /* 20 - 1.6 is more, but not by 2 u */
    expect(&panel, BT_CHOICE_FLATTEN, BT_CHOICE_NOT, BT_REASON_TOO_THIN);
}

Test(choices, each_is_open_where_what_would_decide_it_is_not_known)
{
    static const struct {
        const char *name;
        enum bt_choice_kind kind;
        enum bt_choice_reason reason;
    } rows[] = {
        {"thickness", BT_CHOICE_PULL, BT_REASON_NO_THICKNESS},
        {"thickness", BT_CHOICE_FLATTEN, BT_REASON_NO_THICKNESS},
        {"least thickness", BT_CHOICE_FLATTEN, BT_REASON_NO_LEAST_THICKNESS},
        {"machine", BT_CHOICE_FLATTEN, BT_REASON_NO_MACHINE},
        {"wood", BT_CHOICE_PULL, BT_REASON_NO_WOOD},
        {"screws", BT_CHOICE_PULL, BT_REASON_NO_SCREWS},
        {"width", BT_CHOICE_REGLUE, BT_REASON_NO_WIDTH},
        {"least width", BT_CHOICE_REGLUE, BT_REASON_NO_LEAST_WIDTH},
        {"surface", BT_CHOICE_HIGH_SPOTS, BT_REASON_NO_SURFACE},
        {"joints", BT_CHOICE_REGLUE, BT_REASON_JOINTS_UNSURE},
        {"limits", BT_CHOICE_LEAVE, BT_REASON_NO_LIMITS},
        {"limits", BT_CHOICE_FLATTEN, BT_REASON_NO_LIMITS},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct panel panel;
        struct bt_choices_request *r = &panel.request;

        init(&panel);
        if (strcmp(rows[i].name, "thickness") == 0)
            r->thickness = NAN;
        else if (strcmp(rows[i].name, "least thickness") == 0)
            r->plan.least_thickness = NAN;
        else if (strcmp(rows[i].name, "machine") == 0)
            r->plan.machine_width = NAN;
        else if (strcmp(rows[i].name, "wood") == 0)
            r->wood = NULL;
        else if (strcmp(rows[i].name, "screws") == 0)
            r->plan.screw_diameter = NAN;
        else if (strcmp(rows[i].name, "width") == 0)
            r->width = NAN;
        else if (strcmp(rows[i].name, "least width") == 0)
            r->plan.least_width = NAN;
        else if (strcmp(rows[i].name, "surface") == 0)
            r->face.n = 0;
        else if (strcmp(rows[i].name, "joints") == 0)
            r->joints = BT_JOINTS_UNSURE;
        else
            r->limit[BT_FIGURE_CUP] = NAN;
        expect(&panel, rows[i].kind, BT_CHOICE_OPEN, rows[i].reason);
    }
}

Test(choices, those_that_cannot_work_say_why)
{
    struct panel panel;

    init(&panel);
    expect(&panel, BT_CHOICE_LEAVE, BT_CHOICE_NOT, BT_REASON_LIMIT_OVER);
    expect(&panel, BT_CHOICE_WAIT, BT_CHOICE_NOT, BT_REASON_SETTLED);
    panel.request.plan.machine_width = 599;
    expect(&panel, BT_CHOICE_FLATTEN, BT_CHOICE_NOT, BT_REASON_TOO_WIDE);
    panel.request.njoint = 0;
    expect(&panel, BT_CHOICE_REGLUE, BT_CHOICE_NOT, BT_REASON_NO_JOINTS);
    panel.request.njoint = 5;
    panel.request.joints = BT_JOINTS_STRAIGHT;
    expect(&panel, BT_CHOICE_REGLUE, BT_CHOICE_NOT, BT_REASON_SMOOTH);
    panel.request.joints = BT_JOINTS_AT_FAULT;
    panel.request.plan.least_width = 590; /* 600 - 5 (3 + 2) is 575 */
    expect(&panel, BT_CHOICE_REGLUE, BT_CHOICE_NOT, BT_REASON_TOO_NARROW);
    panel.request.plan.screw_diameter = 0.5;
    panel.request.plan.screw_thread = 1;
    expect(&panel, BT_CHOICE_PULL, BT_CHOICE_NOT, BT_REASON_SCREWS_TOO_WEAK);
    panel.request.cup = seen(-30, 0.05);
    expect(&panel, BT_CHOICE_PULL, BT_CHOICE_NOT, BT_REASON_WOOD_TOO_WEAK);
    panel.request.limit[BT_FIGURE_CUP] = NAN;
    panel.request.limit[BT_FIGURE_RANGE] = 1;
    panel.request.verdict[BT_FIGURE_RANGE] = BT_OVER;
    expect(&panel, BT_CHOICE_PULL, BT_CHOICE_NOT, BT_REASON_NOT_A_BEND);
    panel.request.verdict[BT_FIGURE_RANGE] = BT_TOO_CLOSE;
    expect(&panel, BT_CHOICE_LEAVE, BT_CHOICE_OPEN, BT_REASON_LIMIT_OPEN);
}

/* Hollow: the edges stand 1.6 mm high, so 1.6 come off to be flat; as thick as the
 * thickness less that, and the crowned other face is cut by the same. */
Test(choices, flattening_leaves_the_thickness_less_the_hollow)
{
    const struct bt_choice *c;
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    found(&panel, &out);
    c = find(&out, BT_CHOICE_FLATTEN);
    cr_expect(fabs(c->removed.value - 1.6) <= 1e-9, "%g", c->removed.value);
    cr_expect(fabs(c->removed_other - 1.6) <= 1e-9, "%g", c->removed_other);
    cr_expect(fabs(c->thickness.value - 18.4) <= 1e-9, "%g", c->thickness.value);
    cr_expect(fabs(c->passes - 8) <= 0, "passes of 0.5 mm: %g", c->passes);
    cr_expect(fabs(c->minutes - (30 + 8 * 6)) <= 1e-9, "%g", c->minutes);
    cr_expect_not(out.pair_exact);
    bt_choices_clear(&out);
}

Test(choices, a_measured_other_face_is_used)
{
    struct bt_removal_face under;
    struct bt_choices out;
    double bottom[PLACES];
    struct panel panel;

    init(&panel);
    for (size_t i = 0; i < PLACES; i++)
        bottom[i] = -20; /* flat: only the top loses */
    under = panel.request.face;
    under.z = bottom;
    panel.request.under = &under;
    found(&panel, &out);
    cr_expect(out.pair_exact);
    cr_expect(fabs(out.pair.thickness - 20) <= 1e-9, "%g", out.pair.thickness);
    bt_choices_clear(&out);
}

/* 600 - 5 (3 + 2 * 1); five joints at 25 min. */
Test(choices, ripping_costs_a_kerf_and_two_cuts_a_joint)
{
    const struct bt_choice *c;
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    found(&panel, &out);
    c = find(&out, BT_CHOICE_REGLUE);
    cr_expect(fabs(c->width.value - 575) <= 1e-9, "%g", c->width.value);
    cr_expect(fabs(c->minutes - 125) <= 1e-9);
    panel.request.plan.kerf = 2;
    panel.request.plan.jointing = 0.5;
    panel.request.plan.trim = 4;
    panel.request.plan.joint_time = 40;
    bt_choices_clear(&out);
    found(&panel, &out);
    c = find(&out, BT_CHOICE_REGLUE);
    cr_expect(fabs(c->width.value - (600 - 15 - 8)) <= 1e-9, "%g", c->width.value);
    cr_expect(fabs(c->minutes - 200) <= 1e-9);
    bt_choices_clear(&out);
}

Test(choices, the_high_spots_come_down_to_the_limit_less_two_u_and_lose_less)
{
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    found(&panel, &out);
    cr_assert(out.spots_found);
    cr_expect(fabs(out.aim[BT_FIGURE_CUP] - 0.9) <= 1e-12);
    cr_expect(fabs(out.spots.after[BT_FIGURE_CUP]) <= 0.9);
    cr_expect(out.spots.largest < 1.6 && out.spots.largest > 0.3);
    cr_expect_lt(rank(&out, BT_CHOICE_HIGH_SPOTS), rank(&out, BT_CHOICE_FLATTEN));
    bt_choices_clear(&out);
}

/* Cup by lines 5 % from the edges: force as bt_pull_evaluate reckons it. */
Test(choices, pulling_flat_takes_the_force_of_the_panels_stiffness)
{
    const double line[] = {30, 300, 570};
    struct bt_pull_request request;
    struct bt_wood_value across;
    struct bt_pull pull = {0};
    const struct bt_choice *c;
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    found(&panel, &out);
    c = find(&out, BT_CHOICE_PULL);
    across = panel.wood.e_tangential;
    across.value = (across.value + panel.wood.e_radial.value) / 2;
    request = (struct bt_pull_request){.extent = 600,
                                       .breadth = 1200,
                                       .thickness = 20,
                                       .E = across,
                                       .form = seen(-1.6, 0.05),
                                       .nline = 3,
                                       .line = line,
                                       .screws = 4,
                                       .hand_force = NAN,
                                       .hand_gap = NAN,
                                       .u_hand = NAN};
    cr_assert_eq(bt_pull_evaluate(&request, &pull, NULL), BT_OK);
    cr_expect_eq(c->state, BT_CHOICE_POSSIBLE, "%g N of %g, %g MPa u %g of %g",
                 c->force.value, c->force_holds, c->stress.value, c->stress.u,
                 c->stress_holds);
    cr_expect(fabs(c->force.value - pull.computed) <= 1e-9 * pull.computed);
    bt_pull_clear(&pull);
    cr_expect_eq(rank(&out, BT_CHOICE_PULL), 0, "it takes off no wood");
    bt_choices_clear(&out);
    panel.request.plan.hand_force = 100;
    panel.request.plan.hand_gap = 1.6;
    found(&panel, &out);
    c = find(&out, BT_CHOICE_PULL);
    cr_expect(c->force.value < 110, "the push by hand counts: %g", c->force.value);
    bt_choices_clear(&out);
}

static void expect_form(const struct bt_choice *c, enum bt_choice_form form, double cup,
                        double tolerance)
{
    cr_expect_eq(c->form, form, "%s: %d", bt_choice_name(c->kind), (int)c->form);
    cr_assert(c->cup.seen, "%s", bt_choice_name(c->kind));
    cr_expect(fabs(c->cup.value - cup) <= tolerance, "%s: %g", bt_choice_name(c->kind),
              c->cup.value);
}

/* Five places across at -1, -1/2, 0, 1/2, 1: the heights cut at one level, fitted
 * again; the aim is 1 - 2 x 0.05 = 0.9. */
Test(choices, each_says_what_form_it_leaves)
{
    struct bt_choices out;
    const struct bt_choice *c;
    struct panel panel;

    init(&panel);
    panel.request.bow = seen(0.3, 0.04);
    panel.request.twist = seen(-0.2, 0.06);
    panel.request.rest_cup = seen(-1.2, 0.1);
    found(&panel, &out);
    c = find(&out, BT_CHOICE_LEAVE);
    expect_form(c, BT_FORM_AS_READ, -1.6, 0);
    cr_expect(c->bow.value >= 0.3 && c->twist.value <= -0.2 && c->cup.u >= 0.05);
    c = find(&out, BT_CHOICE_WAIT);
    expect_form(c, BT_FORM_AT_REST, -1.2, 0);
    cr_expect_not(c->bow.seen);
    c = find(&out, BT_CHOICE_HIGH_SPOTS);
    expect_form(c, BT_FORM_PLANED, out.spots.after[BT_FIGURE_CUP], 1e-9);
    cr_expect(fabs(c->cup.value) <= 0.9 && fabs(c->cup.value) > 0.8);
    cr_expect(fabs(c->cup.u - hypot(0.05, out.plan.shaving / sqrt(12))) <= 1e-12);
    c = find(&out, BT_CHOICE_PULL);
    cr_expect_eq(c->form, BT_FORM_FIXINGS);
    cr_expect(c->cup.value < 0 && c->cup.value > -0.4, "%g", c->cup.value);
    cr_expect(fabs(c->cup.u / c->cup.value + 0.05 / 1.6) <= 1e-9);
    cr_expect(c->bow.value >= 0.3, "not pulled");
    for (int i = 1; i < CUTTING; i++) {
        c = find(&out, cutting[i]);
        expect_form(c, BT_FORM_MACHINE, 0, 0);
        cr_expect(isnan(c->cup.u) && isnan(c->twist.u));
    }
    bt_choices_clear(&out);
    panel.request.rest_cup = (struct bt_measured){NAN, NAN, false};
    panel.request.face.n = 0;
    found(&panel, &out);
    cr_expect_eq(find(&out, BT_CHOICE_WAIT)->form, BT_FORM_UNKNOWN);
    cr_expect_eq(find(&out, BT_CHOICE_HIGH_SPOTS)->form, BT_FORM_UNKNOWN);
    cr_expect_not(find(&out, BT_CHOICE_HIGH_SPOTS)->cup.seen);
    bt_choices_clear(&out);
}

Test(choices, twist_over_its_limit_is_pulled_out_at_the_corners)
{
    const struct bt_choice *c;
    struct bt_choices out;
    struct bt_measured want;
    struct panel panel;

    init(&panel);
    panel.request.limit[BT_FIGURE_CUP] = NAN;
    panel.request.limit[BT_FIGURE_TWIST] = 1;
    panel.request.verdict[BT_FIGURE_TWIST] = BT_OVER;
    panel.request.twist = seen(-2, 0.1);
    want = bt_pull_twist(1200, 600, 20, &panel.wood.g_along, &panel.request.twist);
    found(&panel, &out);
    c = find(&out, BT_CHOICE_PULL);
    cr_expect(fabs(c->force.value - fabs(want.value)) <= 1e-9);
    cr_expect_not(c->stress.seen);
    bt_choices_clear(&out);
}

Test(choices, before_wood_comes_off_one_waits_where_nothing_says_that_it_rests)
{
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    panel.request.moving_known = false;
    found(&panel, &out);
    cr_expect_lt(rank(&out, BT_CHOICE_PULL), rank(&out, BT_CHOICE_WAIT));
    cr_expect_lt(rank(&out, BT_CHOICE_WAIT), rank(&out, BT_CHOICE_HIGH_SPOTS));
    cr_expect_lt(rank(&out, BT_CHOICE_FLATTEN), rank(&out, BT_CHOICE_REGLUE));
    bt_choices_clear(&out);
}

Test(choices, possible_ones_come_before_open_ones_before_those_that_cannot_work)
{
    struct bt_choices out;
    struct panel panel;

    init(&panel);
    panel.request.plan.machine_width = NAN;
    found(&panel, &out);
    for (size_t i = 1; i < BT_CHOICES; i++)
        cr_expect_leq(out.choice[i - 1].state, out.choice[i].state);
    bt_choices_clear(&out);
}

static void refuse(struct panel *panel, size_t row, const char *message)
{
    struct bt_choices out = {.pair_exact = true};
    struct bt_error err = {0};

    cr_expect_eq(bt_choices_find(&panel->request, &out, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row);
    cr_expect(out.pair_exact, "untouched");
}

Test(choices, refuses_what_is_out_of_range)
{
    struct panel panel;

    init(&panel);
    panel.request.limit[BT_FIGURE_BOW] = 0;
    refuse(&panel, BT_FIGURE_BOW, "a limit must be over 0 mm");
    init(&panel);
    panel.request.plan.shaving = 0;
    refuse(&panel, 0, "a length, time or force of the plan is out of its range");
    init(&panel);
    panel.request.plan.hand_force = 50;
    refuse(&panel, 0, "a length, time or force of the plan is out of its range");
    init(&panel);
    panel.request.plan.screw_lines = 2;
    refuse(&panel, 0, "a length, time or force of the plan is out of its range");
    init(&panel);
    panel.request.width = -600;
    refuse(&panel, 0, "length, width and thickness must be over 0 mm");
}

Test(choices, every_allocation_may_fail_and_nothing_leaks)
{
    struct panel panel;
    size_t calls, live;
    struct bt_choices out;

    init(&panel);
    memory_fail_at(0);
    live = memory_live();
    found(&panel, &out);
    calls = memory_calls();
    bt_choices_clear(&out);
    cr_expect_eq(memory_live(), live);
    cr_assert_gt(calls, 0);
    for (size_t k = 1; k <= calls; k++) {
        enum bt_status status;

        memory_fail_at(k);
        status = bt_choices_find(&panel.request, &out, NULL);
        if (status == BT_OK)
            bt_choices_clear(&out);
        cr_expect(status == BT_ENOMEM || status == BT_OK, "call %zu", k);
        cr_expect_eq(memory_live(), live, "call %zu", k);
    }
    memory_fail_at(0);
}

Test(choices, names_are_words_and_unknown_ones_are_said_to_be)
{
    cr_expect_str_eq(bt_choice_name(BT_CHOICE_LEAVE), "leave it");
    cr_expect_str_eq(bt_choice_name(BT_CHOICES), "unknown choice");
    cr_expect_str_eq(bt_choice_state_name(BT_CHOICE_OPEN), "cannot tell");
    cr_expect_str_eq(bt_choice_state_name((enum bt_choice_state)9), "unknown state");
    bt_choices_clear(NULL);
}
