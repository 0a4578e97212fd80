/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The adjustment against published and recomputed figures of reference/metrology. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/surface/network.h"
#include "benchtrue/surface/unseen.h"
#include "support/builder.h"
#include "support/reference.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(network, .init = quiet_gsl);

static double zero_surface(double x, double y)
{
    (void)x;
    (void)y;
    return 0;
}

static struct bt_network *adjusted(const struct builder *b)
{
    struct bt_network *net = NULL;
    struct bt_error err = {0};

    cr_assert_eq(bt_network_adjust(&b->r, &net, &err), BT_OK, "%s", err.message);
    return net;
}

/* -- the constructed panel: 100 gaps, solved elsewhere with 50 digits -------------- */

static void load_panel(struct builder *b, double u)
{
    struct reference *t = reference_load("metrology/constructed_panel_gaps.csv");
    struct bt_point p[16];
    double gap[16];
    size_t n = 0;

    builder_init(b, u, zero_surface);
    for (size_t i = 0; i < reference_rows(t); i++) {
        const bool last =
            i + 1 == reference_rows(t) ||
            strcmp(reference_text(t, i, "line"), reference_text(t, i + 1, "line")) != 0;
        p[n] = (struct bt_point){reference_number(t, i, "x_mm"),
                                 reference_number(t, i, "y_mm")};
        gap[n++] = reference_number(t, i, "gap_um") / 1000;
        if (last) {
            builder_gaps(b, n, p, gap);
            n = 0;
        }
    }
    reference_free(t);
}

static double summary(const char *quantity)
{
    struct reference *t = reference_load("metrology/constructed_panel_summary.csv");
    const double value =
        reference_number(t, reference_find(t, "quantity", quantity, 0), "value");
    reference_free(t);
    return value;
}

Test(network, gives_the_heights_of_the_constructed_panel_to_a_billionth_of_a_micrometre)
{
    struct builder b;
    struct bt_network *net;
    struct reference *t = reference_load("metrology/constructed_panel_heights.csv");
    double z[64], u[64];

    load_panel(&b, 1e-3);
    net = adjusted(&b);
    cr_assert_eq(bt_network_heights(net, z, u, NULL), BT_OK);
    for (size_t i = 0; i < reference_rows(t); i++) {
        const size_t p = builder_point(&b, reference_number(t, i, "x_mm"),
                                       reference_number(t, i, "y_mm"));
        cr_expect(fabs(1000 * z[p] - reference_number(t, i, "adjusted_um")) <= 1e-9,
                  "row %zu: %.13g", i, 1000 * z[p]);
        cr_expect(fabs(1000 * u[p] - reference_number(t, i, "cofactor_sd")) <= 1e-12,
                  "row %zu: %.15g", i, 1000 * u[p]);
    }
    bt_network_free(net);
    builder_clear(&b);
    reference_free(t);
}

Test(network, gives_the_rank_and_the_residuals_of_the_constructed_panel)
{
    struct builder b;
    struct bt_network *net;
    double sum = 0, largest = 0, corner[64] = {0}, value, u;
    const double s0 = summary("s0_um");
    bool seen;
    size_t at = 0;

    load_panel(&b, s0 / 1000); /* so that scores are over the sigma0 of all readings */
    net = adjusted(&b);
    cr_expect_eq(net->nobs, (size_t)summary("observations"));
    cr_expect_eq(net->npoint, (size_t)summary("height_unknowns"));
    cr_expect_eq(net->unknowns - net->npoint, (size_t)summary("line_unknowns"));
    cr_expect_eq(net->nshape, (size_t)summary("rank_defect"));
    cr_expect_eq(net->nplane, 3);
    cr_expect_eq(net->dof, (size_t)summary("degrees_of_freedom"));
    cr_expect(fabs(net->vtpv * s0 * s0 - summary("sum_squared_residuals_um2")) <= 1e-8);
    cr_expect(fabs(net->sigma0 - 1) <= 1e-12);
    for (size_t i = 0; i < net->nobs; i++) {
        const double standard =
            fabs(net->residual[i] / (b.r.obs[i].u * sqrt(net->redundancy[i])));
        sum += net->redundancy[i];
        if (standard > largest) {
            largest = standard;
            at = i;
        }
    }
    cr_expect(fabs(sum - summary("redundancy_sum")) <= 1e-9, "%.12g", sum);
    cr_expect(fabs(largest - summary("largest_standardised_residual")) <= 1e-10);
    cr_expect(b.r.point[b.r.obs[at].point[0]].x == 750 &&
              b.r.point[b.r.obs[at].point[0]].y == 300); /* col 6 row 4 */
    corner[builder_point(&b, 0, 0)] = corner[builder_point(&b, 1200, 400)] = 1;
    corner[builder_point(&b, 1200, 0)] = corner[builder_point(&b, 0, 400)] = -1;
    cr_assert_eq(bt_network_figure(net, corner, &value, &u, &seen), BT_OK);
    cr_expect(seen);
    cr_expect(fabs(1000 * value - summary("corner_twist_um")) <= 1e-9);
    cr_expect(fabs(1000 * u - summary("corner_twist_u_um")) <= 1e-9);
    bt_network_free(net);
    builder_clear(&b);
}

