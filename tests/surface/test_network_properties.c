/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Changed readings change the result as they must; weak and singular nets; places moved
 * to a neighbouring point; errors.
 */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/network.h"
#include "benchtrue/surface/unseen.h"
#include "support/builder.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(network_properties, .init = quiet_gsl);

static double wavy(double x, double y)
{
    return 0.4 * sin(x / 210) - 0.3 * cos(y / 130) + 1e-6 * x * y - 2e-4 * x;
}

static double flat(double x, double y)
{
    (void)x;
    (void)y;
    return 0;
}

static struct bt_network *adjusted(const struct bt_readings *r)
{
    struct bt_network *net = NULL;
    struct bt_error err = {0};

    cr_assert_eq(bt_network_adjust(r, &net, &err), BT_OK, "%s", err.message);
    return net;
}

static void add_noise(struct builder *b, double share, unsigned long long *seed)
{
    for (size_t i = 0; i < b->r.nobs; i++)
        b->r.obs[i].value += share * b->r.obs[i].u * builder_normal(seed);
}

enum { NX = 6, NY = 4 };

static struct bt_point place(size_t i, size_t j)
{
    return (struct bt_point){37 + 150 * (double)i, 12 + 180 * (double)j};
}

/* Rows and columns in full, and one diagonal: nothing stays unseen. */
static void whole_grid(struct builder *b)
{
    for (size_t j = 0; j < NY; j++)
        builder_run(b, place(0, j), place(NX - 1, j), NX);
    for (size_t i = 0; i < NX; i++)
        builder_run(b, place(i, 0), place(i, NY - 1), NY);
    builder_run(b, place(1, 0), place(NY, NY - 1), NY);
}

/* -- what changed readings must do ------------------------------------------------- */

/* Lines both ways and two diagonals, a set-up with tilt, bars and slopes of unknown
 * zero: all kinds but sticks, nothing but planes unseen. */
static void rich(struct builder *b, double u)
{
    struct bt_point p[NX * NY];
    size_t n = 0;
    int zero;

    builder_init(b, u, wavy);
    whole_grid(b);
    builder_run(b, place(4, 0), place(1, NY - 1), NY);
    for (size_t i = 1; i < NX; i++)
        for (size_t j = 1; j < NY; j++)
            p[n++] = place(i, j);
    builder_heights(b, 3, n, p);
    zero = builder_group(b, 1);
    for (size_t j = 0; j < NY; j++)
        builder_bar(b, zero, place(0, j), place(2, j), place(5, j));
    b->u = u / 1000;
    zero = builder_group(b, 1);
    for (size_t i = 0; i + 1 < NX; i++)
        builder_slope(b, zero, place(i, 1), place(i + 1, 2));
    b->u = u;
    builder_wind(b, 37, 787, 12, 552, 500);
}

/* Places, and what the equations hold of them, mirrored along x where sign is -1, then
 * moved. */
static void move_places(struct builder *b, double sign, double dx, double dy)
{
    for (size_t p = 0; p < b->r.npoint; p++) {
        b->r.point[p].x = sign * b->r.point[p].x + dx;
        b->r.point[p].y += dy;
    }
    for (size_t i = 0; i < b->r.nobs; i++) {
        struct bt_obs *o = &b->r.obs[i];
        if (o->kind == BT_READ_SLOPE)
            o->plane[1] *= sign;
        if (o->kind != BT_READ_HEIGHT && o->kind != BT_READ_SCAN)
            continue;
        o->plane[1] = b->r.point[o->point[0]].x;
        o->plane[2] = b->r.point[o->point[0]].y;
        for (int k = 1; k < 3; k++)
            if (o->group >= 0 && b->r.group[o->group].dim == 3)
                o->basis[k] = o->plane[k];
    }
}

/* Heights, u, scores and redundancies of two adjustments; point[p] of the second is
 * point p of the first, reading[i] likewise; NULL: the same.  values and u of the
 * second are k times those of the first. */
