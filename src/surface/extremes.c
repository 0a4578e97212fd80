/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/extremes.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/draws_private.h"

/* Twice the default same_point, design of the readings: what is one place is one line.
 */
static const double reading_band = 6;

static const struct bt_measured not_seen = {NAN, NAN, false};
static const struct bt_sure not_sure = {NAN, NAN, NAN, 0, {NAN, NAN}};

/* A figure of a few places: sum of coef[k] z[point[k]]. */
struct few {
    int n;
    size_t point[4];
    double coef[4];
};

/*
 * u of a figure of few places.  Its coefficients are those of a figure that no plane
 * changes, so that heights over any plane will do.
 */
static enum bt_status few_u(const struct bt_flatness *f, const struct few *few,
                            double *u)
{
    double *c, value;
    bool seen;
    enum bt_status status;

    if (!f->net->inverse) { /* a scan: heights independent, of one uncertainty */
        double square = 0;
        for (int k = 0; k < few->n; k++)
            square += few->coef[k] * few->coef[k];
        *u = f->used->scan_u * sqrt(square);
        return BT_OK;
    }
    c = bt_alloc(f->net->npoint, sizeof *c);
    if (!c)
        return BT_ENOMEM;
    for (int k = 0; k < few->n; k++)
        c[few->point[k]] += few->coef[k];
    status = bt_network_figure(f->net, c, &value, u, &seen);
    bt_free(c);
    return status;
}

static double minor(const struct bt_point *a, const struct bt_point *b,
                    const struct bt_point *c)
{
    return (b->x - a->x) * (c->y - a->y) - (c->x - a->x) * (b->y - a->y);
}

/*
 * The zone's width as a figure of its contacts: coefficients that no plane changes,
 * those of the upper contacts adding up to 1.  Over four places they are, up to a
 * factor, the areas of the triangles of the other three with alternating sign.
 */
static struct few zone_figure(const struct bt_flatness *f, const struct bt_zone *zone)
{
    struct few few = {.n = 4};
    const struct bt_point *p[4] = {0};
    double upper = 0;

    for (int k = 0; k < few.n; k++) {
        few.point[k] = zone->contact[k].point;
        p[k] = &f->used->point[few.point[k]];
    }
    few.coef[0] = minor(p[1], p[2], p[3]);
    few.coef[1] = -minor(p[0], p[2], p[3]);
    few.coef[2] = minor(p[0], p[1], p[3]);
    few.coef[3] = -minor(p[0], p[1], p[2]);
    for (int k = 0; k < few.n; k++)
        if (zone->contact[k].side > 0)
            upper += few.coef[k];
    for (int k = 0; k < few.n; k++)
        few.coef[k] /= upper;
    return few;
}

static bool all_seen(const struct bt_flatness *f)
{
    for (size_t p = 0; p < f->net->npoint; p++)
        if (isnan(f->z[p]))
            return false;
    return true;
}

static enum bt_status evaluate_zone(const struct bt_flatness *f,
                                    struct bt_extremes *out, struct bt_error *err)
{
    enum bt_status status;

    out->width = not_seen;
    if (!all_seen(f))
        return BT_OK;
    status = bt_zone_fit(f->net->npoint, f->used->point, f->z, &out->zone, err);
    if (status != BT_OK)
        return status;
    out->zone_seen = true;
    out->width = (struct bt_measured){out->zone.normal_width, 0, true};
    if (out->zone.ncontact == 4) {
        const struct few few = zone_figure(f, &out->zone);
        status = few_u(f, &few, &out->width.u);
    } else {
        /* all in one plane: no contacts, and the range's doubt stands for the width's
         */
        out->width.u = f->residual.range.u;
    }
    return status;
}

/* The gap as a figure: the chord at the deepest place less the place. */
static struct few gap_figure(const struct bt_flatness *f, const struct bt_edge_gap *gap)
{
    const struct bt_point *l = &f->used->point[gap->left];
    const struct bt_point *r = &f->used->point[gap->right];
    const struct bt_point *m = &f->used->point[gap->deepest];
    const double dx = r->x - l->x, dy = r->y - l->y;
    const double t = ((m->x - l->x) * dx + (m->y - l->y) * dy) / (dx * dx + dy * dy);

    return (struct few){
        .n = 3, .point = {gap->left, gap->right, gap->deepest}, .coef = {1 - t, t, -1}};
}

