/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of the shapes that no reading sees. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/surface/unseen.h"
#include "support/builder.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(unseen, .init = quiet_gsl);

enum { NX = 7, NY = 5 };

static double bent(double x, double y)
{
    return 1e-6 * x * x - 2e-6 * x * y + 0.1 * sin(y / 90);
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){10 + 130.0 * i, 20 + 110.0 * j};
}

static void lengthwise(struct builder *b)
{
    for (int j = 0; j < NY; j++)
        builder_run(b, at(0, j), at(NX - 1, j), NX);
}

static void crosswise(struct builder *b)
{
    for (int i = 0; i < NX; i++)
        builder_run(b, at(i, 0), at(i, NY - 1), NY);
}

static void diagonal(struct builder *b)
{
    builder_run(b, at(0, 0), at(4, 4), 5);
}

static void heights(struct builder *b, int dim, int i0, int j0, int i1, int j1)
{
    struct bt_point p[NX * NY];
    size_t n = 0;

    for (int i = i0; i <= i1; i++)
        for (int j = j0; j <= j1; j++)
            p[n++] = at(i, j);
    builder_heights(b, dim, n, p);
}

static void bars(struct builder *b, int along, int across, bool oblique)
{
    const int nx = NX, ny = NY;

    for (int j = 0; j < ny && along != -2; j++)
        for (int i = 1; i + 1 < nx; i++)
            builder_bar(b, along, at(i - 1, j), at(i, j), at(i + 1, j));
    for (int i = 0; i < nx && across != -2; i++)
        for (int j = 1; j + 1 < ny; j++)
            builder_bar(b, across, at(i, j - 1), at(i, j), at(i, j + 1));
    if (oblique)
        builder_bar(b, across, at(0, 0), at(2, 2), at(4, 4));
}

static struct bt_network *adjusted(const struct builder *b)
{
    struct bt_network *net = NULL;
    struct bt_error err = {0};

    cr_assert_eq(bt_network_adjust(&b->r, &net, &err), BT_OK, "%s", err.message);
    return net;
}

/* The names of an adjustment, checked against want[nwant]; the readings are cleared. */
static void expect_names(const char *scheme, struct builder *b, size_t nwant,
                         const struct bt_unseen want[])
{
    struct bt_network *net = adjusted(b);
    struct bt_unseen got[BT_UNSEEN_MAX];
    size_t n = 99, shapes = 0;

    cr_assert_eq(bt_unseen_name(net, got, &n), BT_OK);
    cr_expect_eq(n, nwant, "%s: %zu names", scheme, n);
    for (size_t i = 0; i < n; i++) {
        shapes += got[i].count;
        if (i >= nwant)
            continue;
        cr_expect_eq(got[i].kind, want[i].kind, "%s: name %zu is %d", scheme, i,
                     (int)got[i].kind);
        cr_expect_eq(got[i].count, want[i].count, "%s: name %zu counts %zu", scheme, i,
                     got[i].count);
        cr_expect(fabs(got[i].at - want[i].at) <= 1e-9, "%s: name %zu at %g", scheme, i,
                  got[i].at);
    }
    cr_expect_eq(shapes, net->nshape - net->nplane, "%s: %zu of %zu shapes", scheme,
                 shapes, net->nshape - net->nplane);
    bt_network_free(net);
    builder_clear(b);
}

/* -- one name ---------------------------------------------------------------------- */

Test(unseen, nothing_but_planes_has_no_name)
{
    struct builder b;

    builder_init(&b, 0.02, bent);
    lengthwise(&b);
    crosswise(&b);
    diagonal(&b);
    expect_names("all", &b, 0, NULL);
    builder_init(&b, 0.02, bent);
    heights(&b, 0, 0, 0, NX - 1, NY - 1);
    expect_names("known heights", &b, 0, NULL);
}

