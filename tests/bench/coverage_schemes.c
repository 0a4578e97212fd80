/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "coverage_schemes.h"

#include <math.h>
#include <stdlib.h>

#include "coverage_truth.h"

/* ---- layouts ---- */

static struct bt_point at(int i, int j, int nx, int ny)
{
    return (struct bt_point){PANEL_LENGTH * i / (nx - 1), PANEL_WIDTH * j / (ny - 1)};
}

static void rows(struct builder *b, int nx, int ny)
{
    for (int j = 0; j < ny; j++)
        builder_run(b, at(0, j, nx, ny), at(nx - 1, j, nx, ny), (size_t)nx);
}

static void columns(struct builder *b, int nx, int ny)
{
    for (int i = 0; i < nx; i++)
        builder_run(b, at(i, 0, nx, ny), at(i, ny - 1, nx, ny), (size_t)ny);
}

static void diagonals(struct builder *b, int n)
{
    builder_run(b, at(0, 0, n, n), at(n - 1, n - 1, n, n), (size_t)n);
    builder_run(b, at(n - 1, 0, n, n), at(0, n - 1, n, n), (size_t)n);
}

static void lay_union_jack(struct builder *b)
{
    for (int k = 0; k < 5; k += 2) {
        builder_run(b, at(0, k, 5, 5), at(4, k, 5, 5), 5);
        builder_run(b, at(k, 0, 5, 5), at(k, 4, 5, 5), 5);
    }
    diagonals(b, 5);
}

static void lay_grid_and_diagonals(struct builder *b)
{
    rows(b, 5, 5);
    columns(b, 5, 5);
    diagonals(b, 5);
}

static void lay_both_ways(struct builder *b)
{
    rows(b, 7, 5);
    columns(b, 7, 5);
}

static void lay_along(struct builder *b)
{
    rows(b, 7, 5);
}

/* Columns from to to of 9, on one set-up. */
static void set_up(struct builder *b, int from, int to)
{
    struct bt_point p[45];
    size_t n = 0;

    for (int i = from; i <= to; i++)
        for (int j = 0; j < 5; j++)
            p[n++] = at(i, j, 9, 5);
    builder_heights(b, 3, n, p);
}

static void lay_set_ups(struct builder *b)
{
    set_up(b, 0, 3);
    set_up(b, 2, 6);
    set_up(b, 5, 8);
}

static void lay_hinged_set_ups(struct builder *b)
{
    set_up(b, 0, 4);
    set_up(b, 4, 8);
}

static void lay_level(struct builder *b)
{
    const int zero = builder_group(b, 1);

    for (int j = 0; j < 4; j++)
        for (int i = 0; i < 5; i++) {
            if (i < 4)
                builder_slope(b, zero, at(i, j, 5, 4), at(i + 1, j, 5, 4));
            if (j < 3)
                builder_slope(b, zero, at(i, j, 5, 4), at(i, j + 1, 5, 4));
        }
}

static void bar_grid(struct builder *b, int zero)
{
    for (int j = 0; j < 5; j++)
        for (int i = 0; i < 3; i++) {
            builder_bar(b, zero, at(i, j, 5, 5), at(i + 1, j, 5, 5),
                        at(i + 2, j, 5, 5));
            builder_bar(b, zero, at(j, i, 5, 5), at(j, i + 1, 5, 5),
                        at(j, i + 2, 5, 5));
        }
}

static void lay_bar(struct builder *b)
{
    bar_grid(b, BT_NO_GROUP);
    for (int i = 0; i < 3; i++) {
        builder_bar(b, BT_NO_GROUP, at(i, i, 5, 5), at(i + 1, i + 1, 5, 5),
                    at(i + 2, i + 2, 5, 5));
        builder_bar(b, BT_NO_GROUP, at(4 - i, i, 5, 5), at(3 - i, i + 1, 5, 5),
                    at(2 - i, i + 2, 5, 5));
    }
}

