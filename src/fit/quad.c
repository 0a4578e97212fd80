/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/quad.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "fit/quad_model.h"

/* Two readings without which chi2 differs by less are equally suspect: the odds between
 * them are below e to 1. */
#define EQUAL_CHI2 2.0

/* Nothing checks a reading of which less than this shows in its residual. */
#define CHECKED 1e-6

/* ---- what cannot be ---- */

/* Weighted mean of the readings of one length; NaN where there is none. */
static double mean_of(size_t n, const struct bt_opening_reading r[],
                      enum bt_opening_kind kind, int where, double *u, size_t *last)
{
    double sum = 0, weight = 0;

    for (size_t i = 0; i < n; i++)
        if (r[i].kind == kind && r[i].where == where) {
            sum += r[i].value / (r[i].u * r[i].u);
            weight += 1 / (r[i].u * r[i].u);
            *last = i;
        }
    *u = 1 / sqrt(weight);
    return weight > 0 ? sum / weight : NAN;
}

/* Two sides and a diagonal make a triangle, or none can be drawn. */
static enum bt_status check_triangles(size_t n, const struct bt_opening_reading r[],
                                      enum bt_system system, struct bt_error *err)
{
    static const struct {
        enum bt_wall one, other;
        int diagonal;
    } triangles[] = {{BT_WALL_BACK, BT_WALL_RIGHT, 0},
                     {BT_WALL_LEFT, BT_WALL_FRONT, 0},
                     {BT_WALL_BACK, BT_WALL_LEFT, 1},
                     {BT_WALL_RIGHT, BT_WALL_FRONT, 1}};

    for (size_t k = 0; k < sizeof triangles / sizeof *triangles; k++) {
        char one[BT_PRINT_ROOM], other[BT_PRINT_ROOM], across[BT_PRINT_ROOM];
        size_t row = 0;
        double ua, ub, ud, u;
        const double a =
            mean_of(n, r, BT_OPENING_SIDE, (int)triangles[k].one, &ua, &row);
        const double b =
            mean_of(n, r, BT_OPENING_SIDE, (int)triangles[k].other, &ub, &row);
        const double d =
            mean_of(n, r, BT_OPENING_DIAGONAL, triangles[k].diagonal, &ud, &row);

        u = 3 * sqrt(ua * ua + ub * ub + ud * ud);
        if (isnan(a + b + d) || (d < a + b + u && d > fabs(a - b) - u))
            continue;
        bt_print_length(one, a, 0, system, BT_LENGTH_RULE);
        bt_print_length(other, b, 0, system, BT_LENGTH_RULE);
        bt_print_length(across, d, 0, system, BT_LENGTH_RULE);
        return bt_error_set(err, BT_EINPUT, row, 0,
                            "%s %s, %s %s and diagonal %s %s close no triangle: the "
                            "diagonal is too %s; "
                            "measure the three again",
                            bt_wall_name(triangles[k].one), one,
                            bt_wall_name(triangles[k].other), other,
                            triangles[k].diagonal ? "BD" : "AC", across,
                            d >= a + b + u ? "long" : "short");
    }
    return BT_OK;
}

static enum bt_status check_readings(size_t n, const struct bt_opening_reading r[],
                                     struct bt_error *err)
{
    for (size_t i = 0; i < n; i++) {
        const bool point = r[i].kind == BT_OPENING_POINT;
        const bool placed = r[i].kind == BT_OPENING_WIDTH ||
                            r[i].kind == BT_OPENING_DEPTH ||
                            r[i].kind == BT_OPENING_OFFSET;

        if (!(r[i].u > 0) || isinf(r[i].u) ||
            !(point ? isfinite(r[i].x) && isfinite(r[i].y) : isfinite(r[i].value)) ||
            (placed && !isfinite(r[i].at)))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "a reading of the opening is no number that can be "
                                "used");
    }
    return BT_OK;
}

/* The corners turn the same way at each, as those of a room do. */
static bool is_convex(const struct bt_point c[4])
{
    for (int k = 0; k < 4; k++) {
        const struct bt_point *a = &c[k], *b = &c[(k + 1) & 3], *d = &c[(k + 2) & 3];

        if (!((b->x - a->x) * (d->y - b->y) - (b->y - a->y) * (d->x - b->x) > 0))
            return false;
    }
    return true;
}

/* ---- setting up ---- */

/* Of a traced wall whose profile is its own points, those between the ends tell the
 * profile and nothing else. */
static void use_ends(struct bt_quad_model *m, enum bt_wall wall)
{
    size_t first = m->n, last = m->n;
    double most = -1;

    for (size_t i = 0; i < m->n; i++)
        for (size_t k = i + 1; k < m->n; k++) {
            const struct bt_opening_reading *a = &m->reading[i], *b = &m->reading[k];
            const double far = hypot(a->x - b->x, a->y - b->y);

            if (a->kind == BT_OPENING_POINT && b->kind == BT_OPENING_POINT &&
                a->where == (int)wall && b->where == (int)wall && far > most) {
                most = far;
                first = i;
                last = k;
            }
        }
    for (size_t i = 0; i < m->n; i++)
        if (m->reading[i].kind == BT_OPENING_POINT && m->reading[i].where == (int)wall)
            m->used[i] = i == first || i == last;
}

