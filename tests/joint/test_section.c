/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/section.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

enum { MOST = 40 };

static const double degree = 0.017453292519943295;

static struct bt_section evaluate(size_t n, const struct bt_strip strip[],
                                  const struct bt_board_run run[],
                                  const struct bt_edge_errors *errors)
{
    struct bt_section s = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_section_evaluate(n, strip, run, errors, &s, &err), BT_OK, "%s",
                 err.message);
    return s;
}

/* Fixed, reproducible: from 0 to 1. */
static double next(unsigned *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / 16777216.0;
}

static void make_boards(size_t n, unsigned seed, double taper, struct bt_strip strip[],
                        struct bt_board_run run[])
{
    for (size_t i = 0; i < n; i++) {
        strip[i].width = 60 + 90 * next(&seed);
        strip[i].thickness = 20 + 9 * next(&seed);
        strip[i].taper = taper * (2 * next(&seed) - 1);
        run[i].back = next(&seed) < 0.5 ? BT_RUN_IN : BT_RUN_OUT;
        run[i].front = next(&seed) < 0.5 ? BT_RUN_IN : BT_RUN_OUT;
        run[i].turned = next(&seed) < 0.5;
    }
}

/* ---- boards cut and laid by coordinates alone ---- */

struct vec {
    double y, z;
};

static struct vec minus(struct vec a, struct vec b)
{
    return (struct vec){a.y - b.y, a.z - b.z};
}

static struct vec rotated(struct vec v, double angle)
{
    return (struct vec){v.y * cos(angle) - v.z * sin(angle),
                        v.y * sin(angle) + v.z * cos(angle)};
}

/* Angle from a to b, counterclockwise with y to the right and z up. */
static double angle_between(struct vec a, struct vec b)
{
    return atan2(a.y * b.z - a.z * b.y, a.y * b.y + a.z * b.z);
}

struct cut {
    struct vec show_back, show_front, other_back, other_front;
};

/* Where the line from p along d meets the other face, which goes through q along f. */
static struct vec meet(struct vec p, struct vec d, struct vec q, struct vec f)
{
    struct vec pq = minus(q, p);
    double s = (pq.y * f.z - pq.z * f.y) / (d.y * f.z - d.z * f.y);

    return (struct vec){p.y + s * d.y, p.z + s * d.z};
}

/*
 * A board with its show face on z = 0 from y = 0, each edge cut through the end of the
 * show face so that it stands at 90 degrees + e, through the wood, on the face that was
 * at the fence.
 */
static struct cut cut_board(const struct bt_strip *s, const struct bt_board_run *run,
                            double e)
{
    double taper = run->turned ? -s->taper : s->taper, right = 90 * degree + e;
    struct vec show = {1, 0}, other = {s->width, -taper};
    struct vec under = {s->width / 2, -s->thickness};
    struct cut c = {.show_front = {s->width, 0}};
    struct vec down;

    /* From the fence face turn by the angle through the wood to the edge. */
    down = run->back == BT_RUN_IN ? rotated(show, -right) : rotated(other, right);
    c.other_back = meet(c.show_back, down, under, other);
    down = run->front == BT_RUN_IN ? rotated((struct vec){-1, 0}, right)
                                   : rotated((struct vec){-other.y, -other.z}, -right);
    c.other_front = meet(c.show_front, down, under, other);
    return c;
}

static double angle_at_show(const struct cut *c, bool front)
{
    if (front)
        return angle_between((struct vec){-1, 0}, minus(c->other_front, c->show_front));
    return angle_between(minus(c->other_back, c->show_back), (struct vec){1, 0});
}

static double angle_at_other(const struct cut *c, bool front)
{
    struct vec face = minus(c->other_front, c->other_back);

    if (front)
        return angle_between(minus(c->show_front, c->other_front),
                             (struct vec){-face.y, -face.z});
    return angle_between(face, minus(c->show_back, c->other_back));
}

