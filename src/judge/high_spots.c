/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/high_spots.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/scan.h"
#include "benchtrue/surface/straightedge.h"
#include "benchtrue/surface/zone.h"
#include "judge/removal_private.h"

/* Levels looked at before halving, and the finest step of a whole face. */
enum { LEVELS = 32, FINEST = 512 };

void bt_high_spots_clear(struct bt_high_spots *spots)
{
    if (!spots)
        return;
    bt_free(spots->depth);
    memset(spots, 0, sizeof *spots);
}

struct search {
    const struct bt_high_spots_request *in;
    double *rest; /* [n] heights over the plane that the level is parallel to */
    double *cut;  /* [n] of the face after planing */
};

static double plane_at(const struct bt_plane *plane, struct bt_point p)
{
    return plane->a + plane->b * p.x + plane->c * p.y;
}

static bool asked(const struct bt_high_spots_request *in, enum bt_figure figure)
{
    return !isnan(in->aim[figure]);
}

/* Heights are given without the plane, so that no tilt costs digits. */
static enum bt_status form_figures(const struct search *s, double figure[],
                                   struct bt_error *err)
{
    const struct bt_high_spots_request *in = s->in;
    const struct bt_scan scan = {in->face.n, in->face.p, s->cut, 1.0};
    struct bt_scan_figures found;
    enum bt_status status;

    if (!asked(in, BT_FIGURE_CUP) && !asked(in, BT_FIGURE_BOW) &&
        !asked(in, BT_FIGURE_TWIST) && !asked(in, BT_FIGURE_RANGE))
        return BT_OK;
    status = bt_scan_form(&scan, &in->rectangle, &found, NULL, NULL, err);
    if (status != BT_OK)
        return status;
    figure[BT_FIGURE_CUP] = found.form.cup.value;
    figure[BT_FIGURE_BOW] = found.form.bow.value;
    figure[BT_FIGURE_TWIST] = found.form.twist.value;
    figure[BT_FIGURE_RANGE] = found.residual.range.value;
    return BT_OK;
}

static enum bt_status zone_figure(const struct search *s, double figure[],
                                  struct bt_error *err)
{
    struct bt_zone zone;
    enum bt_status status;

    if (!asked(s->in, BT_FIGURE_ZONE))
        return BT_OK;
    status = bt_zone_fit(s->in->face.n, s->in->face.p, s->cut, &zone, err);
    if (status == BT_OK)
        figure[BT_FIGURE_ZONE] = zone.normal_width;
    return status;
}

static enum bt_status local_figure(const struct search *s, double figure[],
                                   struct bt_error *err)
{
    const struct bt_high_spots_request *in = s->in;
    const struct bt_rectangle *r = &in->rectangle;
    const struct bt_edge_search edge = {r->x1 - r->x0, r->y1 - r->y0, r->x0,
                                        r->y0,         in->band,      0.0};
    double most = NAN;

    if (!asked(in, BT_FIGURE_LOCAL))
        return BT_OK;
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++) {
        struct bt_edge_result gap;
        enum bt_status status =
            bt_edge_gap_search(in->face.n, in->face.p, s->cut, &edge,
                               (enum bt_edge_direction)d, in->local_span, &gap, err);

        if (status != BT_OK)
            return status;
        if (gap.seen)
            most = fmax(most, gap.worst.gap);
    }
    figure[BT_FIGURE_LOCAL] = most;
    return BT_OK;
}

/* The figures of the face with everything above the level off. */
static enum bt_status figures_at(struct search *s, double level, double figure[],
                                 struct bt_error *err)
{
    enum bt_status status;

    for (size_t i = 0; i < s->in->face.n; i++)
        s->cut[i] = fmin(s->rest[i], level);
    for (int k = 0; k < BT_FIGURE_COUNT; k++)
        figure[k] = NAN;
    status = form_figures(s, figure, err);
    if (status == BT_OK)
        status = zone_figure(s, figure, err);
    if (status == BT_OK)
        status = local_figure(s, figure, err);
    for (int k = 0; k < BT_FIGURE_COUNT; k++)
        if (!asked(s->in, (enum bt_figure)k))
            figure[k] = NAN;
    return status;
}

static bool holds(const struct bt_high_spots_request *in, const double figure[])
{
    for (int k = 0; k < BT_FIGURE_COUNT; k++)
        if (asked(in, (enum bt_figure)k) && !(fabs(figure[k]) <= in->aim[k]))
            return false;
    return true;
}

/* The highest level that holds, and its figures. */
static enum bt_status find_level(struct search *s, double *level, double figure[],
                                 struct bt_error *err)
{
    double low = HUGE_VAL, high = -HUGE_VAL, fails, step = s->in->step;
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < s->in->face.n; i++) {
        low = fmin(low, s->rest[i]);
        high = fmax(high, s->rest[i]);
    }
    if (!(step > 0.0))
        step = (high - low) / FINEST;
    fails = high;
    for (int k = 0; k <= LEVELS; k++) {
        *level = k == LEVELS ? low : high - (high - low) * k / LEVELS;
        status = figures_at(s, *level, figure, err);
        if (status != BT_OK || holds(s->in, figure))
            break;
        fails = *level;
    }
    while (status == BT_OK && fails - *level > step) {
        const double middle = (fails + *level) / 2.0;

        /* A step below what the numbers resolve. */
        if (!(middle > *level && middle < fails))
            break;
        status = figures_at(s, middle, figure, err);
        if (holds(s->in, figure))
            *level = middle;
        else
            fails = middle;
    }
    return status == BT_OK ? figures_at(s, *level, figure, err) : status;
}