/* Every rise is of its zero too, which bends the panel both ways. */
static void lay_bar_zero_unknown(struct builder *b)
{
    bar_grid(b, builder_group(b, 1));
}

static void sticks(struct builder *b)
{
    for (int k = 1; k < 4; k++)
        builder_wind(b, 0, 500.0 * k, 0, PANEL_WIDTH, 900);
}

static void lay_sticks_and_lines(struct builder *b)
{
    lay_both_ways(b);
    sticks(b);
}

static void lay_sticks_and_lines_along(struct builder *b)
{
    lay_along(b);
    sticks(b);
}

static const double stated_limit = 0.06;
static const double tested_hollow = 0.12, tested_hollow_u = 0.02;

static void one_edge(struct builder *b, double limit, double hollow, double u)
{
    for (size_t g = 0; g < b->r.ngroup; g++)
        b->r.group[g] = (struct bt_group){b->r.group[g].dim, limit, 0, hollow, u};
}

static void lay_stated_edge(struct builder *b)
{
    lay_union_jack(b);
    one_edge(b, stated_limit, 0, 0);
}

static void lay_tested_edge(struct builder *b)
{
    lay_grid_and_diagonals(b);
    for (int k = 0; k < 5; k += 2) {
        builder_run(b, at(4, k, 5, 5), at(0, k, 5, 5), 5);
        builder_run(b, at(k, 4, 5, 5), at(k, 0, 5, 5), 5);
    }
    one_edge(b, 0, tested_hollow, tested_hollow_u);
}

/* On paper ruled at the edges and the joints, over one flat reference. */
static void lay_paper_grid(struct builder *b)
{
    struct bt_point p[54];

    for (int k = 0; k < 54; k++)
        p[k] = at(k % 9, k / 9, 9, 6);
    builder_heights(b, 1, 54, p);
}

/* A dial over the left half, lines over all. */
static void lay_mixture(struct builder *b)
{
    struct bt_point p[15];

    for (int k = 0; k < 15; k++)
        p[k] = at(k / 5, k % 5, 5, 5);
    builder_heights(b, 3, 15, p);
    rows(b, 5, 5);
    columns(b, 5, 5);
}

enum { ALL = SEES_FORM | SEES_HEIGHTS };

/* Not an error of luck: over hollows of all depths the bow is off by half a leaf. */
static const char never_below[] = "where the edge touches, `<` is wrong by half a "
                                  "leaf, always to the same side; check "
                                  "and flatness say that a 0 is to be typed there";