/* -- what reading schemes see: reference/metrology/observability_results.csv ------- */

static struct bt_point at(int i, int j)
{
    return (struct bt_point){i, j};
}

static void lengthwise(struct builder *b)
{
    for (int j = 0; j < 5; j++)
        builder_run(b, at(0, j), at(8, j), 9);
}

static void crosswise(struct builder *b)
{
    for (int i = 0; i < 9; i++)
        builder_run(b, at(i, 0), at(i, 4), 5);
}

static void diagonal(struct builder *b, bool rising)
{
    builder_run(b, at(rising ? 0 : 8, 0), at(rising ? 8 : 0, 4), 5);
}

static void edges(struct builder *b)
{
    builder_run(b, at(0, 0), at(8, 0), 9);
    builder_run(b, at(0, 4), at(8, 4), 9);
    builder_run(b, at(0, 0), at(0, 4), 5);
    builder_run(b, at(8, 0), at(8, 4), 5);
}

static void centres(struct builder *b)
{
    builder_run(b, at(0, 2), at(8, 2), 9);
    builder_run(b, at(4, 0), at(4, 4), 5);
}

static int zero(struct builder *b, bool unknown)
{
    return unknown ? builder_group(b, 1) : BT_NO_GROUP;
}

static void bars_x(struct builder *b, int group, int span)
{
    for (int j = 0; j < 5; j++)
        for (int i = span; i + span <= 8; i++)
            builder_bar(b, group, at(i - span, j), at(i, j), at(i + span, j));
}

static void bars_y(struct builder *b, int group)
{
    for (int i = 0; i < 9; i++)
        for (int j = 1; j < 4; j++)
            builder_bar(b, group, at(i, j - 1), at(i, j), at(i, j + 1));
}

static void bar_short(struct builder *b, int group)
{
    builder_bar(b, group, at(0, 0), at(1, 1), at(2, 2));
}

static void slopes(struct builder *b, int gx, int gy, bool own)
{
    for (int j = 0; j < 5; j++) {
        const int group = own ? builder_group(b, 1) : gx;
        for (int i = 0; i < 8; i++)
            builder_slope(b, group, at(i, j), at(i + 1, j));
    }
    for (int i = 0; i < 9; i++) {
        const int group = own ? builder_group(b, 1) : gy;
        for (int j = 0; j < 4; j++)
            builder_slope(b, group, at(i, j), at(i, j + 1));
    }
}

static void setups(struct builder *b, int dim, int last, int first, int nextra,
                   const int extra[][2])
{
    struct bt_point p[64];
    size_t n = 0;

    for (int i = 0; i <= last; i++)
        for (int j = 0; j < 5; j++)
            p[n++] = at(i, j);
    builder_heights(b, dim, n, p);
    n = 0;
    for (int i = first; i < 9; i++)
        for (int j = 0; j < 5; j++)
            p[n++] = at(i, j);
    for (int k = 0; k < nextra; k++)
        p[n++] = at(extra[k][0], extra[k][1]);
    if (n)
        builder_heights(b, dim, n, p);
}