Test(unseen, lines_parallel_to_the_edges_leave_twist)
{
    const struct bt_unseen want[] = {{.kind = BT_UNSEEN_TWIST, .count = 1}};
    struct builder b;

    builder_init(&b, 0.02, bent);
    lengthwise(&b);
    crosswise(&b);
    expect_names("lines", &b, 1, want);
}

/* A square grid: the spans both ways are equal, and what a zero hides is a bowl. */
Test(unseen, a_bar_with_an_unknown_zero_leaves_the_bowl)
{
    const struct bt_unseen want[] = {{.kind = BT_UNSEEN_TWIST, .count = 1},
                                     {.kind = BT_UNSEEN_BOWL, .count = 1}};
    struct builder b;
    int g;

    builder_init(&b, 0.02, bent);
    g = builder_group(&b, 1);
    for (int k = 0; k < 5; k++)
        for (int i = 1; i < 4; i++) {
            builder_bar(&b, g, (struct bt_point){100.0 * (i - 1), 100.0 * k},
                        (struct bt_point){100.0 * i, 100.0 * k},
                        (struct bt_point){100.0 * (i + 1), 100.0 * k});
            builder_bar(&b, g, (struct bt_point){100.0 * k, 100.0 * (i - 1)},
                        (struct bt_point){100.0 * k, 100.0 * i},
                        (struct bt_point){100.0 * k, 100.0 * (i + 1)});
        }
    expect_names("one zero", &b, 2, want);
}

Test(unseen, two_unknown_zeros_leave_twist_then_bow_then_cup)
{
    const struct bt_unseen want[] = {{.kind = BT_UNSEEN_TWIST, .count = 1},
                                     {.kind = BT_UNSEEN_BOW, .count = 1},
                                     {.kind = BT_UNSEEN_CUP, .count = 1}};
    struct builder b;
    int g, h;

    builder_init(&b, 0.02, bent);
    g = builder_group(&b, 1);
    h = builder_group(&b, 1);
    bars(&b, g, h, false);
    /* the bowl is bow and cup together: it is not named as well */
    expect_names("two zeros", &b, 3, want);
}

Test(unseen, two_set_ups_that_share_a_row_leave_a_hinge_along_it)
{
    const struct bt_unseen across[] = {
        {.kind = BT_UNSEEN_HINGE_X, .at = 10 + 130 * 3, .count = 1}};
    const struct bt_unseen along[] = {
        {.kind = BT_UNSEEN_HINGE_Y, .at = 20 + 110 * 1, .count = 1}};
    struct builder b;

    builder_init(&b, 0.02, bent);
    heights(&b, 3, 0, 0, 3, NY - 1);
    heights(&b, 3, 3, 0, NX - 1, NY - 1);
    expect_names("shared column", &b, 1, across);
    builder_init(&b, 0.02, bent);
    heights(&b, 3, 0, 0, NX - 1, 1);
    heights(&b, 3, 0, 1, NX - 1, NY - 1);
    expect_names("shared row", &b, 1, along);
}

Test(unseen, three_set_ups_in_a_row_leave_two_hinges)
{
    const struct bt_unseen want[] = {
        {.kind = BT_UNSEEN_HINGE_X, .at = 10 + 130 * 2, .count = 1},
        {.kind = BT_UNSEEN_HINGE_X, .at = 10 + 130 * 4, .count = 1}};
    struct builder b;

    builder_init(&b, 0.02, bent);
    heights(&b, 3, 0, 0, 2, NY - 1);
    heights(&b, 3, 2, 0, 4, NY - 1);
    heights(&b, 3, 4, 0, NX - 1, NY - 1);
    expect_names("three", &b, 2, want);
}