static void expect_same(const char *name, const struct bt_readings *first,
                        const struct bt_readings *second, const size_t point[],
                        const size_t reading[], double k)
{
    struct bt_network *a = adjusted(first), *b = adjusted(second);
    double za[NX * NY], ua[NX * NY], zb[NX * NY], ub[NX * NY];

    cr_assert_eq(bt_network_heights(a, za, ua, NULL), BT_OK);
    cr_assert_eq(bt_network_heights(b, zb, ub, NULL), BT_OK);
    cr_expect_eq(a->rank, b->rank, "%s", name);
    cr_expect_eq(a->nshape, b->nshape, "%s", name);
    cr_expect(fabs(a->sigma0 - b->sigma0) <= 1e-9, "%s: sigma0", name);
    for (size_t p = 0; p < a->npoint; p++) {
        const size_t q = point ? point[p] : p;
        cr_expect(fabs(k * za[p] - zb[q]) <= 1e-10 * fmax(1, k), "%s: z of %zu: %g",
                  name, p, k * za[p] - zb[q]);
        cr_expect(fabs(k * ua[p] - ub[q]) <= 1e-10 * fmax(1, k), "%s: u of %zu: %g",
                  name, p, k * ua[p] - ub[q]);
    }
    for (size_t i = 0; i < a->nobs; i++) {
        const size_t j = reading ? reading[i] : i;
        cr_expect(fabs(a->redundancy[i] - b->redundancy[j]) <= 1e-9, "%s: redundancy",
                  name);
        cr_expect((a->redundancy[i] == 0 && isnan(a->score[i]) && isnan(b->score[j])) ||
                      fabs(a->score[i] - b->score[j]) <= 1e-6,
                  "%s: score %zu", name, i);
        cr_expect(fabs(k * a->residual[i] - b->residual[j]) <= 1e-10 * fmax(1, k),
                  "%s: residual %zu", name, i);
    }
    bt_network_free(a);
    bt_network_free(b);
}

static void two_rich(struct builder *a, struct builder *b)
{
    unsigned long long seed = 5;

    rich(a, 0.02);
    add_noise(a, 1, &seed);
    seed = 5;
    rich(b, 0.02);
    add_noise(b, 1, &seed);
}

Test(network_properties, exact_readings_leave_no_residuals)
{
    for (int k = 0; k < 2; k++) {
        struct builder b;
        struct bt_network *net;
        double z[NX * NY], u[NX * NY], c[NX * NY];

        rich(&b, k ? 0.02 : 3);
        net = adjusted(&b.r);
        cr_assert(net->dof > 20);
        cr_expect(net->sigma0 <= 1e-9, "%g", net->sigma0);
        cr_assert_eq(bt_network_heights(net, z, u, NULL), BT_OK);
        for (size_t p = 0; p < net->npoint; p++)
            c[p] = wavy(b.r.point[p].x, b.r.point[p].y);
        cr_assert_eq(bt_network_take_off_plane(net, c), BT_OK);
        for (size_t p = 0; p < net->npoint; p++)
            cr_expect(fabs(z[p] - c[p]) <= 1e-11, "point %zu: %g", p, z[p] - c[p]);
        bt_network_free(net);
        builder_clear(&b);
    }
}

Test(network_properties, the_order_of_points_readings_and_groups_does_not_matter)
{
    struct builder a, b;
    size_t point[NX * NY], reading[400];

    two_rich(&a, &b);
    cr_assert(a.r.nobs <= 400);
    for (size_t p = 0; p < a.r.npoint; p++) {
        point[p] = (p * 7 + 3) % a.r.npoint; /* 24 points: 7 has no factor of it */
        b.r.point[point[p]] = a.r.point[p];
    }
    for (size_t i = 0; i < a.r.nobs; i++) {
        reading[i] = a.r.nobs - 1 - i;
        b.r.obs[reading[i]] = a.r.obs[i];
        for (int k = 0; k < a.r.obs[i].npoint; k++)
            b.r.obs[reading[i]].point[k] = point[a.r.obs[i].point[k]];
        if (a.r.obs[i].group >= 0)
            b.r.obs[reading[i]].group = (int)a.r.ngroup - 1 - a.r.obs[i].group;
    }
    for (size_t g = 0; g < a.r.ngroup; g++)
        b.r.group[a.r.ngroup - 1 - g] = a.r.group[g];
    expect_same("order", &a.r, &b.r, point, reading, 1);
    builder_clear(&a);
    builder_clear(&b);
}

