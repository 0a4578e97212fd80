/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/scan.h"
#include "judge/choices_ways.h"

static void take(struct bt_choice *c, enum bt_choice_form form,
                 const struct bt_measured *cup, const struct bt_measured *bow,
                 const struct bt_measured *twist)
{
    if (!cup->seen && !bow->seen && !twist->seen)
        return;
    c->form = form;
    c->cup = *cup;
    c->bow = *bow;
    c->twist = *twist;
}

/* Its u: that of the same figure before, and of the last shaving. */
static struct bt_measured planed(const struct bt_measured *after,
                                 const struct bt_measured *before, double shaving)
{
    struct bt_measured m = *after;

    if (!before->seen || !m.seen)
        return (struct bt_measured){NAN, NAN, false};
    m.u = hypot(before->u, shaving / sqrt(12));
    return m;
}

/* The same places, lower by what comes off. */
static enum bt_status take_planed(const struct bt_choices_request *r,
                                  const struct bt_choices *out, struct bt_choice *c)
{
    const double shaving = out->plan.shaving;
    struct bt_scan_figures found;
    struct bt_scan scan = {.n = r->face.n, .p = r->face.p, .u = 1};
    double *z = bt_alloc(r->face.n, sizeof *z);
    enum bt_status status;

    if (!z)
        return BT_ENOMEM;
    for (size_t i = 0; i < r->face.n; i++)
        z[i] = r->face.z[i] - out->spots.depth[i];
    scan.z = z;
    status = bt_scan_form(&scan, &r->rectangle, &found, NULL, NULL, NULL);
    bt_free(z);
    if (status == BT_OK) {
        const struct bt_measured cup = planed(&found.form.cup, &r->cup, shaving);
        const struct bt_measured bow = planed(&found.form.bow, &r->bow, shaving);
        const struct bt_measured twist = planed(&found.form.twist, &r->twist, shaving);

        take(c, BT_FORM_PLANED, &cup, &bow, &twist);
    }
    return status == BT_ENOMEM ? status : BT_OK;
}

/* What the fixings do not take hold of stays. */
static void take_pulled(const struct bt_choices_request *r, struct bt_choice *c)
{
    if (!c->cup.seen && !c->bow.seen && !c->twist.seen)
        return;
    c->form = BT_FORM_FIXINGS;
    c->cup = c->cup.seen ? c->cup : r->cup;
    c->bow = c->bow.seen ? c->bow : r->bow;
    c->twist = c->twist.seen ? c->twist : r->twist;
}

enum bt_status bt_choice_form_left(const struct bt_choices_request *r,
                                   const struct bt_choices *out, struct bt_choice *c,
                                   struct bt_error *err)
{
    const struct bt_measured flat = {0, NAN, true};

    switch (c->kind) {
    case BT_CHOICE_LEAVE:
        take(c, BT_FORM_AS_READ, &r->cup, &r->bow, &r->twist);
        break;
    case BT_CHOICE_WAIT:
        take(c, BT_FORM_AT_REST, &r->rest_cup, &r->rest_bow, &r->rest_twist);
        break;
    case BT_CHOICE_PULL:
        take_pulled(r, c);
        break;
    case BT_CHOICE_HIGH_SPOTS:
        if (out->spots_found && take_planed(r, out, c) != BT_OK)
            return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
        break;
    case BT_CHOICE_FLATTEN:
    case BT_CHOICE_ELSEWHERE:
    case BT_CHOICE_REGLUE:
        take(c, BT_FORM_MACHINE, &flat, &flat, &flat);
        break;
    case BT_CHOICES:
        break;
    }
    return BT_OK;
}
