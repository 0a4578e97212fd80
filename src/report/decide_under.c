/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/decide_under.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

struct bt_removal_face bt_decide_under_face(const struct bt_decide_answer *a)
{
    return (struct bt_removal_face){
        .n = a->under.n, .p = a->under.p, .z = a->under.z, .u = a->under.u};
}

/* Places as the face that was read lay; u where it is not typed. */
static struct bt_thickness_reading *take_readings(const struct bt_decide_answer *a)
{
    const struct bt_job *job = a->job;
    struct bt_thickness_reading *out = bt_alloc(job->nthickness, sizeof *out);

    for (size_t i = 0; out && i < job->nthickness; i++) {
        const struct bt_thickness_place *t = &job->thickness[i];

        out[i] = (struct bt_thickness_reading){
            .at = {t->x,
                   a->set->face == BT_FACE_BOTTOM ? job->panel.width - t->y : t->y},
            .thickness = t->thickness,
            .u = isnan(t->u) ? BT_ASSUMED_U_THICKNESS : t->u};
    }
    return out;
}

/* The latest with readings on the other face. */
static const struct bt_set *find_other(const struct bt_decide_answer *a)
{
    const struct bt_set *found = NULL;

    for (size_t i = 0; i < a->job->nset; i++) {
        const struct bt_set *s = &a->job->set[i];

        if (s->face == a->set->face || (s->readings.nobs == 0 && !s->readings.scan))
            continue;
        if (!found || strcmp(s->date, found->date) >= 0)
            found = s;
    }
    return found;
}

static enum bt_status turn(struct bt_decide_answer *a, const struct bt_set *other,
                           const struct bt_removal_face *top,
                           const struct bt_thickness_reading reading[])
{
    struct bt_set_result r = {0};
    enum bt_status status = bt_set_evaluate(a->job, other, NULL, &r, NULL);

    if (status == BT_OK) {
        const struct bt_removal_face face = {.n = r.flatness.used->npoint,
                                             .p = r.flatness.used->point,
                                             .z = r.flatness.z,
                                             .u = r.flatness.u};

        status = bt_removal_turned(top, &face, a->job->panel.width, a->job->nthickness,
                                   reading, a->job->same_point, &a->under, NULL);
        if (status == BT_OK)
            a->other = other;
    }
    bt_set_result_clear(&r);
    return status;
}

/* Whether it makes a face that the top can be cut parallel to. */
static enum bt_status try_it(struct bt_decide_answer *a,
                             const struct bt_removal_face *top)
{
    const struct bt_removal_face under = bt_decide_under_face(a);
    struct bt_removal_pair pair;
    const enum bt_status status = bt_removal_parallel(top, &under, &pair, NULL);

    a->under_known = status == BT_OK;
    return status == BT_ENOMEM ? status : BT_OK;
}

enum bt_status bt_decide_under_find(struct bt_decide_answer *a)
{
    const struct bt_removal_face top = {
        .n = a->nface, .p = a->place, .z = a->height, .u = a->u_height};
    const struct bt_set *other = find_other(a);
    struct bt_thickness_reading *reading;
    enum bt_status status = BT_EINPUT;

    if (a->nface == 0 || a->job->nthickness < 3)
        return BT_OK;
    reading = take_readings(a);
    if (!reading)
        return BT_ENOMEM;
    if (other)
        status = turn(a, other, &top, reading);
    if (status != BT_OK && status != BT_ENOMEM)
        status = bt_removal_underside(&top, a->job->nthickness, reading,
                                      a->job->same_point, &a->under, NULL);
    if (status == BT_OK)
        status = try_it(a, &top);
    bt_free(reading);
    return status == BT_ENOMEM ? status : BT_OK;
}
