/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The simplex method on the dual of
 *
 *     max objective . x   with  row . x <= right side  at every row,
 *
 * x = (a, b, c) or (a, b, c, t).  A basis is as many rows as unknowns, with weights
 * >= 0 that make up the objective; the x on which these rows hold as equations is best
 * as long as no other row is broken, else the row most broken enters.  Ties of the
 * ratio test, which grids make in plenty, are broken by lexicographic order, so that no
 * basis comes twice.  G. B. Dantzig, A. Orden, P. Wolfe, Pacific Journal of Mathematics
 * 5 (1955) 183-195 (from memory).
 *
 * It starts from rows of its own, so far away that every real one is nearer: their
 * right sides are multiples of a number without bounds, carried apart.  One that stays
 * to the end shows that nothing bounds the optimum.
 *
 * Few rows are looked at while it turns; a pass over all points adds those that are
 * broken, until none is.
 */
#include "judge/programme.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

enum { MOST = PROGRAMME_UNKNOWNS, SAMPLE = 1024, BLOCK = 1024, PASSES = 200 };

/* More pivots than any case needs by far. */
enum { PIVOTS = 20000 };

/* Entries are of size 1: what is below is nought. */
static const long double noise = 4096.0L * LDBL_EPSILON;

typedef long double matrix[MOST][MOST];

struct member {
    enum programme_row row;
    size_t point;
    double u, v,
        h; /* h: without the base; ROW_FAR: of which only the far part counts */
};

struct work {
    const struct programme *in;
    struct programme_frame frame;
    size_t unknowns;
    double objective[MOST];
    double slack;
    size_t count, room;
    struct member *member;
    size_t basis[MOST]; /* members */
    matrix inverse;     /* of the rows of the basis, as columns */
    long double weight[MOST];
    double x[MOST], far[MOST]; /* the answer: x + far times without bounds */
    bool is_far;
};

static double base_at(const struct programme_frame *f, double x, double y)
{
    return f->base.a + f->base.b * x + f->base.c * y;
}

/* The one place where coordinates are computed, so that a pass sees what the basis
 * does. */
static inline struct member place(const struct work *w, enum programme_row row,
                                  size_t point, struct bt_point p, double z)
{
    struct member m = {.row = row, .point = point};

    m.u = (p.x - w->frame.x) / w->frame.size_x;
    m.v = (p.y - w->frame.y) / w->frame.size_y;
    m.h = z - base_at(&w->frame, p.x, p.y);
    return m;
}

static inline struct member side_place(const struct work *w, enum programme_row row,
                                       size_t point)
{
    const struct programme_side *s = row == ROW_ABOVE ? &w->in->above : &w->in->below;

    return place(w, row, point, s->p[point], s->z[point]);
}

/* Far rows: three above, round everything; the fourth is below. */
static bool is_below(const struct member *m)
{
    return m->row == ROW_BELOW || (m->row == ROW_FAR && m->point == 3);
}

static void row_of(const struct member *m, long double row[MOST])
{
    const long double sign = is_below(m) || m->row == ROW_REST ? -1.0L : 1.0L;

    row[0] = sign;
    row[1] = sign * (long double)m->u;
    row[2] = sign * (long double)m->v;
    row[3] = is_below(m) ? 1.0L : 0.0L;
}

static long double right_side(const struct member *m)
{
    if (m->row == ROW_FAR)
        return 0.0L;
    return m->row == ROW_ABOVE ? m->h : -(long double)m->h;
}

/* By how much a member breaks its row, for x or for its far part (then h 0). */
static inline double broken(const double x[MOST], const struct member *m, double h)
{
    const double plane = x[0] + x[1] * m->u + x[2] * m->v;

    if (m->row == ROW_ABOVE)
        return plane - h;
    return m->row == ROW_BELOW ? h - plane + x[3] : h - plane;
}

/* The same as one number, to compare: the far part outweighs the rest. */
static inline double score(const struct work *w, const struct member *m)
{
    if (w->is_far) {
        const double far = broken(w->far, m, 0.0);

        if (far > 1e-12)
            return 1e12 * far * (1.0 + w->slack / DBL_EPSILON);
        if (far < -1e-12)
            return -1.0;
    }
    return broken(w->x, m, m->h);
}