static void move(struct cut *c, struct vec from, double angle, struct vec to)
{
    struct vec *corner[] = {&c->show_back, &c->show_front, &c->other_back,
                            &c->other_front};

    for (int k = 0; k < 4; k++) {
        struct vec v = rotated(minus(*corner[k], from), angle);

        *corner[k] = (struct vec){v.y + to.y, v.z + to.z};
    }
}

/* Lay a board against the one before so that the edges lie flush over their depth. */
static void glue(const struct cut *before, struct cut *board)
{
    struct vec there = minus(before->other_front, before->show_front);
    struct vec here = minus(board->other_back, board->show_back);

    move(board, board->show_back, angle_between(here, there), before->show_front);
}

/* Both boards with their show faces on z = 0, pushed together until they touch: the gap
 * left at the show face and at the depth of the shorter edge. */
static void push(const struct cut *a, const struct cut *b, double *at_show,
                 double *at_depth)
{
    double depth = fmax(a->other_front.z, b->other_back.z);
    double ya = (a->other_front.y - a->show_front.y) * depth / a->other_front.z;
    double yb = (b->other_back.y - b->show_back.y) * depth / b->other_back.z;
    double shift = fmax(0, ya - yb);

    *at_show = shift;
    *at_depth = shift + yb - ya;
}

Test(section, angles_through_the_wood_sum_to_more_than_pi_at_the_thin_edge)
{
    const struct bt_strip s = {110, 26, 1.7};
    const double tau = atan2(1.7, 110);

    for (int k = 0; k < 4; k++) {
        const struct bt_board_run run = {k & 1 ? BT_RUN_OUT : BT_RUN_IN,
                                         k & 2 ? BT_RUN_OUT : BT_RUN_IN, false};
        const struct cut c = cut_board(&s, &run, 0.4 * degree);

        cr_expect(fabs(angle_at_show(&c, false) + angle_at_other(&c, false) -
                       180 * degree - tau) <= 1e-14);
        cr_expect(fabs(angle_at_show(&c, true) + angle_at_other(&c, true) -
                       180 * degree + tau) <= 1e-14);
    }
}

Test(section, the_lean_of_an_edge_is_that_of_a_board_cut_by_coordinates)
{
    for (int k = 0; k < 16; k++) {
        const struct bt_strip s = {110, 26, k & 4 ? 1.7 : -0.9};
        const double e = (k & 8 ? 0.4 : -0.7) * degree;
        const struct bt_board_run run = {k & 1 ? BT_RUN_OUT : BT_RUN_IN,
                                         k & 2 ? BT_RUN_OUT : BT_RUN_IN, false};
        const struct cut c = cut_board(&s, &run, e);
        double back = run.back == BT_RUN_IN ? angle_at_show(&c, false)
                                            : angle_at_other(&c, false);

        cr_expect(fabs(back - 90 * degree - e) <= 1e-14, "cut %d", k);
        cr_expect(fabs(bt_edge_lean(&s, false, run.back, e) + 90 * degree -
                       angle_at_show(&c, false)) <= 1e-14,
                  "back %d", k);
        cr_expect(fabs(bt_edge_lean(&s, true, run.front, e) + 90 * degree -
                       angle_at_show(&c, true)) <= 1e-14,
                  "front %d", k);
    }
}

static void expect_corner(const double got[2], struct vec want, const char *name,
                          size_t i)
{
    cr_expect(fabs(got[0] - want.y) <= 1e-9 && fabs(got[1] - want.z) <= 1e-9,
              "board %zu, %s: %.12g, %.12g, not %.12g, %.12g", i, name, got[0], got[1],
              want.y, want.z);
}

static double height_at(size_t n, const struct cut c[], double along)
{
    for (size_t i = 0; i < n; i++) {
        double w = hypot(c[i].show_front.y - c[i].show_back.y,
                         c[i].show_front.z - c[i].show_back.z);

        if (along <= w)
            return c[i].show_back.z +
                   along / w * (c[i].show_front.z - c[i].show_back.z);
        along -= w;
    }
    return NAN;
}

