/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/scatter.h"

#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "joint/scatter_normal.h"
#include "joint/section_private.h"

/*
 * Only kinks are drawn, not edges: they are linear in what is random, so that they are
 * normal with a known covariance.  What all edges share stands apart; two neighbouring
 * kinks have a board's taper in common and others nothing, so the rest of the
 * covariance has one diagonal beside the main one and its Cholesky factor too.  A kink
 * then takes two multiplications, and a draw as many normal numbers as there are
 * boards.
 */
struct kink_model {
    double middle;      /* rad */
    double shared;      /* per standard normal of the draw */
    double own, before; /* per that of the joint, and of the joint before */
    double share;       /* mm of cup per rad */
    double depth;       /* mm of opening per rad of the kink's size */
};

/* Draws made side by side. */
enum { LANES = 64 };

struct draws {
    size_t draws, njoint;
    struct kink_model *joint; /* [njoint] */
    struct normal_source *source;
    double *cup, *opening, *kink; /* [draws] sizes */
    double *work;                 /* [draws] */
};

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

/* ---- the model ---- */

/*
 * t (tan a + tan b) is t sin(a + b)/(cos a cos b): in proportion to the kink, with what
 * stands beside it taken where the edges are without scatter.
 */
static double depth_of(const struct bt_edge_view *a, const struct bt_edge_view *b)
{
    double kink = a->lean + b->lean;

    return fmin(a->thickness, b->thickness) * (kink != 0 ? sin(kink) / kink : 1) /
           (cos(a->lean) * cos(b->lean));
}

/* So that no draw can overflow: nothing that is cut from wood comes near. */
static bool in_reach(const struct draws *d)
{
    const double most = 1e100;
    bool all = true;

    for (size_t j = 0; j < d->njoint; j++) {
        const struct kink_model *m = &d->joint[j];

        all = all && fabs(m->shared) < most && m->own < most &&
              fabs(m->before) < most && fabs(m->share) < most && m->depth < most;
    }
    return all;
}

/* False where the numbers are out of reach. */
static bool model_joints(const struct bt_strip strip[], const struct bt_board_run run[],
                         const struct bt_edge_errors *errors, double width,
                         const struct draws *d)
{
    double y = 0, taper = errors->u_taper * errors->u_taper;
    struct bt_edge_view last = {0};

    for (size_t j = 0; j < d->njoint; j++) {
        struct kink_model *m = &d->joint[j];
        struct bt_edge_view a = bt_edge_see(&strip[j], &run[j], true, errors->e);
        struct bt_edge_view b =
            bt_edge_see(&strip[j + 1], &run[j + 1], false, errors->e);
        double variance =
            2 * errors->scatter * errors->scatter +
            taper * (a.per_taper * a.per_taper + b.per_taper * b.per_taper);
        /* Through the board between this joint and the one before. */
        double common = taper * last.per_taper * a.per_taper;

        y += strip[j].width;
        m->middle = a.lean + b.lean;
        m->shared = (a.per_e + b.per_e) * errors->u_e;
        m->before = j > 0 && d->joint[j - 1].own > 0 ? common / d->joint[j - 1].own : 0;
        m->own = sqrt(fmax(0, variance - m->before * m->before));
        m->share = bt_cup_share(y, width);
        m->depth = depth_of(&a, &b);
        last = b;
    }
    return in_reach(d);
}

/* ---- draws ---- */

struct lanes {
    double shared[LANES], before[LANES], own[LANES];
    double cup[LANES], opening[LANES], kink[LANES];
};

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static void add_joint(const struct kink_model *m, struct lanes *l)
{
    for (int k = 0; k < LANES; k++) {
        double kink = m->middle + m->shared * l->shared[k] + m->own * l->own[k] +
                      m->before * l->before[k];
        double size = fabs(kink);

        l->cup[k] += m->share * kink;
        l->kink[k] = larger(l->kink[k], size);
        l->opening[k] = larger(l->opening[k], m->depth * size);
        l->before[k] = l->own[k];
    }
}

static void draw_lanes(const struct draws *d, struct lanes *l)
{
    memset(l, 0, sizeof *l);
    normal_fill(d->source, LANES, l->shared);
    for (size_t j = 0; j < d->njoint; j++) {
        normal_fill(d->source, LANES, l->own);
        add_joint(&d->joint[j], l);
    }
    for (int k = 0; k < LANES; k++)
        l->cup[k] = fabs(l->cup[k]);
}