Test(network_properties, moving_the_panel_changes_nothing)
{
    struct builder a, b;

    two_rich(&a, &b);
    move_places(&b, 1, -5000, 12345);
    expect_same("moved", &a.r, &b.r, NULL, NULL, 1);
    builder_clear(&a);
    builder_clear(&b);
}

Test(network_properties, mirroring_the_panel_changes_nothing)
{
    struct builder a, b;

    two_rich(&a, &b);
    move_places(&b, -1, 900, 0);
    expect_same("mirrored", &a.r, &b.r, NULL, NULL, 1);
    builder_clear(&a);
    builder_clear(&b);
}

Test(network_properties, tilting_the_panel_changes_no_height_over_its_plane)
{
    struct builder a, b;

    two_rich(&a, &b);
    for (size_t i = 0; i < b.r.nobs; i++) {
        struct bt_obs *o = &b.r.obs[i];
        for (int k = 0; k < o->npoint; k++)
            o->value += o->coef[k] * (1.5 + 2e-3 * b.r.point[o->point[k]].x -
                                      1e-3 * b.r.point[o->point[k]].y);
    }
    expect_same("tilted", &a.r, &b.r, NULL, NULL, 1);
    builder_clear(&a);
    builder_clear(&b);
}

Test(network_properties, scaling_readings_and_their_u_scales_heights_and_u)
{
    static const double scales[] = {1e-6, 25.4, 1e6};

    for (size_t s = 0; s < 3; s++) {
        struct builder a, b;
        two_rich(&a, &b);
        for (size_t i = 0; i < b.r.nobs; i++) {
            b.r.obs[i].value *= scales[s];
            b.r.obs[i].u *= scales[s];
        }
        expect_same("scaled", &a.r, &b.r, NULL, NULL, scales[s]);
        builder_clear(&a);
        builder_clear(&b);
    }
}

Test(network_properties, the_sign_of_all_readings_turns_the_surface_over)
{
    struct builder a, b;
    struct bt_network *up, *down;
    double zu[NX * NY], zd[NX * NY], u[NX * NY];

    two_rich(&a, &b);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].value = -b.r.obs[i].value;
    up = adjusted(&a.r);
    down = adjusted(&b.r);
    cr_assert_eq(bt_network_heights(up, zu, u, NULL), BT_OK);
    cr_assert_eq(bt_network_heights(down, zd, u, NULL), BT_OK);
    for (size_t p = 0; p < up->npoint; p++)
        cr_expect(fabs(zu[p] + zd[p]) <= 1e-12);
    bt_network_free(up);
    bt_network_free(down);
    builder_clear(&a);
    builder_clear(&b);
}

/* -- weak, singular ---------------------------------------------------------------- */

static void grid_with_diagonal(struct builder *b, double u)
{
    builder_init(b, 0.02, wavy);
    for (size_t j = 0; j < NY; j++)
        builder_run(b, place(0, j), place(NX - 1, j), NX);
    for (size_t i = 0; i < NX; i++)
        builder_run(b, place(i, 0), place(i, NY - 1), NY);
    b->u = u;
    builder_run(b, place(0, 0), place(NY - 1, NY - 1), NY);
}

static void corners(struct builder *b, double c[NX * NY])
{
    memset(c, 0, NX * NY * sizeof *c);
    for (int k = 0; k < 4; k++) {
        const struct bt_point p = place(k & 1 ? NX - 1 : 0, k & 2 ? NY - 1 : 0);
        c[builder_point(b, p.x, p.y)] = k == 0 || k == 3 ? 1 : -1;
    }
}

Test(network_properties, a_diagonal_of_little_weight_is_called_weak_and_of_none_unseen)
{
    static const struct {
        double u;
        bool weak, seen;
    } rows[] = {
        {0.02, false, true}, {2, false, true}, {300, true, true}, {2e7, false, false}};

    for (size_t i = 0; i < 4; i++) {
        struct builder b;
        struct bt_network *net;
        double c[NX * NY], value, u;
        bool seen;

        grid_with_diagonal(&b, rows[i].u);
        net = adjusted(&b.r);
        corners(&b, c);
        cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
        cr_expect_eq(net->weak, rows[i].weak, "u %g: least eigenvalue %g", rows[i].u,
                     net->least_eigenvalue);
        cr_expect_eq(seen, rows[i].seen, "u %g", rows[i].u);
        cr_expect(!seen || (u > rows[i].u && u < 20 * rows[i].u + 1), "u %g: %g",
                  rows[i].u, u);
        bt_network_free(net);
        builder_clear(&b);
    }
}