/* All of one panel against the panel glued up by coordinates. */
static void compare(size_t n, const struct bt_strip strip[],
                    const struct bt_board_run run[], double e)
{
    const struct bt_edge_errors errors = {.e = e};
    struct bt_section s = evaluate(n, strip, run, &errors);
    struct cut c[MOST];
    double largest = 0, sag = 0, level;

    for (size_t i = 0; i < n; i++)
        c[i] = cut_board(&strip[i], &run[i], e);
    for (size_t j = 0; j + 1 < n; j++) {
        double show, depth;

        push(&c[j], &c[j + 1], &show, &depth);
        /* An edge that leans by 0.02 meets a face that slopes by 0.013 at a depth that
         * is greater or less by their product. */
        cr_expect(fabs(s.joint[j].opening.value - fmax(show, depth)) <=
                          3e-4 * fmax(show, depth) + 1e-12 &&
                      fmin(show, depth) <= 1e-12,
                  "joint %zu: %g, %g", j, show, depth);
        if (fmax(show, depth) > 1e-12)
            cr_expect_eq(s.joint[j].opens_at_show, show > depth, "joint %zu", j);
        largest = fmax(largest, fmax(show, depth));
    }
    cr_expect(fabs(s.largest_opening - largest) <= 3e-4 * largest + 1e-12);
    for (size_t i = 1; i < n; i++)
        glue(&c[i - 1], &c[i]);
    for (size_t j = 0; j + 1 < n; j++) {
        double kink = angle_between(minus(c[j].show_front, c[j].show_back),
                                    minus(c[j + 1].show_front, c[j + 1].show_back));

        cr_expect(fabs(s.joint[j].kink.value - kink) <= 1e-12, "joint %zu: %g, not %g",
                  j, s.joint[j].kink.value, kink);
    }
    level = angle_between(c[n - 1].show_front, (struct vec){1, 0});
    for (size_t i = 0; i < n; i++)
        move(&c[i], (struct vec){0, 0}, level, (struct vec){0, 0});
    for (size_t i = 0; i < n; i++) {
        expect_corner(s.board[i].show_back, c[i].show_back, "show_back", i);
        expect_corner(s.board[i].show_front, c[i].show_front, "show_front", i);
        expect_corner(s.board[i].other_back, c[i].other_back, "other_back", i);
        expect_corner(s.board[i].other_front, c[i].other_front, "other_front", i);
        if (fabs(c[i].show_back.z) > fabs(sag))
            sag = c[i].show_back.z;
    }
    cr_expect(fabs(s.cup_exact - height_at(n, c, s.width / 2)) <= 1e-9, "%.12g",
              s.cup_exact);
    cr_expect(fabs(s.sag - sag) <= 1e-9, "%.12g, not %.12g", s.sag, sag);
    cr_expect(fabs(s.cup.value - s.cup_exact) <= 2e-3 * fabs(s.cup_exact) + 0.02,
              "%g, %g", s.cup.value, s.cup_exact);
    bt_section_clear(&s);
}

Test(section, equals_boards_cut_and_glued_by_coordinates)
{
    for (unsigned k = 0; k < 200; k++) {
        struct bt_strip strip[MOST];
        struct bt_board_run run[MOST];
        size_t n = 1 + k % 9;

        make_boards(n, 77 + k, k % 3 ? 0.8 : 0, strip, run);
        compare(n, strip, run, (k % 2 ? 0.3 : -0.2) * degree);
    }
}

/* ---- figures of known size ---- */

/* Sagitta of equal boards, same face, by the exact polygon: reference/checks.py,
 * section 5, which prints four decimals. */
static const struct {
    size_t n;
    double width, e, sagitta;
} known[] = {
    {6, 100, 0.1, 1.5708},
    {5, 120, 0.1, 1.2566},
    {6, 100, 0.25, 3.9268},
    {4, 150, 0.1, 1.0472},
};