static void choose(struct bt_quad_model *m, const bool traced[4],
                   struct bt_quad_result *out)
{
    m->nu = BT_QUAD_CORNERS;
    for (size_t i = 0; i < m->n; i++) {
        m->used[i] = m->reading[i].kind != BT_OPENING_OFFSET;
        if (m->reading[i].kind == BT_OPENING_POINT)
            m->nu = BT_QUAD_UNKNOWNS;
    }
    for (int wall = 0; wall < BT_WALLS; wall++)
        if (traced[wall])
            use_ends(m, (enum bt_wall)wall);
    for (size_t i = 0; i < m->n; i++)
        out->used += m->used[i];
    m->rows = m->n > m->nu ? m->n : m->nu;
}

/* ---- results ---- */

static void take_solution(const struct bt_quad_model *m,
                          const struct bt_quad_solution *s, struct bt_quad_result *out)
{
    bool whole = true;

    out->unknowns = m->nu;
    out->rank = s->rank;
    out->chi2 = s->chi2;
    out->dof = out->used > s->rank ? out->used - s->rank : 0;
    out->sigma0 = out->dof ? sqrt(s->chi2 / (double)out->dof) : NAN;
    out->p = out->dof ? gsl_cdf_chisq_Q(s->chi2, (double)out->dof) : NAN;
    out->contradiction = out->p < BT_QUAD_LUCK;
    out->mirrored = m->mirror < 0;
    bt_quad_measure(m, s, out->figure);
    for (int f = 0; f < BT_QUAD_FIGURES; f++)
        whole = whole && out->figure[f].seen;
    bt_quad_corners(s->x, out->corner);
    for (int i = 0; i < BT_QUAD_CORNERS; i++)
        for (int k = 0; k < BT_QUAD_CORNERS; k++) {
            double sum = 0;

            for (size_t j = 0; j < s->rank; j++)
                sum += s->v[(size_t)i * m->nu + j] * s->v[(size_t)k * m->nu + j] /
                       (s->s[j] * s->s[j]);
            out->cov[i * BT_QUAD_CORNERS + k] = whole ? sum : NAN;
        }
    for (int k = 0; k < 4 && !whole; k++)
        out->corner[k] = (struct bt_point){NAN, NAN};
}

static void check_reading(struct bt_quad_model *m, const struct bt_quad_solution *best,
                          size_t i, struct bt_quad_check *check)
{
    struct bt_quad_solution others = *best;
    double g[BT_QUAD_UNKNOWNS] = {0}, variance;

    *check = (struct bt_quad_check){NAN, NAN, NAN, NAN, NAN};
    if (!m->used[i])
        return;
    check->residual = bt_quad_residual(m, best->x, i);
    bt_quad_gradient(m, best->x, i, g);
    variance = bt_quad_variance(m, best, g);
    check->redundancy = fmax(0, 1 - variance / (m->reading[i].u * m->reading[i].u));
    if (!(check->redundancy > CHECKED)) {
        check->redundancy = 0;
        return;
    }
    bt_quad_solve(m, i, &others);
    if (others.rank < best->rank)
        return;
    bt_quad_gradient(m, others.x, i, g);
    check->misfit = bt_quad_residual(m, others.x, i);
    check->u_misfit = sqrt(m->reading[i].u * m->reading[i].u +
                           fmax(0, bt_quad_variance(m, &others, g)));
    check->chi2_without = others.chi2;
}

static void add_suspect(struct bt_quad_model *m, const struct bt_quad_solution *best,
                        size_t i, struct bt_quad_result *out)
{
    struct bt_quad_suspect *s;
    struct bt_quad_solution others = *best;

    out->equal++;
    if (out->nsuspect == BT_QUAD_SUSPECTS_MOST)
        return;
    s = &out->suspect[out->nsuspect++];
    s->reading = i;
    bt_quad_solve(m, i, &others);
    bt_quad_measure(m, &others, s->figure);
    bt_quad_corners(others.x, s->corner);
}

/* The readings without which the others agree best, the most telling one first. */
static void find_suspects(struct bt_quad_model *m, const struct bt_quad_solution *best,
                          struct bt_quad_result *out)
{
    double least = INFINITY;
    size_t worst = m->n;