static bool add(struct work *w, struct member m)
{
    struct member *grown =
        bt_grow(w->member, &w->room, w->count + 1, sizeof *w->member);

    if (!grown)
        return false;
    w->member = grown;
    grown[w->count++] = m;
    return true;
}

/* Gauss-Jordan with row pivots; m is spent. */
static bool invert(size_t n, matrix m, matrix inverse)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            inverse[i][j] = i == j ? 1.0L : 0.0L;
    for (size_t k = 0; k < n; k++) {
        size_t pivot = k;
        long double by;

        for (size_t i = k + 1; i < n; i++)
            if (fabsl(m[i][k]) > fabsl(m[pivot][k]))
                pivot = i;
        by = m[pivot][k];
        if (!(fabsl(by) > 0.0L))
            return false;
        for (size_t j = 0; j < n; j++) {
            const long double a = m[k][j], b = inverse[k][j];
            m[k][j] = m[pivot][j] / by;
            inverse[k][j] = inverse[pivot][j] / by;
            if (pivot != k) {
                m[pivot][j] = a;
                inverse[pivot][j] = b;
            }
        }
        for (size_t i = 0; i < n; i++) {
            const long double times = m[i][k];
            for (size_t j = 0; i != k && j < n; j++) {
                m[i][j] -= times * m[k][j];
                inverse[i][j] -= times * inverse[k][j];
            }
        }
    }
    return true;
}

static void basis_matrix(const struct work *w, matrix m)
{
    for (size_t k = 0; k < w->unknowns; k++) {
        long double row[MOST];

        row_of(&w->member[w->basis[k]], row);
        for (size_t i = 0; i < w->unknowns; i++)
            m[i][k] = row[i];
    }
}

/* Weights, and the x on which the rows of the basis hold. */
static bool take_basis(struct work *w)
{
    matrix m;

    basis_matrix(w, m);
    if (!invert(w->unknowns, m, w->inverse))
        return false;
    w->is_far = false;
    for (size_t k = 0; k < w->unknowns; k++) {
        w->weight[k] = 0.0L;
        for (size_t i = 0; i < w->unknowns; i++)
            w->weight[k] += w->inverse[k][i] * w->objective[i];
        w->is_far = w->is_far || w->member[w->basis[k]].row == ROW_FAR;
    }
    for (size_t j = 0; j < w->unknowns; j++) {
        long double x = 0.0L, far = 0.0L;

        for (size_t k = 0; k < w->unknowns; k++) {
            const struct member *b = &w->member[w->basis[k]];

            x += right_side(b) * w->inverse[k][j];
            far += b->row == ROW_FAR ? w->inverse[k][j] : 0.0L;
        }
        w->x[j] = (double)x;
        w->far[j] = (double)far;
    }
    return true;
}

static size_t most_broken(const struct work *w)
{
    double over = w->slack;
    size_t found = w->count;

    for (size_t i = 0; i < w->count; i++) {
        double s;

        if (w->member[i].row == ROW_FAR)
            continue;
        s = score(w, &w->member[i]);
        if (s > over) {
            over = s;
            found = i;
        }
    }
    return found;
}

/* Row k of key over pivot, in lexicographic order before row best. */
static bool before(size_t n, long double key[MOST][MOST + 1],
                   const long double pivot[MOST], size_t k, size_t best)
{
    for (size_t j = 0; j <= n; j++) {
        const long double a = key[k][j] / pivot[k], b = key[best][j] / pivot[best];

        if (fabsl(a - b) > noise * (1.0L + fabsl(a) + fabsl(b)))
            return a < b;
    }
    return false;
}

/* Which of the basis leaves for the member that enters; MOST: none can, the rows
 * contradict each other. */