Test(network_properties, readings_of_one_place_alone_are_a_rank_of_one)
{
    struct builder b;
    struct bt_network *net;
    const struct bt_point p = {3, 4};
    double z, u;
    struct bt_error err = {0};

    builder_init(&b, 0.1, wavy);
    builder_heights(&b, 0, 1, &p);
    builder_heights(&b, 0, 1, &p);
    net = adjusted(&b.r);
    cr_expect_eq(net->rank, 1);
    cr_expect_eq(net->dof, 1);
    cr_expect_eq(net->nshape, 0);
    cr_assert_eq(bt_network_heights(net, &z, &u, &err), BT_ESINGULAR);
    cr_expect_str_eq(err.message, "all readings lie on one line, which shows no plane: "
                                  "read a second line beside it");
    z = 1;
    cr_expect_eq(bt_network_take_off_plane(net, &z), BT_ESINGULAR);
    cr_expect(z == 1);
    bt_network_free(net);
    builder_clear(&b);
}

Test(network_properties, a_line_alone_has_no_degree_of_freedom_and_no_sigma0)
{
    struct builder b;
    struct bt_network *net;

    builder_init(&b, 0.1, wavy);
    builder_run(&b, place(0, 0), place(5, 0), 6);
    net = adjusted(&b.r);
    cr_expect_eq(net->dof, 0);
    cr_expect(isnan(net->sigma0));
    for (size_t i = 0; i < net->nobs; i++)
        cr_expect(net->redundancy[i] == 0 && isnan(net->score[i]));
    bt_network_free(net);
    builder_clear(&b);
}

/* -- places moved to a neighbouring point ------------------------------------------ */

/* Lines that are straight where they were read, over points moved by up to slack. */
static void slack_line(struct builder *b, size_t n, const struct bt_point exact[],
                       const size_t point[])
{
    const int group = builder_group(b, 2);
    const double length =
        hypot(exact[n - 1].x - exact[0].x, exact[n - 1].y - exact[0].y);

    for (size_t i = 0; i < n; i++) {
        const double s = hypot(exact[i].x - exact[0].x, exact[i].y - exact[0].y);
        b->r.obs = bt_grow(b->r.obs, &b->room_obs, b->r.nobs + 1, sizeof *b->r.obs);
        cr_assert(b->r.obs != NULL);
        cr_assert_eq(bt_obs_gap(&b->r.obs[b->r.nobs], point[i], group, s, length,
                                -wavy(exact[i].x, exact[i].y) + 0.1 * group, NULL),
                     BT_OK);
        b->r.obs[b->r.nobs++].u = b->u;
    }
}

static void slack_grid(struct builder *b, size_t nx, size_t ny, bool diagonals,
                       unsigned long long *seed)
{
    struct bt_point exact[32];
    size_t index[32], point[24 * 24];

    builder_init(b, 0.02, wavy);
    b->r.slack = 3;
    for (size_t i = 0; i < nx; i++)
        for (size_t j = 0; j < ny; j++) {
            const double r = 3 * sqrt(builder_uniform(seed));
            const double a = 6.283185307179586 * builder_uniform(seed);
            point[i * ny + j] =
                builder_point(b, 1200.0 * (double)i / (double)(nx - 1) + r * cos(a),
                              600.0 * (double)j / (double)(ny - 1) + r * sin(a));
        }
    for (size_t way = 0; way < (diagonals ? 4U : 2U); way++)
        for (size_t l = 0; l < (way == 0 ? ny : way == 1 ? nx : 1); l++) {
            const size_t n = way == 0 ? nx : ny;
            for (size_t k = 0; k < n; k++) {
                /* the diagonals meet every point of a square number of steps */
                const size_t step = (nx - 1) / (ny - 1);
                const size_t i = way == 0   ? k
                                 : way == 1 ? l
                                 : way == 2 ? k * step
                                            : nx - 1 - k * step;
                const size_t j = way == 0 ? l : k;
                exact[k] = (struct bt_point){1200.0 * (double)i / (double)(nx - 1),
                                             600.0 * (double)j / (double)(ny - 1)};
                index[k] = point[i * ny + j];
            }
            slack_line(b, n, exact, index);
        }
}