/* The scheme of one row of the table, in its order. */
static void scheme(struct builder *b, int row)
{
    static const int short_line[3][2] = {{0, 0}, {2, 1}, {4, 2}};
    static const int one[1][2] = {{4, 2}}, three[3][2] = {{4, 0}, {4, 4}, {3, 2}};
    struct bt_point p[3];
    int g;

    switch (row) {
    case 0:
        lengthwise(b);
        break;
    case 1:
        crosswise(b);
        break;
    case 2:
    case 3:
    case 4:
        lengthwise(b);
        crosswise(b);
        if (row > 2)
            diagonal(b, true);
        if (row > 3)
            diagonal(b, false);
        break;
    case 5:
        lengthwise(b);
        crosswise(b);
        for (int k = 0; k < 3; k++)
            p[k] = at(short_line[k][0], short_line[k][1]);
        builder_line(b, 3, p);
        break;
    case 6:
        lengthwise(b);
        crosswise(b);
        builder_run(b, at(0, 0), at(8, 4), 2);
        break;
    case 7:
    case 8:
    case 9:
        lengthwise(b);
        builder_run(b, at(0, 0), at(0, 4), 5);
        if (row < 9)
            builder_run(b, at(8, 0), at(8, 4), 5);
        if (row > 7)
            diagonal(b, true);
        break;
    case 10:
        lengthwise(b);
        diagonal(b, true);
        diagonal(b, false);
        break;
    case 11:
    case 12:
    case 13:
        edges(b);
        if (row > 11)
            centres(b);
        if (row < 13) {
            diagonal(b, true);
            diagonal(b, false);
        }
        break;
    case 14:
        bars_x(b, zero(b, false), 1);
        break;
    case 15:
    case 16:
    case 17:
    case 18:
    case 19:
        g = zero(b, row >= 17);
        bars_x(b, g, 1);
        bars_y(b, g);
        if (row == 16 || row == 18)
            bar_short(b, g);
        if (row == 19) {
            builder_bar(b, g, at(0, 0), at(4, 2), at(8, 4));
            builder_bar(b, g, at(8, 0), at(4, 2), at(0, 4));
        }
        break;
    case 20:
        bars_x(b, zero(b, true), 1);
        bars_y(b, zero(b, true));
        break;
    case 21:
        g = zero(b, true);
        bars_x(b, g, 1);
        bars_x(b, g, 2);
        bars_y(b, g);
        bar_short(b, g);
        break;
    case 22:
    case 23:
        for (int j = 0; j < 5; j++)
            for (int i = 0; i < 8; i++)
                builder_slope(b, BT_NO_GROUP, at(i, j), at(i + 1, j));
        for (int j = 0; row == 23 && j < 4; j++)
            builder_slope(b, BT_NO_GROUP, at(0, j), at(0, j + 1));
        break;
    case 24:
        slopes(b, BT_NO_GROUP, BT_NO_GROUP, false);
        break;
    case 25: {
        const int gx = zero(b, true), gy = zero(b, true);
        slopes(b, gx, gy, false);
        break;
    }
    case 26:
    case 27:
        slopes(b, 0, 0, true);
        g = row == 27 ? zero(b, true) : 0;
        for (int k = 0; row == 27 && k < 4; k++)
            builder_slope(b, g, at(2 * k, k), at(2 * k + 2, k + 1));
        break;
    case 28:
        setups(b, 1, 8, 9, 0, NULL);
        break;
    case 29:
        setups(b, 3, 8, 9, 0, NULL);
        break;
    case 30:
        setups(b, 3, 4, 4, 0, NULL);
        break;
    case 31:
        setups(b, 3, 4, 5, 1, one);
        break;
    case 32:
        setups(b, 3, 4, 5, 3, three);
        break;
    default:
        cr_assert_fail("the table has a row that this test does not know");
    }
}

static const struct {
    const char *name;
    enum bt_unseen_kind kind;
} shape_names[] = {{"xy", BT_UNSEEN_TWIST},      {"x^2", BT_UNSEEN_BOW},
                   {"y^2", BT_UNSEEN_CUP},       {"x^2+y^2", BT_UNSEEN_BOWL},
                   {"x^2*y", BT_UNSEEN_X2Y},     {"x*y^2", BT_UNSEEN_XY2},
                   {"|x-4|", BT_UNSEEN_HINGE_X}, {"1", BT_UNSEEN_POINTS},
                   {"x", BT_UNSEEN_POINTS},      {"y", BT_UNSEEN_POINTS}};

static double shape_value(const char *name, double x, double y)
{
    if (!strcmp(name, "1"))
        return 1;
    if (!strcmp(name, "x"))
        return x;
    if (!strcmp(name, "y"))
        return y;
    if (!strcmp(name, "xy"))
        return x * y;
    if (!strcmp(name, "x^2"))
        return x * x;
    if (!strcmp(name, "y^2"))
        return y * y;
    if (!strcmp(name, "x^2+y^2"))
        return x * x + y * y;
    if (!strcmp(name, "x^2*y"))
        return x * x * y;
    if (!strcmp(name, "x*y^2"))
        return x * y * y;
    return fabs(x - 4);
}