static size_t leaving(const struct work *w, matrix first, const struct member *enter)
{
    long double row[MOST], key[MOST][MOST + 1], pivot[MOST], largest = 0.0L;
    const size_t n = w->unknowns;
    size_t best = MOST;

    row_of(enter, row);
    for (size_t k = 0; k < n; k++) {
        pivot[k] = 0.0L;
        for (size_t j = 0; j < n; j++)
            pivot[k] += w->inverse[k][j] * row[j];
        largest = fmaxl(largest, fabsl(pivot[k]));
        key[k][0] = fmaxl(w->weight[k], 0.0L);
        for (size_t j = 0; j < n; j++) {
            key[k][j + 1] = 0.0L;
            for (size_t i = 0; i < n; i++)
                key[k][j + 1] += w->inverse[k][i] * first[i][j];
        }
    }
    for (size_t k = 0; k < n; k++)
        if (pivot[k] > noise * largest &&
            (best == MOST || before(n, key, pivot, k, best)))
            best = k;
    return best;
}

/* The optimum over the members, from the basis at hand. */
static bool turn(struct work *w)
{
    matrix first;

    basis_matrix(w, first);
    for (size_t pivot = 0; pivot < PIVOTS; pivot++) {
        size_t in, out;

        if (!take_basis(w))
            return false;
        in = most_broken(w);
        if (in == w->count)
            return true;
        out = leaving(w, first, &w->member[in]);
        if (out == MOST)
            return false;
        w->basis[out] = in;
    }
    return true;
}

/* Adds the row most broken of each block of one side. */
static bool price(struct work *w, enum programme_row row, size_t n, size_t *added)
{
    for (size_t from = 0; from < n; from += BLOCK) {
        const size_t to = n - from < BLOCK ? n : from + BLOCK;
        double over = w->slack;
        struct member worst = {.row = row};
        bool found = false;

        for (size_t i = from; i < to; i++) {
            const struct member m = side_place(w, row, i);
            const double s = score(w, &m);

            if (s > over) {
                over = s;
                worst = m;
                found = true;
            }
        }
        if (found && !add(w, worst))
            return false;
        *added += found;
    }
    return true;
}

static bool sample(struct work *w, enum programme_row row, size_t n)
{
    const size_t step = n / SAMPLE + 1;
    bool good = true;

    for (size_t i = 0; i < n && good; i += step)
        good = add(w, side_place(w, row, i));
    return good;
}

/* Round a face of size 2 about the origin, in u and v. */
static bool add_far(struct work *w)
{
    static const double at[MOST][2] = {
        {0.0, 16.0}, {-16.0, -12.0}, {16.0, -12.0}, {0.0, 0.0}};
    bool good = true;

    for (size_t k = 0; k < w->unknowns && good; k++) {
        good = add(w, (struct member){ROW_FAR, k, at[k][0], at[k][1], 0.0});
        w->basis[k] = k;
    }
    return good;
}

static void widen(const struct programme_side *s, double low[2], double high[2],
                  double *largest)
{
    for (size_t i = 0; i < s->n; i++) {
        low[0] = fmin(low[0], s->p[i].x);
        low[1] = fmin(low[1], s->p[i].y);
        high[0] = fmax(high[0], s->p[i].x);
        high[1] = fmax(high[1], s->p[i].y);
        *largest = fmax(*largest, fabs(s->z[i]));
    }
}

static enum bt_status make_frame(struct work *w, struct bt_error *err)
{
    const struct programme *in = w->in;
    double low[2] = {HUGE_VAL, HUGE_VAL}, high[2] = {-HUGE_VAL, -HUGE_VAL};
    double largest = 0.0;
    struct programme_frame *f = &w->frame;
    enum bt_status status =
        bt_plane_fit(in->above.n, in->above.p, in->above.z, &f->base, NULL, err);

    if (status != BT_OK)
        return status;
    widen(&in->above, low, high, &largest);
    widen(&in->below, low, high, &largest);
    f->x = (low[0] + high[0]) / 2.0;
    f->y = (low[1] + high[1]) / 2.0;
    f->size_x = (high[0] - low[0]) / 2.0;
    f->size_y = (high[1] - low[1]) / 2.0;
    largest = fmax(largest, fabs(f->base.a) +
                                fabs(f->base.b) * fmax(fabs(low[0]), fabs(high[0])) +
                                fabs(f->base.c) * fmax(fabs(low[1]), fabs(high[1])));
    /* Heights, the base under them and the plane each round once or twice. */
    w->slack = 8.0 * DBL_EPSILON * largest;
    if (!(largest < 1e150) || !(f->size_x < 1e150) || !(f->size_y < 1e150))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the numbers are too large");
    return BT_OK;
}