/* What comes off on average, at a level. */
static double mean_at(const struct search *s, double level)
{
    const struct bt_removal_face *face = &s->in->face;
    double sum = 0.0, shares = 0.0;

    for (size_t i = 0; i < face->n; i++) {
        const double share = face->share ? face->share[i] : 1.0;

        sum += share * fmax(s->rest[i] - level, 0.0);
        shares += share;
    }
    return sum / shares;
}

static void take(const struct search *s, double level, struct bt_high_spots *out)
{
    const struct bt_removal_face *face = &s->in->face;
    double shares = 0.0;

    out->largest = out->touched = 0.0;
    out->highest = 0;
    for (size_t i = 0; i < face->n; i++) {
        const double share = face->share ? face->share[i] : 1.0;

        out->depth[i] = fmax(s->rest[i] - level, 0.0);
        shares += share;
        if (out->depth[i] > 0.0)
            out->touched += share;
        if (out->depth[i] > out->largest) {
            out->largest = out->depth[i];
            out->highest = i;
        }
    }
    out->touched /= shares;
    out->mean = mean_at(s, level);
    out->u = face->u ? face->u[out->highest] : NAN;
}

static enum bt_status reference_plane(const struct bt_removal_face *face,
                                      enum bt_high_spots_reference reference,
                                      struct bt_plane *plane, struct bt_error *err)
{
    struct bt_removal_cut cut;
    enum bt_status status;

    if (reference == BT_HIGH_SPOTS_MEAN)
        return bt_plane_fit(face->n, face->p, face->z, plane, NULL, err);
    status = reference == BT_HIGH_SPOTS_ZONE ? bt_removal_least_depth(face, &cut, err)
                                             : bt_removal_least_volume(face, &cut, err);
    if (status == BT_OK)
        *plane = cut.plane;
    return status;
}

/* The figures as they are must all be seen. */
static enum bt_status check_seen(const struct bt_high_spots_request *in,
                                 const double before[], struct bt_error *err)
{
    for (int k = 0; k < BT_FIGURE_COUNT; k++)
        if (asked(in, (enum bt_figure)k) && isnan(before[k]))
            return bt_error_set(err, BT_EINPUT, 0, 0, "the places do not show %s",
                                bt_figure_name((enum bt_figure)k));
    return BT_OK;
}

/* One direction of the level; kept where it removes less than what is there. */
static enum bt_status try_reference(struct search *s,
                                    enum bt_high_spots_reference reference,
                                    struct bt_high_spots *out, struct bt_error *err)
{
    const struct bt_removal_face *face = &s->in->face;
    struct bt_plane plane;
    double level, figure[BT_FIGURE_COUNT];
    enum bt_status status = reference_plane(face, reference, &plane, err);

    if (status != BT_OK)
        return status;
    for (size_t i = 0; i < face->n; i++)
        s->rest[i] = face->z[i] - plane_at(&plane, face->p[i]);
    if (reference == BT_HIGH_SPOTS_MEAN) {
        status = figures_at(s, HUGE_VAL, out->before, err);
        if (status == BT_OK)
            status = check_seen(s->in, out->before, err);
        out->needed = status == BT_OK && !holds(s->in, out->before);
        out->mean = HUGE_VAL;
    }
    if (status == BT_OK)
        status = find_level(s, &level, figure, err);
    if (status != BT_OK || !(mean_at(s, level) < out->mean))
        return status;
    take(s, level, out);
    memcpy(out->after, figure, sizeof figure);
    out->reference = reference;
    out->plane = plane;
    out->plane.a += level;
    return BT_OK;
}

static enum bt_status check(const struct bt_high_spots_request *in,
                            struct bt_error *err)
{
    const struct bt_rectangle *r = &in->rectangle;
    bool any = false;

    for (int k = 0; k < BT_FIGURE_COUNT; k++) {
        any = any || asked(in, (enum bt_figure)k);
        if (asked(in, (enum bt_figure)k) && !(in->aim[k] > 0.0 && isfinite(in->aim[k])))
            return bt_error_set(err, BT_EINPUT, 0, 0,
                                "the aim of %s is not a finite number above 0",
                                bt_figure_name((enum bt_figure)k));
    }
    if (!any)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no figure is to come down");
    if (!(r->x1 - r->x0 > 0.0) || !(r->y1 - r->y0 > 0.0) || !isfinite(r->x1 - r->x0) ||
        !isfinite(r->y1 - r->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the rectangle has no area");
    if (asked(in, BT_FIGURE_LOCAL) &&
        !(in->local_span > 0.0 && isfinite(in->local_span)))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the span of the straightedge is not a finite number "
                            "above 0");
    return removal_check(&in->face, "", err);
}

enum bt_status bt_high_spots_find(const struct bt_high_spots_request *request,
                                  struct bt_high_spots *out, struct bt_error *err)
{
    const size_t n = request->face.n;
    struct search s = {.in = request};
    struct bt_high_spots made;
    enum bt_status status = check(request, err);

    memset(&made, 0, sizeof made);
    if (status != BT_OK)
        return status;
    s.rest = bt_alloc(n, sizeof *s.rest);
    s.cut = bt_alloc(n, sizeof *s.cut);
    made.depth = bt_alloc(n, sizeof *made.depth);
    if (!s.rest || !s.cut || !made.depth)
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "no memory for the high spots");
    for (int k = 0; k < BT_HIGH_SPOTS_REFERENCES && status == BT_OK; k++) {
        status = try_reference(&s, (enum bt_high_spots_reference)k, &made, err);
        if (!made.needed)
            break;
    }
    bt_free(s.rest);
    bt_free(s.cut);
    if (status == BT_OK)
        *out = made;
    else
        bt_free(made.depth);
    return status;
}