static const size_t slack_sizes[][2] = {{3, 3}, {5, 3}, {9, 5}, {13, 13}, {23, 23}};

Test(network_properties, lines_parallel_to_the_edges_leave_twist_unseen_despite_slack)
{
    unsigned long long seed = 21;

    for (size_t s = 0; s < sizeof slack_sizes / sizeof *slack_sizes; s++)
        for (int draw = 0; draw < (s < 3 ? 20 : 2); draw++) {
            struct builder b;
            struct bt_network *net;
            struct bt_unseen unseen[BT_UNSEEN_MAX];
            double *z, *u;
            size_t n, shown = 0;

            slack_grid(&b, slack_sizes[s][0], slack_sizes[s][1], false, &seed);
            net = adjusted(&b.r);
            z = calloc(2 * net->npoint, sizeof *z);
            u = z + net->npoint;
            cr_expect_eq(net->nplane, 3, "%zu/%d: planes %zu", s, draw, net->nplane);
            cr_expect_eq(net->nshape, 4, "%zu/%d: shapes %zu", s, draw, net->nshape);
            cr_assert_eq(bt_unseen_name(net, unseen, &n), BT_OK);
            cr_expect(n == 1 && unseen[0].kind == BT_UNSEEN_TWIST, "%zu/%d: %zu names",
                      s, draw, n);
            /* points off the axes of the panel move by the twist: none has a height */
            cr_assert_eq(bt_network_heights(net, z, u, NULL), BT_OK);
            for (size_t p = 0; p < net->npoint; p++) {
                const double x = b.r.point[p].x / 600 - 1, y = b.r.point[p].y / 300 - 1;
                shown += !isnan(z[p]) && fabs(x * y) > 0.1;
            }
            cr_expect_eq(shown, 0, "%zu/%d: %zu points have a height", s, draw, shown);
            free(z);
            bt_network_free(net);
            builder_clear(&b);
        }
}

Test(network_properties, diagonals_show_the_twist_despite_slack)
{
    unsigned long long seed = 22;

    for (size_t s = 0; s < sizeof slack_sizes / sizeof *slack_sizes; s++)
        for (int draw = 0; draw < (s < 3 ? 20 : 2); draw++) {
            struct builder b;
            struct bt_network *net;

            slack_grid(&b, slack_sizes[s][0], slack_sizes[s][1], true, &seed);
            net = adjusted(&b.r);
            cr_expect_eq(net->nplane, 3, "%zu/%d", s, draw);
            cr_expect_eq(net->nshape, 3, "%zu/%d: shapes %zu", s, draw, net->nshape);
            bt_network_free(net);
            builder_clear(&b);
        }
}

/* -- errors ------------------------------------------------------------------------ */

static void expect_refused(const char *name, struct builder *b, enum bt_status status,
                           size_t row, const char *message)
{
    struct bt_network *net = (struct bt_network *)b; /* any address */
    struct bt_error err = {0};

    cr_expect_eq(bt_network_adjust(&b->r, &net, &err), status, "%s", name);
    cr_expect(net == NULL, "%s", name);
    cr_expect_eq(err.code, status, "%s", name);
    cr_expect_eq(err.row, row, "%s: row %zu", name, err.row);
    cr_expect_str_eq(err.message, message, "%s: %s", name, err.message);
    cr_expect_eq(bt_network_adjust(&b->r, &net, NULL), status, "%s", name);
    builder_clear(b);
}

Test(network_properties, no_reading_is_refused)
{
    struct builder b;

    builder_init(&b, 1, flat);
    expect_refused("none", &b, BT_EINPUT, 0, "there is no reading");
}

