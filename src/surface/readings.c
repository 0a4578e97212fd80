/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/readings.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

static struct bt_obs blank(enum bt_reading_kind kind, int group, double value)
{
    struct bt_obs obs;

    memset(&obs, 0, sizeof obs);
    obs.kind = kind;
    obs.group = group;
    obs.value = value;
    return obs;
}

static void add_height(struct bt_obs *obs, size_t point, double coef)
{
    obs->point[obs->npoint] = point;
    obs->coef[obs->npoint] = coef;
    obs->npoint++;
}

static enum bt_status not_finite(struct bt_error *err)
{
    return bt_error_set(err, BT_EINPUT, 0, 0, "a reading or its place is not finite");
}

enum bt_status bt_obs_gap(struct bt_obs *obs, size_t point, int group, double s,
                          double length, double gap, struct bt_error *err)
{
    struct bt_obs o = blank(BT_READ_GAP, group, gap);

    if (!isfinite(s) || !isfinite(gap))
        return not_finite(err);
    if (!(length > 0) || !isfinite(length))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the line has no length");
    add_height(&o, point, -1);
    o.basis[0] = 1;
    o.basis[1] = s;
    o.edge = 2 * s / length - 1;
    *obs = o;
    return BT_OK;
}

enum bt_status bt_obs_height(struct bt_obs *obs, enum bt_reading_kind kind,
                             const struct bt_point p[], size_t point, int group,
                             int dim, double height, struct bt_error *err)
{
    struct bt_obs o = blank(kind, group, height);
    const double plane[3] = {1, p[point].x, p[point].y};

    if (!isfinite(height) || !isfinite(p[point].x) || !isfinite(p[point].y))
        return not_finite(err);
    add_height(&o, point, 1);
    for (int k = 0; k < 3; k++) {
        o.plane[k] = plane[k];
        if (k < dim)
            o.basis[k] = plane[k];
    }
    *obs = o;
    return BT_OK;
}

enum bt_status bt_obs_bar(struct bt_obs *obs, const struct bt_point p[], size_t foot1,
                          size_t dial, size_t foot2, int group, double rise,
                          struct bt_error *err)
{
    struct bt_obs o = blank(BT_READ_BAR, group, rise);
    const double dx = p[foot2].x - p[foot1].x, dy = p[foot2].y - p[foot1].y;
    const double span2 = dx * dx + dy * dy;
    double t;

    if (!isfinite(rise) || !isfinite(span2))
        return not_finite(err);
    if (!(span2 > 0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "both feet stand on one place");
    t = ((p[dial].x - p[foot1].x) * dx + (p[dial].y - p[foot1].y) * dy) / span2;
    if (!isfinite(t))
        return not_finite(err);
    if (!(t > 0) || !(t < 1))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the dial does not stand between the feet");
    add_height(&o, foot1, t - 1);
    add_height(&o, dial, 1);
    add_height(&o, foot2, -t);
    o.basis[0] = group == BT_NO_GROUP ? 0 : 1;
    *obs = o;
    return BT_OK;
}

enum bt_status bt_obs_slope(struct bt_obs *obs, const struct bt_point p[],
                            size_t point1, size_t point2, int group, double slope,
                            struct bt_error *err)
{
    struct bt_obs o = blank(BT_READ_SLOPE, group, slope);
    const double dx = p[point2].x - p[point1].x, dy = p[point2].y - p[point1].y;
    const double d = hypot(dx, dy);

    if (!isfinite(slope) || !isfinite(d))
        return not_finite(err);
    if (!(d > 0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "both ends stand on one place");
    add_height(&o, point1, -1 / d);
    add_height(&o, point2, 1 / d);
    o.plane[1] = dx / d;
    o.plane[2] = dy / d;
    o.basis[0] = group == BT_NO_GROUP ? 0 : 1;
    *obs = o;
    return BT_OK;
}

enum bt_status bt_obs_wind(struct bt_obs *obs, const struct bt_point p[],
                           const size_t point[4], double stick, double wind,
                           struct bt_error *err)
{
    static const double sign[4] = {1, -1, -1, 1};
    struct bt_obs o = blank(BT_READ_WIND, BT_NO_GROUP, wind);
    const double across = p[point[1]].y - p[point[0]].y;
    const double along = p[point[2]].x - p[point[0]].x;

    if (!isfinite(wind) || !isfinite(across) || !isfinite(along))
        return not_finite(err);
    if (!(fabs(across) > 0) || !(fabs(along) > 0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the sticks stand on one place");
    if (!(stick > 0) || !isfinite(stick))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the stick has no length");
    for (int k = 0; k < 4; k++)
        add_height(&o, point[k], sign[k] * stick / across);
    *obs = o;
    return BT_OK;
}

const char *bt_reading_kind_name(enum bt_reading_kind kind)
{
    static const char *const names[BT_READ_KINDS] = {"height", "gap",  "bar",
                                                     "slope",  "wind", "scan"};
    return (unsigned)kind < BT_READ_KINDS ? names[kind] : "?";
}

void bt_readings_clear(struct bt_readings *readings)
{
    if (!readings)
        return;
    bt_free(readings->point);
    bt_free(readings->obs);
    bt_free(readings->group);
    bt_free(readings->scan);
    bt_free(readings->sag);
    memset(readings, 0, sizeof *readings);
}