static enum bt_status evaluate_edge(const struct bt_flatness *f,
                                    const struct bt_edge_search *search,
                                    enum bt_edge_direction direction, double span,
                                    struct bt_edge_figure *out, struct bt_error *err)
{
    enum bt_status status = bt_edge_gap_search(f->net->npoint, f->used->point, f->z,
                                               search, direction, span, &out->at, err);

    out->gap = not_seen;
    if (status != BT_OK || !out->at.seen)
        return status;
    out->gap = (struct bt_measured){out->at.worst.gap, 0, true};
    if (out->at.worst.gap > 0) {
        const struct few few = gap_figure(f, &out->at.worst);
        status = few_u(f, &few, &out->gap.u);
    }
    return status;
}

static double band_of(const struct bt_flatness *f, const struct bt_rectangle *box)
{
    if (f->net->inverse)
        return reading_band;
    return sqrt((box->x1 - box->x0) * (box->y1 - box->y0) / (double)f->net->npoint) / 2;
}

static struct bt_edge_search search_of(const struct bt_flatness *f,
                                       const struct bt_extremes *e)
{
    const struct bt_rectangle *box = &f->form.rectangle;

    return (struct bt_edge_search){.length = box->x1 - box->x0,
                                   .width = box->y1 - box->y0,
                                   .x0 = box->x0,
                                   .y0 = box->y0,
                                   .band = e->band};
}

static enum bt_status evaluate_edges(const struct bt_flatness *f,
                                     const struct bt_extremes_request *request,
                                     struct bt_extremes *out, struct bt_error *err)
{
    struct bt_edge_search search = search_of(f, out);
    enum bt_status status = BT_OK;

    for (; out->nspan < request->nspan && out->nspan < BT_SPANS_MAX; out->nspan++)
        out->span[out->nspan] = request->span[out->nspan];
    for (size_t s = 0; s < out->nspan; s++)
        for (int d = 0; d < BT_EDGE_DIRECTIONS && status == BT_OK; d++)
            status = evaluate_edge(f, &search, (enum bt_edge_direction)d, out->span[s],
                                   &out->edge[out->nedge++], err);
    for (size_t s = 0; s < out->nspan; s++)
        for (size_t d = 0; d < request->ndirection && d < BT_OBLIQUES_MAX; d++) {
            if (status != BT_OK)
                return status;
            search.angle = request->direction[d];
            status = evaluate_edge(f, &search, BT_EDGE_OBLIQUE, out->span[s],
                                   &out->edge[out->nedge++], err);
        }
    return status;
}

/* ---- how sure ---- */

static struct bt_sure sure_of(const struct bt_measured *m, const struct bt_drawn *drawn)
{
    const struct bt_interval i = bt_draws_interval(m->value, drawn->half);

    return m->seen ? (struct bt_sure){i.lo, i.hi, drawn->alone, drawn->draws,
                                      bt_draws_interval(m->value, drawn->asked)}
                   : not_sure;
}

/* What was drawn, or found without. */
struct drawn {
    struct bt_drawn range, zone, edge[BT_EDGES_MAX], any[BT_SPANS_MAX];
};

static void take_drawn(const struct bt_flatness *f, const struct drawn *drawn,
                       struct bt_extremes *out)
{
    out->range_sure = sure_of(&f->residual.range, &drawn->range);
    out->width_sure = sure_of(&out->width, &drawn->zone);
    for (size_t k = 0; k < out->nedge; k++)
        out->edge[k].sure = sure_of(&out->edge[k].gap, &drawn->edge[k]);
    for (size_t s = 0; s < out->nspan; s++) {
        const struct bt_edge_figure *worst = bt_extremes_worst(out, out->span[s]);
        out->any[s] = sure_of(worst ? &worst->gap : &not_seen, &drawn->any[s]);
    }
}

static void bound_all(const struct bt_flatness *f, double confidence,
                      struct drawn *drawn)
{
    const struct bt_drawn bound =
        f->net->inverse
            ? bt_draws_bound(f->net->npoint, f->u, confidence)
            : bt_draws_bound_equal(f->net->npoint, f->used->scan_u, confidence);

    drawn->range = drawn->zone = bound;
    for (size_t k = 0; k < BT_EDGES_MAX; k++)
        drawn->edge[k] = bound;
    for (size_t s = 0; s < BT_SPANS_MAX; s++)
        drawn->any[s] = bound;
}

/* Places that no unseen shape moves, and what is to be drawn for them. */
struct noisy {
    size_t n;
    size_t *kept;
    struct bt_point *p;
    double *covariance;
    size_t nedge, figure[BT_EDGES_MAX + BT_SPANS_MAX]; /* indices of edge, or of any
                                                          where `together` */
    struct bt_draws_edge edge[BT_EDGES_MAX + BT_SPANS_MAX];
};