Test(section, same_face_gives_the_published_sagitta_hollow_for_a_wide_angle)
{
    for (size_t k = 0; k < sizeof known / sizeof *known; k++) {
        struct bt_strip strip[MOST];
        const struct bt_board_run run[MOST] = {{BT_RUN_IN, BT_RUN_IN, false}};
        const struct bt_edge_errors errors = {.e = known[k].e * degree};
        struct bt_section s;

        for (size_t i = 0; i < known[k].n; i++)
            strip[i] = (struct bt_strip){known[k].width, 25, 0};
        s = evaluate(known[k].n, strip, run, &errors);
        cr_expect(fabs(s.sag + known[k].sagitta) <= 5e-5, "row %zu: %.6f", k, s.sag);
        cr_expect(fabs(s.cup_exact + known[k].sagitta) <= 5e-5, "row %zu: %.6f", k,
                  s.cup_exact);
        bt_section_clear(&s);
    }
}

Test(section, a_joint_of_two_edges_0_1_degree_off_opens_by_the_published_wedge)
{
    /* reference/checks.py, section 5: 25 mm thick, 0.0873 mm */
    const struct bt_strip strip[2] = {{90, 25, 0}, {70, 25, 0}};
    const struct bt_board_run run[2] = {{BT_RUN_IN, BT_RUN_IN, false}};
    const struct bt_edge_errors errors = {.e = 0.1 * degree};
    struct bt_section s = evaluate(2, strip, run, &errors);

    cr_expect(fabs(s.joint[0].opening.value - 0.0873) <= 5e-5);
    cr_expect(s.joint[0].opens_at_show);
    cr_expect(s.cup.value < 0);
    bt_section_clear(&s);
}

Test(section, same_face_cup_follows_the_closed_form_for_odd_and_even_counts)
{
    for (size_t n = 1; n <= MOST; n++) {
        struct bt_strip strip[MOST];
        const struct bt_board_run run[MOST] = {{BT_RUN_IN, BT_RUN_IN, false}};
        const struct bt_edge_errors errors = {.e = 0.1 * degree};
        double b = 83.5, k = 0.2 * degree, m = (double)n;
        double want = (n % 2 ? m * m - 1 : m * m) / 8 * b * k;
        struct bt_section s;

        for (size_t i = 0; i < n; i++)
            strip[i] = (struct bt_strip){b, 22, 0};
        s = evaluate(n, strip, run, &errors);
        cr_expect(fabs(s.cup.value + want) <= 1e-12 * (1 + want), "%zu: %.15g", n,
                  s.cup.value);
        bt_section_clear(&s);
    }
}

static void alternate(size_t n, struct bt_board_run run[])
{
    for (size_t i = 0; i < n; i++)
        run[i] = i % 2 ? (struct bt_board_run){BT_RUN_OUT, BT_RUN_OUT, false}
                       : (struct bt_board_run){BT_RUN_IN, BT_RUN_IN, false};
}

Test(section, alternate_boards_without_taper_cancel_for_any_angle_and_widths)
{
    for (unsigned k = 0; k < 60; k++) {
        struct bt_strip strip[MOST];
        struct bt_board_run run[MOST];
        struct bt_edge_errors errors = {.e = (0.1 * k - 3) * degree};
        size_t n = 1 + k % MOST;
        struct bt_section s;

        make_boards(n, k, 0, strip, run);
        alternate(n, run);
        s = evaluate(n, strip, run, &errors);
        cr_expect(s.largest_kink <= 0 && s.cup.value == 0 && s.largest_opening <= 0);
        cr_expect(fabs(s.cup_exact) <= 1e-9 && fabs(s.sag) <= 1e-9);
        bt_section_clear(&s);
        for (size_t i = 0; i < n; i++)
            run[i] = (struct bt_board_run){BT_RUN_IN, BT_RUN_OUT, false};
        s = evaluate(n, strip, run, &errors);
        cr_expect(s.largest_kink <= 0 && s.cup.value == 0, "in and out");
        bt_section_clear(&s);
    }
}