Test(unseen, four_set_ups_that_meet_in_a_cross_leave_a_hinge_each_way_after_twist)
{
    struct builder b;
    struct bt_network *net;
    struct bt_unseen got[BT_UNSEEN_MAX];
    size_t n;

    builder_init(&b, 0.02, bent);
    heights(&b, 3, 0, 0, 3, 2);
    heights(&b, 3, 3, 0, NX - 1, 2);
    heights(&b, 3, 0, 2, 3, NY - 1);
    heights(&b, 3, 3, 2, NX - 1, NY - 1);
    net = adjusted(&b);
    cr_assert_eq(bt_unseen_name(net, got, &n), BT_OK);
    cr_assert(n >= 2);
    cr_expect(got[0].kind == BT_UNSEEN_HINGE_X && got[0].at == 10 + 130 * 3);
    cr_expect(got[1].kind == BT_UNSEEN_HINGE_Y && got[1].at == 20 + 110 * 2);
    bt_network_free(net);
    builder_clear(&b);
}

/* Lengthwise lines, and two across: what stays is x y^2 etc. only where less is seen.
 */
Test(unseen, lines_lengthwise_alone_leave_twist_cup_and_cup_that_changes)
{
    struct builder b;
    struct bt_network *net;
    struct bt_unseen got[BT_UNSEEN_MAX];
    size_t n;

    builder_init(&b, 0.02, bent);
    lengthwise(&b);
    net = adjusted(&b);
    cr_assert_eq(bt_unseen_name(net, got, &n), BT_OK);
    /* an offset and a slope for each of 5 lines, less the 3 planes: 7 shapes */
    cr_assert_eq(n, 4, "%zu", n);
    cr_expect_eq(got[0].kind, BT_UNSEEN_TWIST);
    cr_expect_eq(got[1].kind, BT_UNSEEN_CUP);
    cr_expect_eq(got[2].kind, BT_UNSEEN_XY2);
    cr_expect_eq(got[3].kind, BT_UNSEEN_POINTS);
    cr_expect_eq(got[3].count, 4);
    cr_expect_eq(got[3].nmoving, net->npoint);
    bt_network_free(net);
    builder_clear(&b);
    builder_init(&b, 0.02, bent);
    crosswise(&b);
    net = adjusted(&b);
    cr_assert_eq(bt_unseen_name(net, got, &n), BT_OK);
    cr_assert_eq(n, 4, "%zu", n);
    cr_expect_eq(got[0].kind, BT_UNSEEN_TWIST);
    cr_expect_eq(got[1].kind, BT_UNSEEN_BOW);
    cr_expect_eq(got[2].kind, BT_UNSEEN_X2Y);
    cr_expect_eq(got[3].kind, BT_UNSEEN_POINTS);
    cr_expect_eq(got[3].count, 8);
    bt_network_free(net);
    builder_clear(&b);
}

/* -- shapes without a name --------------------------------------------------------- */

/* A line that meets the rest at one point only tips about it.  Heights are relative to
 * the plane of all points, so that all of them move when two do. */
Test(unseen, a_shape_without_a_name_counts_the_points_that_move_over_their_plane)
{
    struct builder b;
    struct bt_network *net;
    struct bt_unseen got[BT_UNSEEN_MAX];
    double z[64], u[64];
    size_t n, open = 0;

    builder_init(&b, 0.02, bent);
    heights(&b, 0, 0, 0, NX - 1, NY - 1);
    builder_line(&b, 3, (const struct bt_point[]){at(0, 0), {5, 25}, {3, 30}});
    net = adjusted(&b);
    cr_assert_eq(net->nplane, 0);
    cr_assert_eq(net->nshape, 1);
    cr_assert_eq(bt_unseen_name(net, got, &n), BT_OK);
    cr_assert_eq(n, 1);
    cr_expect_eq(got[0].kind, BT_UNSEEN_POINTS);
    cr_expect_eq(got[0].count, 1);
    cr_assert_eq(bt_network_heights(net, z, u, NULL), BT_OK);
    for (size_t p = 0; p < net->npoint; p++) {
        if (isnan(z[p]) && open < 3)
            cr_expect_eq(got[0].example[open], p);
        open += isnan(z[p]) ? 1 : 0;
    }
    cr_expect_eq(got[0].nmoving, open, "%zu of %zu", got[0].nmoving, open);
    bt_network_free(net);
    builder_clear(&b);
}