static void draw_all(const struct draws *d)
{
    struct lanes l;

    for (size_t from = 0; from < d->draws; from += LANES) {
        size_t count = d->draws - from < LANES ? d->draws - from : LANES;

        draw_lanes(d, &l);
        memcpy(d->cup + from, l.cup, count * sizeof *l.cup);
        memcpy(d->opening + from, l.opening, count * sizeof *l.opening);
        memcpy(d->kink + from, l.kink, count * sizeof *l.kink);
    }
}

/* ---- order statistics ---- */

enum { BINS = 2048, FEW = 64 };

static void extremes(size_t n, const double v[], double *least, double *most)
{
    *least = *most = v[0];
    for (size_t i = 1; i < n; i++) {
        *least = v[i] < *least ? v[i] : *least;
        *most = larger(*most, v[i]);
    }
}

/*
 * The value of rank `rank` (from 0): all are counted into bins of even width, and those
 * of the bin with that rank are looked at again.  The order of v is kept, that of work,
 * which has room for n, is not; v may be work.
 */
static double ranked(size_t n, const double v[], size_t rank, double work[])
{
    size_t count[BINS + 1], bin, kept;
    double least, most, scale;

    for (;;) {
        if (n <= FEW) {
            memmove(work, v, n * sizeof *work);
            gsl_sort(work, 1, n);
            return work[rank];
        }
        extremes(n, v, &least, &most);
        scale = BINS / (most - least);
        /* All alike, or so near that they cannot be told apart so. */
        if (!(most > least) || !isfinite(scale))
            return least;
        memset(count, 0, sizeof count);
        for (size_t i = 0; i < n; i++)
            count[(size_t)((v[i] - least) * scale)]++;
        for (bin = 0; rank >= count[bin]; bin++)
            rank -= count[bin];
        kept = 0;
        for (size_t i = 0; i < n; i++) {
            work[kept] = v[i];
            kept += (size_t)((v[i] - least) * scale) == bin ? 1 : 0;
        }
        v = work;
        n = kept;
    }
}

/* JCGM 101:2008, 7.7: the q-th of the sorted draws, from 1. */
static size_t rank_of(double p, size_t draws)
{
    double q = floor(p * (double)draws + 0.5);

    return q < 1 ? 0 : (size_t)q - 1;
}

static struct bt_spread spread_of(const struct draws *d, const double v[])
{
    struct bt_spread s;

    s.median = ranked(d->draws, v, rank_of(0.5, d->draws), d->work);
    s.p95 = ranked(d->draws, v, rank_of(0.95, d->draws), d->work);
    return s;
}

/* ---- all ---- */

static bool take(struct draws *d)
{
    d->joint = bt_alloc(d->njoint, sizeof *d->joint);
    d->source = bt_alloc(1, sizeof *d->source);
    d->cup = bt_alloc(d->draws, sizeof *d->cup);
    d->opening = bt_alloc(d->draws, sizeof *d->opening);
    d->kink = bt_alloc(d->draws, sizeof *d->kink);
    /* One more: what is not kept is written behind what is. */
    d->work = bt_alloc(d->draws + 1, sizeof *d->work);
    return d->joint && d->source && d->cup && d->opening && d->kink && d->work;
}

static void give_back(struct draws *d)
{
    bt_free(d->joint);
    bt_free(d->source);
    bt_free(d->cup);
    bt_free(d->opening);
    bt_free(d->kink);
    bt_free(d->work);
}

enum bt_status bt_scatter_draw(size_t n, const struct bt_strip strip[],
                               const struct bt_board_run run[],
                               const struct bt_edge_errors *errors, size_t draws,
                               uint64_t seed, struct bt_scatter_result *result,
                               struct bt_error *err)
{
    struct draws d = {.draws = draws, .njoint = n ? n - 1 : 0};
    enum bt_status status = bt_section_check(n, strip, errors, err);
    double width = 0;

    if (status != BT_OK)
        return status;
    if (draws == 0)
        return bt_error_set(err, BT_EINPUT, n, 0, "no draws are asked for");
    for (size_t i = 0; i < n; i++)
        width += strip[i].width;
    if (!take(&d))
        status = no_memory(err);
    else if (!model_joints(strip, run, errors, width, &d))
        status = bt_section_too_large(n, err);
    else {
        normal_start(d.source, seed);
        draw_all(&d);
        *result = (struct bt_scatter_result){.draws = draws,
                                             .cup = spread_of(&d, d.cup),
                                             .opening = spread_of(&d, d.opening),
                                             .kink = spread_of(&d, d.kink)};
    }
    give_back(&d);
    return status;
}
