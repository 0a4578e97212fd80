/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/fence_next.h"

#include <math.h>

/*
 * Usual checks, for kinds of which none was typed.  Common practice, no source: feelers
 * in steps of 0.05 mm, so that a gap is known to 0.05/sqrt(12); 100 mm of blade or of
 * offcut; a square good to 0.01 mm in 100; a gauge that shows tenths of a degree.
 */
#define USUAL_GAP (0.05 / 3.4641016151377544)
#define USUAL_REACH 100.0
#define USUAL_SQUARE 1e-4
#define USUAL_TENTH (0.1 * 0.017453292519943295 / 3.4641016151377544)

#define RIGHT_ANGLE 1.5707963267948966

/* Beyond rounding better, so that equals keep their order. */
#define BETTER 1e-9

static struct bt_fence_check usual_check(enum bt_fence_kind kind)
{
    struct bt_fence_check check = {.kind = kind,
                                   .station = NAN,
                                   .u_gap = USUAL_GAP,
                                   .height = USUAL_REACH,
                                   .width = USUAL_REACH,
                                   .width2 = USUAL_REACH,
                                   .reading = RIGHT_ANGLE,
                                   .turned = NAN,
                                   .u_reading = USUAL_TENTH,
                                   .u_own = USUAL_SQUARE,
                                   .instrument = -1};
    return check;
}

/* What the list is ordered by. */
static double typed_u(const struct bt_fence_check *check)
{
    double e, u;

    if (check->kind == BT_FENCE_DOUBLED)
        return check->u_gap;
    if (check->kind == BT_FENCE_ANGLE)
        return check->u_reading;
    bt_fence_check_error(check, &e, &u);
    return u;
}

/* The check of that kind whose u is the median (the lower of two), found without
 * sorting: the one with as many below it as that takes.  NULL where there is none. */
static const struct bt_fence_check *median_check(const struct bt_fence_request *request,
                                                 enum bt_fence_kind kind, size_t count)
{
    for (size_t i = 0; i < request->ncheck && count > 0; i++) {
        const struct bt_fence_check *check = &request->check[i];
        double u = typed_u(check);
        size_t before = 0;

        if (check->kind != kind)
            continue;
        for (size_t j = 0; j < request->ncheck; j++) {
            const struct bt_fence_check *other = &request->check[j];
            double v = typed_u(other);
            before += other->kind == kind && (v < u || (v <= u && j < i));
        }
        if (before == (count - 1) / 2)
            return check;
    }
    return NULL;
}

/* One more check of that kind as a row, without its place. */
static struct bt_fence_row next_row(const struct bt_fence_request *request,
                                    enum bt_fence_kind kind, size_t count)
{
    const struct bt_fence_check *typed = median_check(request, kind, count);
    struct bt_fence_check check = typed ? *typed : usual_check(kind);
    struct bt_fence_row row = {.instrument = -1};
    double e;

    if (kind == BT_FENCE_DOUBLED)
        check.gap = 0.0, check.width = check.width2 = USUAL_REACH;
    if (kind == BT_FENCE_ANGLE)
        check.turned = check.reading;
    bt_fence_check_error(&check, &e, &row.u);
    if (kind == BT_FENCE_SQUARE) {
        row.own = check.u_own;
        row.instrument = check.instrument;
    }
    return row;
}

/* Where on the fence the nearest station is furthest away; NaN where that is not
 * known. */
static double widest_unread(const struct bt_fence_request *request,
                            const struct bt_fence_result *result)
{
    double place = NAN, distance = 0.0, before = NAN;

    for (size_t s = 0; s < result->nstation; s++) {
        double at = result->station[s].station;

        if (isnan(at))
            continue;
        if (isnan(before) && !isnan(request->length) && at > distance) {
            distance = at;
            place = 0.0;
        } else if ((at - before) / 2.0 > distance) {
            distance = (at - before) / 2.0;
            place = before + distance;
        }
        before = at;
    }
    if (request->length - before > distance)
        place = request->length;
    return place;
}

/* The station that a check at that place belongs to, or a new one.  NaN: at no station
 * that is known. */
static size_t station_at(const struct bt_fence_request *request,
                         const struct bt_fence_result *result, double place)
{
    for (size_t s = 0; s < result->nstation; s++)
        if (fabs(result->station[s].station - place) < request->same_station)
            return s;
    return result->nstation;
}

/* At the cutter, where checks without a station are too. */
static size_t station_of_cutter(const struct bt_fence_request *request,
                                const struct bt_fence_result *result, double cutter)
{
    size_t s = station_at(request, result, cutter), last = result->nstation - 1;

    return s > last && isnan(result->station[last].station) ? last : s;
}

bool bt_fence_next(const struct bt_fence_request *request,
                   const struct bt_fence_model *model, struct bt_fence_row row[],
                   double tau2, double enlarge, double cutter,
                   struct bt_fence_room *room, struct bt_fence_result *result)
{
    /* in the order in which equals are preferred: a new place tells of twist too */
    static const struct {
        enum bt_fence_kind kind;
        bool at_cutter;
    } list[] = {{BT_FENCE_SQUARE, false},
                {BT_FENCE_ANGLE, false},
                {BT_FENCE_DOUBLED, true},
                {BT_FENCE_SQUARE, true},
                {BT_FENCE_ANGLE, true}};
    double unread = widest_unread(request, result);
    struct bt_fence_model more = *model;

    more.n = model->n + 1;
    more.row = row;
    result->next_u = INFINITY;
    for (size_t k = 0; k < sizeof list / sizeof *list; k++) {
        enum bt_fence_kind kind = list[k].kind;
        double place = list[k].at_cutter ? cutter : unread, u;
        struct bt_fence_fit fit;

        row[model->n] = next_row(request, kind, result->kind[kind].count);
        row[model->n].station = list[k].at_cutter
                                    ? station_of_cutter(request, result, cutter)
                                    : station_at(request, result, place);
        if (!isnan(place) && !isnan(cutter))
            row[model->n].lever = place - cutter;
        if (!bt_fence_fit(&more, tau2, room, &fit))
            return false;
        u = sqrt(fit.var_e * enlarge);
        if (u < result->next_u * (1.0 - BETTER)) {
            result->next_kind = kind;
            result->next_station = place;
            result->next_u = u;
        }
    }
    return true;
}