/* Sizes of the cup for boards all of one taper; e 0. */
static double tapered_cup(size_t n, bool whole_boards)
{
    struct bt_strip strip[MOST];
    struct bt_board_run run[MOST];
    const struct bt_edge_errors errors = {.e = 0};
    struct bt_section s;
    double cup;

    for (size_t i = 0; i < n; i++) {
        strip[i] = (struct bt_strip){100, 25, 0.5};
        run[i] = (struct bt_board_run){BT_RUN_IN, BT_RUN_OUT, false};
    }
    if (whole_boards)
        alternate(n, run);
    s = evaluate(n, strip, run, &errors);
    cup = fabs(s.cup.value);
    bt_section_clear(&s);
    return cup;
}

Test(section, taper_adds_up_in_and_out_but_not_with_alternate_boards)
{
    double tau = atan2(0.5, 100);

    for (size_t n = 4; n <= MOST; n += 2) {
        double m = (double)n;

        /* every joint the same kink: the closed form again */
        cr_expect(fabs(tapered_cup(n, false) - m * m / 8 * 100 * tau) <= 1e-9);
        /* alternating kinks, each board's two cancel but for its own width */
        cr_expect(tapered_cup(n, true) <= m / 4 * 100 * tau);
    }
    cr_expect(tapered_cup(40, true) <= 0.06 * tapered_cup(40, false));
}

Test(section, the_step_is_the_largest_difference_of_two_edges)
{
    const struct bt_strip strip[3] = {{90, 25, 1}, {70, 26, 0.4}, {80, 24, 0}};
    struct bt_board_run run[3] = {{BT_RUN_IN, BT_RUN_IN, false}};
    const struct bt_edge_errors errors = {.e = 0};
    struct bt_section s = evaluate(3, strip, run, &errors);

    cr_expect(fabs(s.step - (26.2 - 24)) <= 1e-12, "%g", s.step);
    bt_section_clear(&s);
    run[1].turned = true;
    s = evaluate(3, strip, run, &errors);
    cr_expect(fabs(s.step - (25.8 - 24)) <= 1e-12, "%g", s.step);
    bt_section_clear(&s);
}

Test(section, one_board_is_flat)
{
    const struct bt_strip strip = {90, 25, 1};
    const struct bt_board_run run = {BT_RUN_IN, BT_RUN_OUT, false};
    const struct bt_edge_errors errors = {.e = 0.01, .u_e = 0.1, .scatter = 0.1};
    struct bt_section s = evaluate(1, &strip, &run, &errors);

    cr_expect(s.njoint == 0 && s.cup.value == 0 && s.cup.u == 0 && s.cup.seen);
    cr_expect(s.cup_exact == 0 && s.sag == 0 && s.largest_kink == 0 && s.step == 0);
    bt_section_clear(&s);
}

/* ---- uncertainty ---- */

struct shaken {
    size_t n;
    const struct bt_strip *strip;
    const struct bt_board_run *run;
    double e;
    size_t edge, board; /* that is shaken */
    double r, taper;    /* by */
};

/* Kinks, openings (signed, of the depths of the boards as they are) and cup. */
static void shake(const struct shaken *s, double kink[], double open[], double *cup)
{
    double y[MOST], width = 0;

    for (size_t i = 0; i < s->n; i++)
        y[i] = width += s->strip[i].width;
    *cup = 0;
    for (size_t j = 0; j + 1 < s->n; j++) {
        double lean[2], depth[2];

        for (size_t k = 0; k < 2; k++) {
            struct bt_strip strip = s->strip[j + k];
            const struct bt_board_run *run = &s->run[j + k];
            double r = 2 * j + k == s->edge ? s->r : 0, sign = run->turned ? -1 : 1;

            depth[k] = strip.thickness + sign * (k ? -1 : 1) * strip.taper / 2;
            if (j + k == s->board)
                strip.taper += s->taper;
            strip.taper *= sign;
            lean[k] =
                bt_edge_lean(&strip, k == 0, k ? run->back : run->front, s->e + r);
        }
        kink[j] = lean[0] + lean[1];
        open[j] = fmin(depth[0], depth[1]) * (tan(lean[0]) + tan(lean[1]));
        *cup -= fmin(y[j], width - y[j]) / 2 * kink[j];
    }
}