Test(network_properties, each_fault_of_a_reading_is_refused_with_its_row)
{
    static const struct {
        const char *name;
        enum bt_status status;
        const char *message;
    } rows[] = {{"value NaN", BT_EINPUT, "reading 7 is not finite"},
                {"value infinite", BT_EINPUT, "reading 7 is not finite"},
                {"u NaN", BT_EINPUT, "reading 7 is not finite"},
                {"u infinite", BT_EINPUT, "reading 7 is not finite"},
                {"u 0", BT_EINPUT, "reading 7 has an uncertainty of 0 or less"},
                {"u below 0", BT_EINPUT, "reading 7 has an uncertainty of 0 or less"},
                {"coefficient NaN", BT_EINPUT, "reading 7 is not finite"},
                {"place NaN", BT_EINPUT, "reading 7 is not finite"},
                {"group beyond", BT_ECALL, "reading 7 has no such group"},
                {"group below", BT_ECALL, "reading 7 has no such group"},
                {"no point", BT_ECALL, "reading 7 has no such group"},
                {"five points", BT_ECALL, "reading 7 has no such group"},
                {"point beyond", BT_ECALL, "reading 7 has no such point"},
                {"point twice", BT_EINPUT, "reading 7 uses one place twice"}};

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        struct builder b;
        struct bt_obs *o;

        builder_init(&b, 0.1, wavy);
        builder_run(&b, place(0, 0), place(5, 0), 6);
        builder_slope(&b, BT_NO_GROUP, place(0, 1), place(1, 1));
        builder_slope(&b, BT_NO_GROUP, place(2, 1), place(3, 1));
        builder_run(&b, place(0, 0), place(0, 3), 4);
        o = &b.r.obs[7];
        switch (k) {
        case 0:
        case 1:
            o->value = k ? INFINITY : NAN;
            break;
        case 2:
        case 3:
            o->u = k == 3 ? INFINITY : NAN;
            break;
        case 4:
        case 5:
            o->u = k == 5 ? -0.1 : 0;
            break;
        case 6:
            o->coef[1] = NAN;
            break;
        case 7:
            b.r.point[o->point[1]].y = NAN;
            break;
        case 8:
        case 9:
            o->group = k == 8 ? (int)b.r.ngroup : -2;
            break;
        case 10:
        case 11:
            o->npoint = k == 10 ? 0 : 5;
            break;
        case 12:
            o->point[1] = b.r.npoint;
            break;
        default:
            o->point[1] = o->point[0];
        }
        expect_refused(rows[k].name, &b, rows[k].status, 7, rows[k].message);
    }
}

Test(network_properties, a_group_of_impossible_size_is_refused)
{
    for (int dim = 0; dim <= 4; dim += 4) {
        struct builder b;
        builder_init(&b, 0.1, wavy);
        builder_run(&b, place(0, 0), place(5, 0), 6);
        builder_run(&b, place(0, 0), place(0, 3), 4);
        b.r.group[1].dim = dim;
        expect_refused("size", &b, BT_ECALL, 1, "group 1 has no such size");
    }
}

Test(network_properties, a_point_that_no_reading_has_is_refused)
{
    struct builder b;

    builder_init(&b, 0.1, wavy);
    builder_run(&b, place(0, 0), place(5, 0), 6);
    builder_point(&b, 1, 1);
    builder_run(&b, place(0, 0), place(0, 3), 4);
    expect_refused("point", &b, BT_EINPUT, 6, "no reading is taken at point 6");
}

Test(network_properties, too_large_a_network_with_unseen_shapes_is_refused)
{
    static const char message[] =
        "the readings leave more than planes unseen, and there are too many of them to "
        "say what; read lines that cross the others, diagonals first";
    struct builder b;

    /* 751 lines that do not meet: 1502 unknowns of theirs */
    builder_init(&b, 0.1, wavy);
    for (int k = 0; k < 751; k++)
        builder_run(&b, (struct bt_point){0, k}, (struct bt_point){2, k}, 3);
    expect_refused("lines", &b, BT_ESINGULAR, 0, message);
    /* a level carried over 1501 points in rows that nothing joins */
    builder_init(&b, 0.1, wavy);
    for (int k = 0; k < 751; k++)
        builder_slope(&b, BT_NO_GROUP, (struct bt_point){0, k},
                      (struct bt_point){2, k});
    expect_refused("slopes", &b, BT_ESINGULAR, 0, message);
}