static void take_objective(struct work *w)
{
    const struct programme *in = w->in;

    w->unknowns = in->below.n ? 4 : 3;
    if (in->below.n) {
        w->objective[3] = 1.0;
        return;
    }
    w->objective[0] = 1.0;
    w->objective[1] = (in->middle.x - w->frame.x) / w->frame.size_x;
    w->objective[2] = (in->middle.y - w->frame.y) / w->frame.size_y;
}

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "no memory for the removal of wood");
}

static enum bt_status run(struct work *w, size_t *passes, struct bt_error *err)
{
    const struct programme *in = w->in;
    size_t added = 1;

    if (!add_far(w) || !sample(w, ROW_ABOVE, in->above.n) ||
        !sample(w, ROW_BELOW, in->below.n))
        return no_memory(err);
    if (in->rests && !add(w, place(w, ROW_REST, 0, in->middle, in->height)))
        return no_memory(err);
    for (*passes = 0; added && *passes < PASSES; ++*passes) {
        added = 0;
        if (!turn(w))
            return bt_error_set(err, BT_ESINGULAR, 0, 0,
                                "no plane fits between the heights");
        if (!price(w, ROW_ABOVE, in->above.n, &added) ||
            !price(w, ROW_BELOW, in->below.n, &added))
            return no_memory(err);
    }
    if (w->is_far)
        return bt_error_set(err, BT_ESINGULAR, 0, 0,
                            in->below.n ? "the places of the two faces do not overlap"
                                        : "the places do not surround the middle");
    return BT_OK;
}

static void take_answer(const struct work *w, size_t passes,
                        struct programme_answer *answer)
{
    const struct programme_frame *f = &w->frame;
    struct programme_answer a;
    const double b = w->x[1] / f->size_x, c = w->x[2] / f->size_y;

    memset(&a, 0, sizeof a);
    a.frame = *f;
    a.plane = (struct bt_plane){f->base.a + w->x[0] - b * f->x - c * f->y,
                                f->base.b + b, f->base.c + c};
    a.best = w->unknowns == 4 ? w->x[3]
                              : a.plane.a + a.plane.b * w->in->middle.x +
                                    a.plane.c * w->in->middle.y;
    a.ncontact = (int)w->unknowns;
    for (size_t k = 0; k < w->unknowns; k++) {
        const struct member *m = &w->member[w->basis[k]];

        a.contact[k] = (struct programme_contact){m->row, m->point,
                                                  (double)fmaxl(w->weight[k], 0.0L)};
        for (size_t j = 0; j < w->unknowns; j++)
            a.inverse[k][j] = w->inverse[k][j];
    }
    a.slack = w->slack;
    a.passes = passes;
    *answer = a;
}

enum bt_status programme_solve(const struct programme *programme,
                               struct programme_answer *answer, struct bt_error *err)
{
    struct work w;
    size_t passes = 0;
    enum bt_status status;

    memset(&w, 0, sizeof w);
    w.in = programme;
    status = make_frame(&w, err);
    if (status == BT_OK) {
        take_objective(&w);
        status = run(&w, &passes, err);
    }
    if (status == BT_OK)
        take_answer(&w, passes, answer);
    bt_free(w.member);
    return status;
}

void programme_factors(const struct programme_answer *answer, struct bt_point at,
                       double factor[PROGRAMME_UNKNOWNS])
{
    const struct programme_frame *f = &answer->frame;
    const long double row[3] = {1.0L, (at.x - f->x) / f->size_x,
                                (at.y - f->y) / f->size_y};

    for (size_t k = 0; k < MOST; k++) {
        long double sum = 0.0L;

        for (size_t j = 0; j < 3; j++)
            sum += answer->inverse[k][j] * row[j];
        factor[k] = (double)sum;
    }
}