struct spread {
    double kink[MOST], open[MOST], cup; /* variances */
};

static void add_variance(const struct shaken *at, double e, double r, double taper,
                         double u, struct spread *sum)
{
    struct shaken up = *at, down = *at;
    double kink[2][MOST], open[2][MOST], cup[2], h = e + r + taper;

    up.e += e, up.r = r, up.taper = taper;
    down.e -= e, down.r = -r, down.taper = -taper;
    shake(&up, kink[0], open[0], &cup[0]);
    shake(&down, kink[1], open[1], &cup[1]);
    for (size_t j = 0; j + 1 < at->n; j++) {
        sum->kink[j] += pow((kink[0][j] - kink[1][j]) / (2 * h) * u, 2);
        sum->open[j] += pow((open[0][j] - open[1][j]) / (2 * h) * u, 2);
    }
    sum->cup += pow((cup[0] - cup[1]) / (2 * h) * u, 2);
}

static void expect_u(size_t n, const struct bt_strip strip[],
                     const struct bt_board_run run[],
                     const struct bt_edge_errors *errors)
{
    struct shaken at = {n, strip, run, errors->e, SIZE_MAX, SIZE_MAX, 0, 0};
    struct bt_section s = evaluate(n, strip, run, errors);
    struct spread sum = {.cup = 0};

    add_variance(&at, 1e-4, 0, 0, errors->u_e, &sum);
    for (at.edge = 0; at.edge < 2 * (n - 1); at.edge++)
        add_variance(&at, 0, 1e-4, 0, errors->scatter, &sum);
    for (at.board = 0; at.board < n; at.board++)
        add_variance(&at, 0, 0, 1e-2, errors->u_taper, &sum);
    for (size_t j = 0; j + 1 < n; j++) {
        double kink = sqrt(sum.kink[j]), open = sqrt(sum.open[j]);

        cr_expect(fabs(s.joint[j].kink.u - kink) <= 1e-6 * kink, "%g, not %g",
                  s.joint[j].kink.u, kink);
        cr_expect(fabs(s.joint[j].opening.u - open) <= 1e-6 * open, "%g, not %g",
                  s.joint[j].opening.u, open);
    }
    cr_expect(fabs(s.cup.u - sqrt(sum.cup)) <= 1e-6 * sqrt(sum.cup), "%g, not %g",
              s.cup.u, sqrt(sum.cup));
    bt_section_clear(&s);
}

Test(section, uncertainties_are_those_of_finite_differences)
{
    for (unsigned k = 0; k < 60; k++) {
        struct bt_strip strip[MOST];
        struct bt_board_run run[MOST];
        const struct bt_edge_errors errors = {
            .e = 0.3 * degree,
            .u_e = k % 4 == 1 ? 0 : 0.05 * degree,
            .scatter = k % 4 == 2 ? 0 : 0.03 * degree,
            .u_taper = k % 4 == 3 ? 0 : 0.06,
        };

        make_boards(2 + k % 8, 900 + k, 0.8, strip, run);
        expect_u(2 + k % 8, strip, run, &errors);
    }
}

Test(section, the_u_of_a_closed_opening_is_that_of_its_kink_times_the_thickness)
{
    const struct bt_strip strip[2] = {{90, 25, 0}, {70, 24, 0}};
    const struct bt_board_run run[2] = {{BT_RUN_IN, BT_RUN_IN, false},
                                        {BT_RUN_OUT, BT_RUN_OUT, false}};
    const struct bt_edge_errors errors = {.e = 0, .u_e = 0.002, .scatter = 0.001};
    struct bt_section s = evaluate(2, strip, run, &errors);

    cr_expect(s.joint[0].opening.value == 0 && s.joint[0].opening.seen);
    cr_expect(fabs(s.joint[0].kink.u - 0.001 * sqrt(2)) <= 1e-15);
    cr_expect(fabs(s.joint[0].opening.u - 24 * 0.001 * sqrt(2)) <= 1e-14);
    bt_section_clear(&s);
}