static bool listed(const char *list, const char *name)
{
    const size_t length = strlen(name);

    for (const char *p = list; *p;) {
        const size_t word = strcspn(p, " ");
        if (word == length && strncmp(p, name, word) == 0)
            return true;
        p += word + (p[word] == ' ');
    }
    return false;
}

/* How much of a shape lies outside the unseen space, relative. */
static double outside(const struct builder *b, const struct bt_network *net,
                      const char *name)
{
    double v[64], before = 0, left = 0;
    const size_t n = net->npoint;

    for (size_t p = 0; p < n; p++) {
        v[p] = shape_value(name, b->r.point[p].x, b->r.point[p].y);
        before += v[p] * v[p];
    }
    for (size_t s = 0; s < net->nshape; s++) {
        double along = 0;
        for (size_t p = 0; p < n; p++)
            along += v[p] * net->shape[s * n + p];
        for (size_t p = 0; p < n; p++)
            v[p] -= along * net->shape[s * n + p];
    }
    for (size_t p = 0; p < n; p++)
        left += v[p] * v[p];
    return sqrt(left / before);
}

static double wavy(double x, double y)
{
    return 0.3 * sin(x) - 0.2 * cos(2 * y) + 0.01 * x * y;
}

static void check_scheme(int row, const struct reference *t)
{
    struct builder b;
    struct bt_network *net;
    struct bt_unseen unseen[BT_UNSEEN_MAX];
    const char *name = reference_text(t, (size_t)row, "configuration");
    const char *list =
        reference_text(t, (size_t)row, "unseen_shapes_found_among_the_named_ones");
    size_t n, shapes = 0;
    double sum = 0;

    builder_init(&b, 0.02, wavy);
    scheme(&b, row);
    net = adjusted(&b);
    cr_expect_eq(net->nobs, (size_t)reference_number(t, (size_t)row, "readings"),
                 "%s: readings %zu", name, net->nobs);
    cr_expect_eq(net->npoint, (size_t)reference_number(t, (size_t)row, "heights"),
                 "%s: heights", name);
    cr_expect_eq(net->unknowns - net->npoint,
                 (size_t)reference_number(t, (size_t)row, "nuisance"), "%s: nuisance",
                 name);
    cr_expect_eq(net->rank, (size_t)reference_number(t, (size_t)row, "rank"),
                 "%s: rank %zu", name, net->rank);
    cr_expect_eq(net->nshape, (size_t)reference_number(t, (size_t)row, "unseen_shapes"),
                 "%s: shapes %zu", name, net->nshape);
    cr_expect_eq(net->dof, (size_t)reference_number(t, (size_t)row, "redundancy"),
                 "%s: dof", name);
    for (size_t i = 0; i < net->nobs; i++)
        sum += net->redundancy[i];
    cr_expect(fabs(sum - (double)net->dof) <= 1e-8, "%s: redundancies %.12g", name,
              sum);
    for (size_t k = 0; k < sizeof shape_names / sizeof *shape_names; k++) {
        const bool inside = outside(&b, net, shape_names[k].name) <= 1e-8;
        cr_expect_eq(inside, listed(list, shape_names[k].name), "%s: %s", name,
                     shape_names[k].name);
    }
    cr_assert_eq(bt_unseen_name(net, unseen, &n), BT_OK);
    for (size_t i = 0; i < n; i++) {
        shapes += unseen[i].count;
        for (size_t k = 0; k < sizeof shape_names / sizeof *shape_names; k++)
            if (unseen[i].kind == shape_names[k].kind &&
                unseen[i].kind != BT_UNSEEN_POINTS &&
                !(unseen[i].kind == BT_UNSEEN_HINGE_X && unseen[i].at != 4))
                cr_expect(listed(list, shape_names[k].name), "%s: names %s", name,
                          shape_names[k].name);
    }
    cr_expect_eq(shapes, net->nshape - net->nplane, "%s: named %zu", name, shapes);
    bt_network_free(net);
    builder_clear(&b);
}

Test(network, finds_the_rank_and_the_unseen_shapes_of_every_scheme_of_the_table)
{
    struct reference *t = reference_load("metrology/observability_results.csv");

    cr_assert_eq(reference_rows(t), 33);
    for (int row = 0; row < (int)reference_rows(t); row++)
        check_scheme(row, t);
    reference_free(t);
}

