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
enum { LANES = NORMALS };

struct draws {
    size_t draws, njoint;
    struct kink_model *joint; /* [njoint] */
    struct normal_source *source;
    double *cup, *opening, *kink; /* [draws] sizes */
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
    double shared[LANES];
    double own[3][LANES]; /* of the joint before, of this one and of the next */
    double cup[LANES], opening[LANES], kink[LANES];
};

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double smaller(double a, double b)
{
    return a < b ? a : b;
}

/* Two joints at a time: half the way of what is gathered to memory and back. */
BT_WIDE static void add_joints(const struct kink_model m[2], struct lanes *l)
{
    const struct kink_model a = m[0], b = m[1];

    for (int k = 0; k < LANES; k++) {
        double ka = a.middle + a.shared * l->shared[k] + a.before * l->own[0][k] +
                    a.own * l->own[1][k];
        double kb = b.middle + b.shared * l->shared[k] + b.before * l->own[1][k] +
                    b.own * l->own[2][k];
        double sa = fabs(ka), sb = fabs(kb);

        l->cup[k] += a.share * ka + b.share * kb;
        l->kink[k] = larger(l->kink[k], larger(sa, sb));
        l->opening[k] = larger(l->opening[k], larger(a.depth * sa, b.depth * sb));
        l->own[0][k] = l->own[2][k];
    }
}

/* d->joint holds one more than there are where that makes the count even: a joint that
 * is always closed and has no share. */
static void draw_lanes(const struct draws *d, struct lanes *l)
{
    memset(l, 0, sizeof *l);
    normal_fill(d->source, l->shared);
    for (size_t j = 0; j < d->njoint; j += 2) {
        normal_fill(d->source, l->own[1]);
        normal_fill(d->source, l->own[2]);
        add_joints(&d->joint[j], l);
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

enum { BINS = 4096, FEW = 64 };

/* Side by side, since one comparison waits for the one before. */
static void extremes(size_t n, const double v[], double *least, double *most)
{
    enum { WAYS = 8 };
    double low[WAYS], high[WAYS];
    size_t i = 0;

    for (int k = 0; k < WAYS; k++)
        low[k] = high[k] = v[0];
    for (; i + WAYS <= n; i += WAYS)
        for (int k = 0; k < WAYS; k++) {
            low[k] = smaller(low[k], v[i + (size_t)k]);
            high[k] = larger(high[k], v[i + (size_t)k]);
        }
    for (; i < n; i++) {
        low[0] = smaller(low[0], v[i]);
        high[0] = larger(high[0], v[i]);
    }
    for (int k = 1; k < WAYS; k++) {
        low[0] = smaller(low[0], low[k]);
        high[0] = larger(high[0], high[k]);
    }
    *least = low[0];
    *most = high[0];
}

struct bins {
    double least, scale;
    uint32_t count[BINS + 1];
};

static size_t bin_of(const struct bins *b, double v)
{
    return (size_t)(int)((v - b->least) * b->scale);
}

/* False where all are alike, or so near that they cannot be told apart. */
static bool count_bins(size_t n, const double v[], struct bins *b)
{
    double most;

    extremes(n, v, &b->least, &most);
    b->scale = BINS / (most - b->least);
    if (!(most > b->least) || !isfinite(b->scale))
        return false;
    memset(b->count, 0, sizeof b->count);
    for (size_t i = 0; i < n; i++)
        b->count[bin_of(b, v[i])]++;
    return true;
}

/* The bin with rank *rank, which becomes the rank within it. */
static size_t find_bin(const struct bins *b, size_t *rank)
{
    size_t bin = 0;

    for (; *rank >= b->count[bin]; bin++)
        *rank -= b->count[bin];
    return bin;
}

/* Those of a bin to out, which has room for one more and may be v. */
static size_t keep_bin(size_t n, const double v[], const struct bins *b, size_t bin,
                       double out[])
{
    size_t kept = 0;

    for (size_t i = 0; i < n; i++) {
        double value = v[i];

        out[kept] = value;
        kept += bin_of(b, value) == bin ? 1 : 0;
    }
    return kept;
}

/* The value of rank `rank`, from 0; v, with room for n + 1, is put out of order. */
static double ranked(size_t n, double v[], size_t rank)
{
    struct bins b;

    while (n > FEW) {
        if (!count_bins(n, v, &b))
            return b.least;
        n = keep_bin(n, v, &b, find_bin(&b, &rank), v);
    }
    gsl_sort(v, 1, n);
    return v[rank];
}

/* JCGM 101:2008, 7.7: the q-th of the sorted draws, from 1. */
static size_t rank_of(double p, size_t draws)
{
    double q = floor(p * (double)draws + 0.5);

    return q < 1 ? 0 : (size_t)q - 1;
}

/* Both from one count and one look. */
static enum bt_status find_spread(const struct draws *d, const double v[],
                                  struct bt_spread *spread, struct bt_error *err)
{
    size_t rank[2] = {rank_of(0.5, d->draws), rank_of(0.95, d->draws)};
    size_t bin[2], kept[2] = {0, 0};
    double *out[2];
    struct bins b;

    *spread = (struct bt_spread){v[0], v[0]};
    if (!count_bins(d->draws, v, &b))
        return BT_OK;
    for (int k = 0; k < 2; k++)
        bin[k] = find_bin(&b, &rank[k]);
    /* One more each: what is not kept is written behind what is. */
    out[0] = bt_alloc((size_t)b.count[bin[0]] + b.count[bin[1]] + 2, sizeof *out[0]);
    if (!out[0])
        return no_memory(err);
    out[1] = out[0] + b.count[bin[0]] + 1;
    for (size_t i = 0; i < d->draws; i++) {
        size_t at = bin_of(&b, v[i]);

        out[0][kept[0]] = v[i];
        kept[0] += at == bin[0] ? 1 : 0;
        out[1][kept[1]] = v[i];
        kept[1] += at == bin[1] ? 1 : 0;
    }
    spread->median = ranked(kept[0], out[0], rank[0]);
    spread->p95 = ranked(kept[1], out[1], rank[1]);
    bt_free(out[0]);
    return BT_OK;
}

/* ---- all ---- */

static bool take(struct draws *d)
{
    d->joint = bt_alloc(d->njoint + 1, sizeof *d->joint);
    d->source = bt_alloc(1, sizeof *d->source);
    d->cup = bt_alloc(d->draws, sizeof *d->cup);
    d->opening = bt_alloc(d->draws, sizeof *d->opening);
    d->kink = bt_alloc(d->draws, sizeof *d->kink);
    return d->joint && d->source && d->cup && d->opening && d->kink;
}

static void give_back(struct draws *d)
{
    bt_free(d->joint);
    bt_free(d->source);
    bt_free(d->cup);
    bt_free(d->opening);
    bt_free(d->kink);
}

static enum bt_status find_spreads(const struct draws *d,
                                   struct bt_scatter_result *result,
                                   struct bt_error *err)
{
    struct bt_scatter_result made = {.draws = d->draws};
    enum bt_status status = find_spread(d, d->cup, &made.cup, err);

    if (status == BT_OK)
        status = find_spread(d, d->opening, &made.opening, err);
    if (status == BT_OK)
        status = find_spread(d, d->kink, &made.kink, err);
    if (status == BT_OK)
        *result = made;
    return status;
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
        status = find_spreads(&d, result, err);
    }
    give_back(&d);
    return status;
}