const struct scheme schemes[] = {
    {"union jack, edge and dial", lay_union_jack, 0.02, ERR_NONE, .sees = ALL},
    {"grid of lines and diagonals", lay_grid_and_diagonals, 0.03, ERR_NONE,
     .sees = ALL},
    {"grid of lines, no diagonals", lay_both_ways, 0.03, ERR_NONE,
     .sees = SEES_CUP | SEES_BOW},
    {"lines along only", lay_along, 0.03, ERR_NONE, .sees = SEES_BOW},
    {"dial, 3 set-ups, tilt unknown", lay_set_ups, 0.02, ERR_NONE, .sees = ALL},
    {"dial, 2 set-ups, one column", lay_hinged_set_ups, 0.02, ERR_NONE,
     .sees = SEES_CUP | SEES_TWIST},
    {"level net, zero unknown", lay_level, 5e-5, ERR_NONE, .sees = ALL},
    {"bar along, across, diagonal", lay_bar, 0.02, ERR_NONE, .sees = ALL},
    {"bar along, across, zero unknown", lay_bar_zero_unknown, 0.02, ERR_NONE,
     .sees = 0},
    {"sticks and grid of lines", lay_sticks_and_lines, 0.03, ERR_NONE, .sees = ALL},
    {"sticks and lines along", lay_sticks_and_lines_along, 0.03, ERR_NONE,
     .sees = SEES_BOW | SEES_TWIST, .smooth = true, .direct = true},
    {"dial and grid of lines", lay_mixture, 0.03, ERR_NONE, .sees = ALL},
    {"union jack, edge as stated", lay_stated_edge, 0.02, ERR_STATED, .sees = ALL,
     .at_least = true},
    {"edge tested, both ways round", lay_tested_edge, 0.03, ERR_TESTED, .sees = ALL},
    {"lines, own weight taken off", lay_grid_and_diagonals, 0.03, ERR_WEIGHT,
     .sees = ALL},
    {"heights on paper, 0.05 mm steps", lay_paper_grid, 0.03, ERR_ROUNDED,
     .sees = ALL | SEES_KINKS},
    {"feelers, edge on blocks", lay_union_jack, 0.02, ERR_BLOCKS, .sees = ALL,
     .at_least = true},
    {"feelers, touches typed as 0", lay_union_jack, 0.02, ERR_TOUCHES, .sees = ALL,
     .at_least = true},
    {"feelers, 0, perfectly smooth", lay_union_jack, 0.02, ERR_TOUCHES, .sees = ALL,
     .at_least = true, .smooth = true},
    {"feelers, touches as <0.05", lay_union_jack, 0.02, ERR_LEAST, .sees = ALL,
     .misuse = never_below, .at_least = true},
};

const size_t scheme_count = sizeof schemes / sizeof *schemes;

/* ---- readings ---- */

static double level_surface(double x, double y)
{
    (void)x;
    (void)y;
    return 0;
}

static const double paper_step = 0.05; /* mm */

void scheme_lay(const struct scheme *scheme, struct builder *b)
{
    const double u = scheme->error == ERR_ROUNDED
                         ? sqrt(scheme->u * scheme->u + paper_step * paper_step / 12)
                         : scheme->u;

    builder_init(b, u, level_surface);
    scheme->lay(b);
}

double scheme_sag(const struct scheme *scheme, const struct bt_point *p)
{
    const double s = p->x / PANEL_LENGTH; /* an even beam on its ends */

    return scheme->error == ERR_WEIGHT
               ? -0.7 * 3.2 * (s - 2 * s * s * s + s * s * s * s)
               : 0;
}

double scheme_sag_u(const struct scheme *scheme)
{
    return scheme->error == ERR_WEIGHT ? 0.1 : 0;
}

static double normal(struct bt_random *random)
{
    double v;

    bt_random_normals(random, 1, &v);
    return v;
}

/* Without its group's unknowns and without noise. */
static double shown(const struct bt_obs *o, const double h[])
{
    double sum = 0;

    for (int k = 0; k < o->npoint; k++)
        sum += o->coef[k] * h[o->point[k]];
    return sum;
}

/* What the shape of the edge adds to a gap: an even and an odd part. */
struct edge {
    double even, odd;
    double power; /* of the even part: 1 bent in the middle, 2 an arc, 4 at its ends */
};

static struct edge edge_draw(const struct scheme *scheme, struct bt_random *random)
{
    switch (scheme->error) {
    case ERR_STATED:
        return (struct edge){stated_limit * (2 * bt_random_uniform(random) - 1), 0,
                             1 + 3 * bt_random_uniform(random)};
    case ERR_TESTED:
        return (struct edge){tested_hollow + tested_hollow_u * normal(random),
                             0.05 * normal(random), 2};
    default:
        return (struct edge){0, 0, 2};
    }
}

static double edge_gap(const struct edge *edge, double e)
{
    return edge->even * (1 - pow(fabs(e), edge->power)) +
           edge->odd * 1.5 * sqrt(3) * (e - e * e * e);
}

static void read_plain(const struct scheme *scheme, struct builder *b, const double h[],
                       struct bt_random *random)
{
    const struct edge edge = edge_draw(scheme, random);
    double(*t)[3] = calloc(b->r.ngroup + 1, sizeof *t);