Test(network, names_the_hinge_of_two_set_ups_that_share_a_straight_row)
{
    struct builder b;
    struct bt_network *net;
    struct bt_unseen unseen[BT_UNSEEN_MAX];
    size_t n;

    builder_init(&b, 0.02, wavy);
    scheme(&b, 30);
    net = adjusted(&b);
    cr_assert_eq(bt_unseen_name(net, unseen, &n), BT_OK);
    cr_assert_eq(n, 1);
    cr_expect_eq(unseen[0].kind, BT_UNSEEN_HINGE_X);
    cr_expect(fabs(unseen[0].at - 4) <= 1e-12);
    bt_network_free(net);
    builder_clear(&b);
}

/* -- twist of the corners: reference/metrology/twist_uncertainty.csv -------------- */

static void twist_scheme(struct builder *b, size_t row)
{
    static const int rows[] = {2, 5, 3, 4, 12, 11};

    scheme(b, rows[row]);
}

Test(network, gives_the_uncertainty_of_the_corner_twist_of_each_scheme)
{
    struct reference *t = reference_load("metrology/twist_uncertainty.csv");

    for (size_t row = 0; row < reference_rows(t); row++) {
        struct builder b;
        struct bt_network *net;
        double c[64] = {0}, value, u;
        bool seen;
        const char *text = reference_text_at(t, row, 1);

        builder_init(&b, 1, wavy);
        twist_scheme(&b, row);
        net = adjusted(&b);
        c[builder_point(&b, 0, 0)] = c[builder_point(&b, 8, 4)] = 1;
        c[builder_point(&b, 8, 0)] = c[builder_point(&b, 0, 4)] = -1;
        cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
        if (!strcmp(text, "not determinable"))
            cr_expect(!seen && isnan(value) && isnan(u), "row %zu", row);
        else
            cr_expect(seen && fabs(u - reference_number_at(t, row, 1)) <= 5.001e-4,
                      "row %zu: %.6g", row, u);
        bt_network_free(net);
        builder_clear(&b);
    }
    reference_free(t);
}

/* -- published levelling nets through the same code -------------------------------- */

struct net_points {
    size_t n;
    char name[16][8];
    double fixed[16]; /* NaN where free */
    size_t index[16]; /* of free points in the readings */
};

static size_t named(struct net_points *p, const char *name)
{
    for (size_t i = 0; i < p->n; i++)
        if (!strcmp(p->name[i], name))
            return i;
    strncpy(p->name[p->n], name, sizeof p->name[0] - 1);
    p->fixed[p->n] = NAN;
    p->index[p->n] = (size_t)-1;
    return p->n++;
}

static void load_fixed(struct net_points *p, const char *example)
{
    struct reference *t = reference_load("metrology/levelling_fixed_points.csv");

    for (size_t i = 0; i < reference_rows(t); i++)
        if (!strcmp(reference_text(t, i, "example"), example))
            p->fixed[named(p, reference_text(t, i, "point"))] =
                reference_number(t, i, "height");
    reference_free(t);
}

static size_t net_point(struct builder *b, struct net_points *p, size_t i)
{
    if (p->index[i] == (size_t)-1)
        p->index[i] = builder_point(b, (double)i, 0.37 * (double)(i * i));
    return p->index[i];
}

/* A difference between free points; with one end fixed, a height over a known level. */
static void add_difference(struct builder *b, struct net_points *p, size_t from,
                           size_t to, double difference, double u)
{
    const bool ff = !isnan(p->fixed[from]), ft = !isnan(p->fixed[to]);

    b->u = u;
    if (ff || ft) {
        const size_t at = net_point(b, p, ff ? to : from);
        const struct bt_point place = b->r.point[at];
        builder_heights(b, 0, 1, &place);
        builder_set_last(b,
                         ff ? p->fixed[from] + difference : p->fixed[to] - difference);
    } else {
        const size_t i = net_point(b, p, from), j = net_point(b, p, to);
        const double d =
            hypot(b->r.point[j].x - b->r.point[i].x, b->r.point[j].y - b->r.point[i].y);
        b->u = u / d;
        builder_slope(b, BT_NO_GROUP, b->r.point[i], b->r.point[j]);
        builder_set_last(b, difference / d);
    }
}

static double weight_u(const char *kind, double a_priori)
{
    if (!strcmp(kind, "standard deviation"))
        return a_priori;
    if (strstr(kind, "weight = 12/value"))
        return sqrt(a_priori / 12);
    return 1;
}