static enum bt_status make_noisy(const struct bt_flatness *f, struct noisy *noisy)
{
    const size_t n = f->net->npoint;

    noisy->kept = bt_alloc(n, sizeof *noisy->kept);
    noisy->p = bt_alloc(n, sizeof *noisy->p);
    if (!noisy->kept || !noisy->p)
        return BT_ENOMEM;
    for (size_t i = 0; i < n; i++) {
        if (isnan(f->z[i]))
            continue;
        noisy->p[noisy->n] = f->used->point[i];
        noisy->kept[noisy->n++] = i;
    }
    if (noisy->n < 3 || noisy->n > BT_DRAWS_POINTS)
        return BT_OK;
    noisy->covariance = bt_alloc(noisy->n * noisy->n, sizeof *noisy->covariance);
    if (!noisy->covariance)
        return BT_ENOMEM;
    return draws_covariance(f->net, noisy->n, noisy->kept, noisy->covariance);
}

/* Which span a figure is of: the order in which evaluate_edges put them. */
static size_t span_of(const struct bt_extremes *e, size_t k)
{
    const size_t plain = BT_EDGE_DIRECTIONS * e->nspan;

    return k < plain ? k / BT_EDGE_DIRECTIONS
                     : (k - plain) / ((e->nedge - plain) / e->nspan);
}

/* Span by span those directions that were seen, then all of them together. */
static void ask_edges(const struct bt_flatness *f, const struct bt_extremes *e,
                      struct noisy *noisy)
{
    for (size_t s = 0; s < e->nspan; s++) {
        size_t together = 0;

        for (size_t k = 0; k < e->nedge; k++) {
            const struct bt_edge_result *at = &e->edge[k].at;
            struct bt_draws_edge *asked = &noisy->edge[noisy->nedge];

            if (!e->edge[k].gap.seen || span_of(e, k) != s)
                continue;
            *asked =
                (struct bt_draws_edge){search_of(f, e), at->direction, at->span, 0};
            asked->search.angle = at->angle;
            noisy->figure[noisy->nedge++] = k;
            together++;
        }
        if (!together)
            continue;
        noisy->edge[noisy->nedge] = (struct bt_draws_edge){.together = together};
        noisy->figure[noisy->nedge++] = s;
    }
}

/* Where so few draws do not show the point asked for, the bound is safe. */
static struct bt_drawn with_bound(struct bt_drawn drawn, const struct bt_drawn *bound)
{
    if (isnan(drawn.asked) && !isnan(drawn.half))
        drawn.asked = fmax(drawn.half, bound->asked);
    return drawn;
}

static enum bt_status draw_all(const struct bt_extremes_request *request,
                               const struct bt_extremes *e, const struct noisy *noisy,
                               struct drawn *drawn, struct bt_error *err)
{
    const struct bt_draws_request asked = {.n = noisy->n,
                                           .p = noisy->p,
                                           .covariance = noisy->covariance,
                                           .nedge = noisy->nedge,
                                           .edge = noisy->edge,
                                           .seed = request->seed,
                                           .draws = request->draws,
                                           .threads = request->threads,
                                           .confidence = request->confidence};
    const struct bt_drawn bound = drawn->range;
    struct bt_drawn edge[BT_EDGES_MAX + BT_SPANS_MAX];
    enum bt_status status = bt_draws_run(&asked, e->zone_seen ? &drawn->range : NULL,
                                         e->zone_seen ? &drawn->zone : NULL, edge, err);

    for (size_t k = 0; k < noisy->nedge && status == BT_OK; k++)
        *(noisy->edge[k].together ? &drawn->any[noisy->figure[k]]
                                  : &drawn->edge[noisy->figure[k]]) =
            with_bound(edge[k], &bound);
    drawn->range = with_bound(drawn->range, &bound);
    drawn->zone = with_bound(drawn->zone, &bound);
    return status;
}

static void take_larger(const struct bt_drawn *other, struct bt_drawn *drawn)
{
    if (!(other->half <= drawn->half))
        drawn->half = other->half;
    if (!(other->alone <= drawn->alone))
        drawn->alone = other->alone;
    if (!(other->asked <= drawn->asked))
        drawn->asked = other->asked;
}

/* Where the rounding of some readings may be one error, whichever of both noises does
 * more to a figure holds. */