Test(unseen, counts_of_all_entries_add_up_to_the_unseen_shapes)
{
    unsigned long long seed = 9;

    for (int k = 0; k < 40; k++) {
        struct builder b;
        struct bt_network *net;
        struct bt_unseen got[BT_UNSEEN_MAX];
        size_t n, shapes = 0;

        builder_init(&b, 0.02, bent);
        for (int l = 0; l < 3 + k % 6; l++) {
            const double r = builder_uniform(&seed);
            const int i = (int)(NX * builder_uniform(&seed));
            const int j = (int)(NY * builder_uniform(&seed));
            if (r < 0.5)
                builder_run(&b, at(i, 0), at(i, NY - 1), NY);
            else
                builder_run(&b, at(0, j), at(NX - 1, j), NX);
        }
        builder_run(&b, at(0, 0), at(0, NY - 1), NY);
        builder_run(&b, at(0, 0), at(NX - 1, 0), NX);
        net = adjusted(&b);
        cr_assert_eq(bt_unseen_name(net, got, &n), BT_OK);
        for (size_t i = 0; i < n; i++) {
            shapes += got[i].count;
            cr_expect(i == 0 || got[i - 1].kind <= got[i].kind, "%d: order", k);
        }
        cr_expect_eq(shapes, net->nshape - net->nplane, "%d: %zu of %zu", k, shapes,
                     net->nshape - net->nplane);
        bt_network_free(net);
        builder_clear(&b);
    }
}

/* 40 rows of one set-up each that share a column each with the next: 39 hinges. */
Test(unseen, more_shapes_than_fit_are_gathered_in_the_last_entry)
{
    struct builder b;
    struct bt_network *net;
    struct bt_unseen got[BT_UNSEEN_MAX];
    size_t n;

    builder_init(&b, 0.02, bent);
    for (int s = 0; s < 40; s++) {
        struct bt_point p[6];
        for (int k = 0; k < 6; k++)
            p[k] = (struct bt_point){30.0 * (s + k / 3), 100.0 * (k % 3)};
        builder_heights(&b, 3, 6, p);
    }
    net = adjusted(&b);
    cr_assert_eq(net->nshape, 3 + 39);
    cr_assert_eq(bt_unseen_name(net, got, &n), BT_OK);
    cr_expect(n <= BT_UNSEEN_MAX);
    cr_expect_eq(got[n - 1].kind, BT_UNSEEN_POINTS);
    cr_expect_eq(got[n - 1].count + n - 1, 39);
    bt_network_free(net);
    builder_clear(&b);
}

/* -- where a name would be no shape ------------------------------------------------ */

/* On two rows y^2 is a plane and x y^2 is x times a plane: neither is a name here. */
Test(unseen, a_shape_that_is_a_plane_on_the_points_has_no_name)
{
    const struct bt_unseen want[] = {{.kind = BT_UNSEEN_TWIST, .count = 1}};
    struct builder b;

    builder_init(&b, 0.02, bent);
    builder_run(&b, at(0, 0), at(NX - 1, 0), NX);
    builder_run(&b, at(0, 2), at(NX - 1, 2), NX);
    expect_names("two rows", &b, 1, want);
}

Test(unseen, all_points_on_one_line_are_refused_where_something_is_unseen)
{
    struct builder b;
    struct bt_network *net;
    struct bt_unseen got[BT_UNSEEN_MAX];
    size_t n;

    builder_init(&b, 0.02, bent);
    builder_run(&b, at(0, 0), at(3, 0), 4);
    builder_run(&b, at(4, 0), at(6, 0), 3);
    net = adjusted(&b);
    cr_expect(net->nshape > net->nplane);
    cr_expect_eq(bt_unseen_name(net, got, &n), BT_ESINGULAR);
    bt_network_free(net);
    builder_clear(&b);
}