static size_t load_net(struct builder *b, struct net_points *p, const char *example)
{
    struct reference *t = reference_load("metrology/levelling_observations.csv");
    size_t n = 0;

    builder_init(b, 1, zero_surface);
    memset(p, 0, sizeof *p);
    load_fixed(p, example);
    for (size_t i = 0; i < reference_rows(t); i++)
        if (!strcmp(reference_text(t, i, "example"), example)) {
            add_difference(b, p, named(p, reference_text(t, i, "from")),
                           named(p, reference_text(t, i, "to")),
                           reference_number(t, i, "height_difference"),
                           weight_u(reference_text(t, i, "a_priori_kind"),
                                    reference_number(t, i, "a_priori")));
            n++;
        }
    reference_free(t);
    return n;
}

static double net_quantity(const struct builder *b, struct net_points *p,
                           const struct bt_network *net, const char *quantity)
{
    double c[16] = {0}, value, u;
    bool seen, sd = strncmp(quantity, "sd_", 3) == 0;

    if (!strcmp(quantity, "vTWv"))
        return net->vtpv;
    if (!strcmp(quantity, "S0"))
        return net->sigma0;
    if (!strcmp(quantity, "dof"))
        return (double)net->dof;
    if (quantity[0] == 'v') {
        const struct bt_obs *o = &b->r.obs[atoi(quantity + 1) - 1];
        const double v = -net->residual[atoi(quantity + 1) - 1];
        const double d = o->npoint == 2 ? 1 / fabs(o->coef[0]) : 1;
        return v * d;
    }
    c[p->index[named(p, quantity + (sd ? 3 : 0))]] = 1;
    cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
    cr_expect(seen);
    return sd ? u * net->sigma0 : value;
}

Test(network, gives_the_heights_of_published_levelling_nets)
{
    struct reference *t = reference_load("metrology/levelling_results.csv");
    static const char *const examples[] = {
        "ghilani_wolf_12_1", "ghilani_wolf_unweighted", "ghilani_wolf_by_length",
        "mahun_unweighted", "mahun_by_setups"};
    size_t checked = 0;

    for (size_t e = 0; e < sizeof examples / sizeof *examples; e++) {
        struct builder b;
        struct net_points p;
        struct bt_network *net;

        cr_assert(load_net(&b, &p, examples[e]) > 0);
        net = adjusted(&b);
        for (size_t i = 0; i < reference_rows(t); i++) {
            const char *quantity = reference_text(t, i, "quantity");
            double want, got;
            if (strcmp(reference_text(t, i, "example"), examples[e]) != 0)
                continue;
            want = reference_number(t, i, "recomputed");
            got = net_quantity(&b, &p, net, quantity);
            if (quantity[0] == 'v' && quantity[1] != 'T')
                /* residuals of heights over a fixed point have the sign of the end */
                got = fabs(got), want = fabs(want);
            cr_expect(fabs(got - want) <= 6e-10 * fmax(1, fabs(want)), "%s %s: %.11g",
                      examples[e], quantity, got);
            checked++;
        }
        bt_network_free(net);
        builder_clear(&b);
    }
    cr_expect_eq(checked, reference_rows(t));
    reference_free(t);
}

/* -- GOST 26433.1-89, line page ------------------------------------------------------
 */

Test(network, gives_the_deviations_of_the_published_line_page)
{
    struct reference *t = reference_load("metrology/gost_26433_1_partial.csv");

    for (size_t first = 0; first + 5 <= reference_rows(t); first += 5) {
        struct builder b;
        struct bt_network *net;
        struct bt_point p[5];
        double gap[5];

        builder_init(&b, 0.5, zero_surface);
        for (size_t i = 0; i < 5; i++) {
            p[i] = (struct bt_point){100.0 * (double)i, 7};
            gap[i] = reference_number(t, first + i, "h_i_mm");
        }
        builder_gaps(&b, 5, p, gap);
        builder_heights(&b, 0, 1, &p[0]); /* the ends are known from the corner plane */
        builder_set_last(&b, reference_number(t, first, "dh_first_mm"));
        builder_heights(&b, 0, 1, &p[4]);
        builder_set_last(&b, reference_number(t, first, "dh_last_mm"));
        net = adjusted(&b);
        for (size_t i = 0; i < 5; i++) {
            double c[5] = {0}, value, u;
            bool seen;
            c[i] = 1;
            cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
            cr_expect(seen);
            cr_expect(fabs(value -
                           reference_number(t, first + i, "dh_recomputed_mm")) <= 1e-10,
                      "row %zu: %.9g", first + i, value);
        }
        bt_network_free(net);
        builder_clear(&b);
    }
    reference_free(t);
}