static enum bt_status draw_alike(const struct bt_flatness *f,
                                 const struct bt_extremes_request *request,
                                 const struct bt_extremes *e, struct noisy *noisy,
                                 struct drawn *drawn, struct bt_error *err)
{
    struct drawn alike = *drawn;
    enum bt_status status =
        draws_covariance_alike(f->net, noisy->n, noisy->kept, noisy->covariance);

    if (status == BT_OK)
        status = draw_all(request, e, noisy, &alike, err);
    if (status != BT_OK)
        return status;
    take_larger(&alike.range, &drawn->range);
    take_larger(&alike.zone, &drawn->zone);
    for (size_t k = 0; k < BT_EDGES_MAX; k++)
        take_larger(&alike.edge[k], &drawn->edge[k]);
    for (size_t s = 0; s < BT_SPANS_MAX; s++)
        take_larger(&alike.any[s], &drawn->any[s]);
    return BT_OK;
}

static enum bt_status evaluate_sure(const struct bt_flatness *f,
                                    const struct bt_extremes_request *request,
                                    struct bt_extremes *out, struct bt_error *err)
{
    struct noisy noisy = {0};
    struct drawn drawn;
    enum bt_status status = BT_OK;

    if (request->confidence > 0
            ? !(request->confidence > 0.5 && request->confidence < 1)
            : !(request->confidence >= 0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the confidence does not lie between 0.5 and 1");
    bound_all(f, request->confidence, &drawn);
    if (f->net->inverse)
        status = make_noisy(f, &noisy);
    if (status == BT_OK && noisy.covariance) {
        ask_edges(f, out, &noisy);
        status = draw_all(request, out, &noisy, &drawn, err);
        if (status == BT_OK && f->net->nalike)
            status = draw_alike(f, request, out, &noisy, &drawn, err);
    }
    bt_free(noisy.kept);
    bt_free(noisy.p);
    bt_free(noisy.covariance);
    if (status == BT_OK)
        take_drawn(f, &drawn, out);
    return status;
}

enum bt_status bt_extremes_evaluate(const struct bt_flatness *flatness,
                                    const struct bt_extremes_request *request,
                                    struct bt_extremes *out, struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->facets.preferred = BT_FACETS_NOT_SEEN;
    out->band = band_of(flatness, &flatness->form.rectangle);
    status = evaluate_zone(flatness, out, err);
    if (status == BT_OK)
        status = evaluate_edges(flatness, request, out, err);
    if (status == BT_OK)
        status = evaluate_sure(flatness, request, out, err);
    if (status == BT_OK && flatness->net->inverse)
        status = bt_facets_fit(flatness->net, request->njoint, request->joint,
                               &flatness->form.rectangle, &out->facets, err);
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

static void write_row(const struct bt_flatness *f, const struct few *few, double row[])
{
    memset(row, 0, f->net->npoint * sizeof *row);
    for (int k = 0; k < few->n; k++)
        row[few->point[k]] += few->coef[k];
}

void bt_extremes_zone_row(const struct bt_flatness *flatness,
                          const struct bt_extremes *extremes, double row[])
{
    struct few few = {.n = 0};

    if (extremes->zone_seen && extremes->zone.ncontact == 4)
        few = zone_figure(flatness, &extremes->zone);
    write_row(flatness, &few, row);
}

void bt_extremes_gap_row(const struct bt_flatness *flatness,
                         const struct bt_edge_figure *edge, double row[])
{
    struct few few = {.n = 0};

    if (edge->gap.seen && edge->at.worst.gap > 0)
        few = gap_figure(flatness, &edge->at.worst);
    write_row(flatness, &few, row);
}

void bt_extremes_clear(struct bt_extremes *extremes)
{
    if (!extremes)
        return;
    bt_facets_clear(&extremes->facets);
    memset(extremes, 0, sizeof *extremes);
}

const struct bt_edge_figure *bt_extremes_worst(const struct bt_extremes *extremes,
                                               double span)
{
    const struct bt_edge_figure *worst = NULL;

    for (size_t i = 0; i < extremes->nedge; i++) {
        const struct bt_edge_figure *e = &extremes->edge[i];
        if (e->gap.seen && fabs(e->at.span - span) <= 1e-9 * span &&
            (!worst || e->gap.value > worst->gap.value))
            worst = e;
    }
    return worst;
}

const struct bt_sure *bt_extremes_sure(const struct bt_extremes *extremes, double span)
{
    for (size_t s = 0; s < extremes->nspan; s++)
        if (fabs(extremes->span[s] - span) <= 1e-9 * span)
            return &extremes->any[s];
    return NULL;
}