    for (size_t i = 0; i < m->n; i++)
        if (out->check[i].chi2_without < least) {
            least = out->check[i].chi2_without;
            worst = i;
        }
    if (worst == m->n)
        return;
    out->more_than_one =
        out->dof > 1 && gsl_cdf_chisq_Q(least, (double)(out->dof - 1)) < BT_QUAD_LUCK;
    add_suspect(m, best, worst, out);
    for (size_t i = 0; i < m->n; i++)
        if (i != worst && out->check[i].chi2_without < least + EQUAL_CHI2)
            add_suspect(m, best, i, out);
}

/* Lengths which, measured one after the other, would each determine something new. */
static void find_asks(struct bt_quad_model *m, const struct bt_quad_solution *s,
                      struct bt_quad_result *out)
{
    static const struct bt_quad_ask wish[] = {
        {BT_OPENING_SIDE, BT_WALL_BACK},  {BT_OPENING_SIDE, BT_WALL_LEFT},
        {BT_OPENING_SIDE, BT_WALL_RIGHT}, {BT_OPENING_DIAGONAL, 0},
        {BT_OPENING_DIAGONAL, 1},         {BT_OPENING_SIDE, BT_WALL_FRONT}};
    double basis[BT_QUAD_CORNERS][BT_QUAD_UNKNOWNS];
    size_t n = 0;

    for (size_t w = 0; w < sizeof wish / sizeof *wish && n < BT_QUAD_ASKS_MOST; w++) {
        const struct bt_opening_reading r = {.kind = wish[w].kind,
                                             .where = wish[w].where};
        struct bt_quad_model one = *m; /* a reading that was not taken */
        double g[BT_QUAD_UNKNOWNS] = {0}, left[BT_QUAD_UNKNOWNS] = {0}, size = 0,
               all = 0;

        one.reading = &r;
        bt_quad_gradient(&one, s->x, 0, g);
        /* the part of it in what is not determined, less what was asked for before */
        for (size_t j = s->rank; j < m->nu; j++) {
            double along = 0;

            for (size_t k = 0; k < m->nu; k++)
                along += g[k] * s->v[k * m->nu + j];
            for (size_t k = 0; k < m->nu; k++)
                left[k] += along * s->v[k * m->nu + j];
        }
        for (size_t b = 0; b < n; b++) {
            double along = 0;

            for (size_t k = 0; k < m->nu; k++)
                along += left[k] * basis[b][k];
            for (size_t k = 0; k < m->nu; k++)
                left[k] -= along * basis[b][k];
        }
        for (size_t k = 0; k < m->nu; k++) {
            size += left[k] * left[k];
            all += g[k] * g[k];
        }
        if (!(size > 1e-4 * all))
            continue;
        for (size_t k = 0; k < m->nu; k++)
            basis[n][k] = left[k] / sqrt(size);
        n++;
        out->ask[out->nask++] = wish[w];
    }
}

static enum bt_status adjust(struct bt_quad_model *m, enum bt_system system,
                             struct bt_quad_result *out, struct bt_error *err)
{
    struct bt_quad_solution best = {{0}, 0, 0, {0}, {0}};
    struct bt_point corner[4];
    enum bt_status status = check_triangles(m->n, m->reading, system, err);

    if (status == BT_OK)
        status = bt_quad_start(m, best.x, err);
    if (status != BT_OK)
        return status;
    bt_quad_solve(m, m->n, &best);
    bt_quad_corners(best.x, corner);
    if (!is_convex(corner))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "what was measured makes no space with four corners: check "
                            "that each reading stands with its own wall, diagonal or "
                            "corner");
    take_solution(m, &best, out);
    for (size_t i = 0; i < m->n; i++)
        check_reading(m, &best, i, &out->check[i]);
    if (out->contradiction)
        find_suspects(m, &best, out);
    if (isnan(out->cov[0]))
        find_asks(m, &best, out);
    return BT_OK;
}

enum bt_status bt_quad_fit(size_t n, const struct bt_opening_reading reading[],
                           const struct bt_wall_profile profile[4],
                           const bool traced[4], enum bt_system system,
                           struct bt_quad_result *out, struct bt_error *err)
{
    struct bt_quad_model m = {.n = n, .reading = reading, .profile = profile};
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->sigma0 = out->p = NAN;
    status = check_readings(n, reading, err);
    if (status != BT_OK)
        return status;
    m.used = bt_alloc(n, sizeof *m.used);
    out->check = bt_alloc(n, sizeof *out->check);
    m.a = bt_alloc((n + BT_QUAD_UNKNOWNS) * BT_QUAD_UNKNOWNS, sizeof *m.a);
    m.r = bt_alloc(n + BT_QUAD_UNKNOWNS, sizeof *m.r);
    if (m.used && out->check && m.a && m.r) {
        choose(&m, traced, out);
        status = adjust(&m, system, out, err);
    } else {
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    }
    bt_free(m.used);
    bt_free(m.a);
    bt_free(m.r);
    return status;
}

void bt_quad_clear(struct bt_quad_result *quad)
{
    if (!quad)
        return;
    bt_free(quad->check);
    memset(quad, 0, sizeof *quad);
}