/* ---- refusals ---- */

static void expect_refused(size_t n, struct bt_strip second,
                           const struct bt_edge_errors *errors, size_t row,
                           const char *message)
{
    const struct bt_strip strip[3] = {{90, 25, 0}, second, {70, 24, 0}};
    const struct bt_board_run run[3] = {{BT_RUN_IN, BT_RUN_IN, false}};
    struct bt_section s, untouched;
    struct bt_error err = {0};

    memset(&s, 0x5a, sizeof s);
    untouched = s;
    cr_expect_eq(bt_section_evaluate(n, strip, run, errors, &s, &err), BT_EINPUT, "%s",
                 message);
    cr_expect_str_eq(err.message, message, "%s", err.message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_eq(memcmp(&s, &untouched, sizeof s), 0, "%s", message);
    cr_expect_eq(bt_section_evaluate(n, strip, run, errors, &s, NULL), BT_EINPUT);
}

Test(section, refuses_boards_that_cannot_be_with_their_row)
{
    const struct bt_edge_errors errors = {.e = 0.01};
    const struct bt_strip good = {80, 25, 0};
    const struct {
        struct bt_strip strip;
        const char *message;
    } rows[] = {
        {{0, 25, 0}, "its width is not a number above 0"},
        {{NAN, 25, 0}, "its width is not a number above 0"},
        {{INFINITY, 25, 0}, "its width is not a number above 0"},
        {{80, -1, 0}, "its thickness is not a number above 0"},
        {{80, NAN, 0}, "its thickness is not a number above 0"},
        {{80, INFINITY, 0}, "its thickness is not a number above 0"},
        {{80, 25, NAN}, "its taper is not a number"},
        {{80, 25, -INFINITY}, "its taper is not a number"},
        {{80, 25, 50}, "its taper leaves an edge without thickness"},
        {{80, 25, -50}, "its taper leaves an edge without thickness"},
        {{40, 25, 40}, "its faces and edges lean by 45 degrees or more"},
    };

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        expect_refused(3, rows[k].strip, &errors, 1, rows[k].message);
    expect_refused(0, good, &errors, 0, "there are no boards");
    expect_refused(3, (struct bt_strip){1e200, 25, 0}, &errors, 3,
                   "the numbers are too large or too small to compute with");
    expect_refused(3, good, &(struct bt_edge_errors){.scatter = 1e300}, 3,
                   "the numbers are too large or too small to compute with");
}

Test(section, refuses_errors_of_the_edges_that_cannot_be)
{
    const struct bt_strip good = {80, 25, 0};
    const struct {
        struct bt_edge_errors errors;
        const char *message;
    } rows[] = {
        {{NAN, 0, 0, 0}, "the error of the fence is not below 45 degrees"},
        {{-0.8, 0, 0, 0}, "the error of the fence is not below 45 degrees"},
        {{0, -1, 0, 0}, "the uncertainty of the fence is not a number of 0 or more"},
        {{0, NAN, 0, 0}, "the uncertainty of the fence is not a number of 0 or more"},
        {{0, 0, -1, 0}, "the scatter of the edges is not a number of 0 or more"},
        {{0, 0, INFINITY, 0}, "the scatter of the edges is not a number of 0 or more"},
        {{0, 0, 0, -1}, "the uncertainty of the tapers is not a number of 0 or more"},
        {{0, 0, 0, NAN}, "the uncertainty of the tapers is not a number of 0 or more"},
    };

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        expect_refused(3, good, &rows[k].errors, 3, rows[k].message);
}

Test(section, names_the_two_ways_of_running_an_edge)
{
    cr_expect_str_eq(bt_run_name(BT_RUN_IN), "in");
    cr_expect_str_eq(bt_run_name(BT_RUN_OUT), "out");
}

Test(section, clearing_twice_and_nothing_is_safe)
{
    struct bt_section s = {0};

    bt_section_clear(&s);
    bt_section_clear(&s);
    bt_section_clear(NULL);
    cr_expect_null(s.board);
}