/* Places of the panel must not matter: far from 0, in other lengths. */
Test(unseen, names_do_not_depend_on_where_the_panel_lies)
{
    const struct bt_unseen want[] = {
        {.kind = BT_UNSEEN_HINGE_X, .at = 10 + 130 * 3 + 1e5, .count = 1}};
    struct builder b;
    const double dx = 1e5, dy = -4e4;

    builder_init(&b, 0.02, bent);
    for (int s = 0; s < 2; s++) {
        struct bt_point p[NX * NY];
        size_t n = 0;
        for (int i = 3 * s; i <= 3 * s + 3; i++)
            for (int j = 0; j < NY; j++)
                p[n++] = (struct bt_point){at(i, j).x + dx, at(i, j).y + dy};
        builder_heights(&b, 3, n, p);
    }
    expect_names("moved", &b, 1, want);
}

/* -- the one line to read next ------------------------------------------------------
 */

static struct bt_unseen_line best(const struct builder *b)
{
    const struct bt_rectangle box = {10, 20, 10 + 130.0 * (NX - 1),
                                     20 + 110.0 * (NY - 1)};
    struct bt_network *net = adjusted(b);
    struct bt_unseen_line line;

    cr_assert_eq(bt_unseen_best_line(net, &box, &line), BT_OK);
    bt_network_free(net);
    return line;
}

static void expect_best(struct builder *b, enum bt_usual_line line, size_t shows,
                        size_t of)
{
    const struct bt_unseen_line got = best(b);

    cr_expect_eq(got.of, of, "of %zu", got.of);
    cr_expect_eq(got.shows, shows, "shows %zu", got.shows);
    cr_expect(shows == 0 || got.line == line, "line %d", (int)got.line);
    builder_clear(b);
}

Test(unseen, a_diagonal_is_the_line_to_read_where_twist_alone_is_unseen)
{
    struct builder b;

    builder_init(&b, 0.02, bent);
    lengthwise(&b);
    crosswise(&b);
    expect_best(&b, BT_LINE_AC, 1, 1);
}

Test(unseen, no_line_is_to_read_where_all_is_seen)
{
    struct builder b;

    builder_init(&b, 0.02, bent);
    lengthwise(&b);
    crosswise(&b);
    diagonal(&b);
    expect_best(&b, BT_LINE_AC, 0, 0);
}

/* A fresh reader of the program met this: four edges and one diagonal, and the advice
 * was to read lines across the width. */
Test(unseen, the_other_diagonal_is_the_line_to_read_after_edges_and_one_diagonal)
{
    struct builder b;

    builder_init(&b, 0.02, bent);
    builder_run(&b, at(0, 0), at(NX - 1, 0), 3);
    builder_run(&b, at(0, NY - 1), at(NX - 1, NY - 1), 3);
    builder_run(&b, at(0, 0), at(0, NY - 1), 3);
    builder_run(&b, at(NX - 1, 0), at(NX - 1, NY - 1), 3);
    builder_run(&b, at(NX - 1, 0), at(0, NY - 1), 3);
    expect_best(&b, BT_LINE_AC, 1, 1);
}

Test(unseen, a_line_across_is_the_line_to_read_where_lines_run_lengthwise_only)
{
    struct builder b;

    builder_init(&b, 0.02, bent);
    lengthwise(&b);
    expect_best(&b, BT_LINE_ACROSS, 3, 7);
}

Test(unseen, a_line_over_the_hinge_shows_it)
{
    struct builder b;

    builder_init(&b, 0.02, bent);
    heights(&b, 3, 0, 0, 3, NY - 1);
    heights(&b, 3, 3, 0, NX - 1, NY - 1);
    expect_best(&b, BT_LINE_AC, 1, 1);
}