    if (!t)
        abort();
    for (size_t g = 0; g < b->r.ngroup; g++) {
        t[g][0] = scheme->u * 100 * normal(random);
        t[g][1] = t[g][2] = 1e-3 * normal(random);
    }
    for (size_t i = 0; i < b->r.nobs; i++) {
        struct bt_obs *o = &b->r.obs[i];

        o->value = shown(o, h) + scheme->u * normal(random);
        for (int j = 0; j < 3 && o->group >= 0; j++)
            o->value += o->basis[j] * t[o->group][j];
        if (o->kind == BT_READ_GAP)
            o->value += edge_gap(&edge, o->edge);
        if (scheme->error == ERR_ROUNDED)
            o->value = paper_step * round(o->value / paper_step);
    }
    free(t);
}

/* ---- feelers ---- */

static const double leaf = 0.05; /* mm: the thinnest, and the step of the set */

/* The edge rests on two places so that the chord between them lies above all others and
 * spans the middle of the line, where the weight of the edge is. */
static void rest(size_t n, const struct bt_obs o[], const double h[], double *a,
                 double *slope)
{
    double best = HUGE_VAL;

    for (size_t l = 0; l < n; l++)
        for (size_t r = l + 1; r < n; r++) {
            const double hl = h[o[l].point[0]], hr = h[o[r].point[0]];
            const double per = (hr - hl) / (o[r].edge - o[l].edge);
            bool above = o[l].edge <= 0 && o[r].edge >= 0;

            for (size_t m = 0; m < n && above; m++)
                above = hl + per * (o[m].edge - o[l].edge) >= h[o[m].point[0]] - 1e-12;
            if (above && o[r].edge - o[l].edge < best) {
                best = o[r].edge - o[l].edge;
                *a = hl - per * o[l].edge;
                *slope = per;
            }
        }
}

/* Between the thickest stack that goes in and the next. */
static void feel(const struct scheme *scheme, struct bt_obs *o, double gap)
{
    const double low = leaf * floor(gap / leaf);

    o->alike = 0;
    if (scheme->error == ERR_TOUCHES && gap < 1e-9) {
        o->value = 0;
        o->u = 0.01 / sqrt(12); /* last digit typed */
        return;
    }
    o->value = low + leaf / 2;
    o->u = leaf / 2 / sqrt(3);
    o->alike = 1 + (int)lround(low / leaf);
}

static void read_feelers(const struct scheme *scheme, struct builder *b,
                         const double h[], struct bt_random *random)
{
    size_t n;

    for (size_t i = 0; i < b->r.nobs; i += n) {
        struct bt_obs *o = &b->r.obs[i];
        double a = 0, slope = 0, up = 0;

        for (n = 1; i + n < b->r.nobs && o[n].group == o->group;)
            n++;
        rest(n, o, h, &a, &slope);
        if (scheme->error == ERR_BLOCKS) { /* high enough, and never the same */
            up = 4 + bt_random_uniform(random);
            slope += 0.2 * bt_random_uniform(random);
        }
        for (size_t k = 0; k < n; k++)
            feel(scheme, &o[k], fmax(0, a + slope * o[k].edge + up - h[o[k].point[0]]));
    }
}

void scheme_read(const struct scheme *scheme, struct builder *b, const double h[],
                 struct bt_random *random)
{
    double *lies = calloc(b->r.npoint, sizeof *lies);
    const double weight = 1 + scheme_sag_u(scheme) * normal(random);

    if (!lies)
        abort();
    for (size_t i = 0; i < b->r.npoint; i++)
        lies[i] = h[i] + weight * scheme_sag(scheme, &b->r.point[i]);
    if (scheme->error >= ERR_BLOCKS)
        read_feelers(scheme, b, lies, random);
    else
        read_plain(scheme, b, lies, random);
    free(lies);
}
