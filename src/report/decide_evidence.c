/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/decide_evidence.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/form_parts.h"
#include "benchtrue/wood/moisture.h"
#include "report/decide_causes.h"
#include "report/joint_wood.h"
#include "report/trend_fits.h"

/* The curve of moisture in air may be a point off for a given wood (wood/moisture.h).
 */
static const double u_of_air = 1;

/* ---- a figure of this set and of another, with what they share ---- */

static double pick(const struct bt_form_values *v, enum bt_figure figure)
{
    return figure == BT_FIGURE_CUP   ? v->cup
           : figure == BT_FIGURE_BOW ? v->bow
                                     : v->twist;
}

static const struct bt_measured *figure_of(const struct bt_form *form,
                                           enum bt_figure figure)
{
    return figure == BT_FIGURE_CUP   ? &form->cup
           : figure == BT_FIGURE_BOW ? &form->bow
                                     : &form->twist;
}

/* Parts of another set, own weight taken off as in the one decided by.  Its rectangle
 * is that one's, but of the other face, where front is back.  Not seen: no fault. */
static enum bt_status read_parts(const struct bt_decide_answer *a,
                                 const struct bt_set *s, struct bt_form_parts *parts)
{
    struct bt_own_weight weight;
    struct bt_flatness f;
    enum bt_status status = bt_own_weight_find(a->job, s, &weight, NULL);
    const struct bt_flatness_options options = {.length = a->job->panel.length,
                                                .width = a->job->panel.width,
                                                .one_reference = s->one_reference,
                                                .sag = weight.sag,
                                                .sag_u = weight.u};

    memset(&f, 0, sizeof f);
    if (status == BT_OK)
        status = bt_flatness_evaluate(&s->readings, &options, &f, NULL);
    if (status == BT_OK)
        status = bt_form_parts_find(f.all, &f,
                                    s->face == a->set->face
                                        ? &a->result.flatness.form.rectangle
                                        : &f.form.rectangle,
                                    parts, NULL);
    bt_flatness_clear(&f);
    bt_own_weight_clear(&weight);
    return status;
}

static enum bt_status read_mine(const struct bt_decide_answer *a,
                                struct bt_form_parts *parts)
{
    const struct bt_flatness *f = &a->result.flatness;

    return bt_form_parts_find(f->all, f, &f->form.rectangle, parts, NULL);
}

/* Its sign turned where `turned`; misfit: other places, so finer shapes count. */
static struct bt_trend_point point_of(const struct bt_form_parts *parts,
                                      enum bt_figure figure, bool turned, bool misfit)
{
    const double value = figure_of(&parts->form, figure)->value;
    const double finer = pick(&parts->misfit, figure);
    struct bt_trend_point p = {.value = turned ? -value : value,
                               .own = pick(&parts->own, figure)};

    if (misfit && !isnan(finer))
        p.own = hypot(p.own, finer);
    return p;
}

/* What one u of an error that all readings with an instrument share does to it: the
 * entry of that instrument, nshare where there is none. */
static size_t share_of(const struct bt_form_parts *parts, int instrument)
{
    size_t k = 0;

    while (k < parts->nshare && parts->share[k].instrument != instrument)
        k++;
    return k;
}

static double effect_of(const struct bt_form_parts *parts, enum bt_figure figure,
                        int instrument)
{
    const size_t k = share_of(parts, instrument);

    return k < parts->nshare ? pick(&parts->share[k].effect, figure) : 0;
}

/*
 * to less from, from with its sign turned where `turned`.  An error of an instrument
 * that both were read with counts by what it does to the difference, once.
 */
static enum bt_status compare(const struct bt_form_parts *from,
                              const struct bt_form_parts *to, enum bt_figure figure,
                              bool turned, bool misfit, struct bt_measured *out)
{
    const size_t most = from->nshare + to->nshare;
    struct bt_trend_point p = point_of(from, figure, turned, misfit);
    struct bt_trend_point q = point_of(to, figure, false, misfit);
    double *shared = bt_alloc(2 * most, sizeof *shared);

    if (!shared)
        return BT_ENOMEM;
    for (size_t k = 0; k < most; k++) {
        const struct bt_form_share *s =
            k < from->nshare ? &from->share[k] : &to->share[k - from->nshare];
        const bool again =
            k >= from->nshare && share_of(from, s->instrument) < from->nshare;
        const double of_from = again ? 0 : effect_of(from, figure, s->instrument);

        shared[k] = turned ? -of_from : of_from;
        shared[most + k] = again ? 0 : effect_of(to, figure, s->instrument);
    }
    p.shared = shared;
    q.shared = shared + most;
    *out = bt_trend_change(&p, &q, most);
    bt_free(shared);
    return BT_OK;
}

/* ---- which set ---- */

static bool has_reading(const struct bt_set *s)
{
    return s->readings.nobs > 0 || s->readings.scan;
}

/* The latest on the same face with the clamps on, not after this one. */
static const struct bt_set *find_clamped(const struct bt_decide_answer *a)
{
    const struct bt_set *found = NULL;

    if (a->set->clamps != 0)
        return NULL;
    for (size_t i = 0; i < a->job->nset; i++) {
        const struct bt_set *s = &a->job->set[i];

        if (s == a->set || s->clamps != 1 || s->face != a->set->face ||
            strcmp(s->date, a->set->date) > 0 || !has_reading(s))
            continue;
        if (!found || strcmp(s->date, found->date) >= 0)
            found = s;
    }
    return found;
}

/* The last of the other face on the same day, the clamps as here: on another day it may
 * have moved. */
static const struct bt_set *find_other(const struct bt_decide_answer *a)
{
    const struct bt_set *found = NULL;

    for (size_t i = 0; i < a->job->nset; i++) {
        const struct bt_set *s = &a->job->set[i];

        if (s->face != a->set->face && strcmp(s->date, a->set->date) == 0 &&
            s->clamps == a->set->clamps && has_reading(s))
            found = s;
    }
    return found;
}

/* ---- clamps, the other face ---- */

static enum bt_status find_eased(struct bt_decide_answer *a,
                                 const struct bt_form_parts *mine)
{
    const enum bt_figure figure = bt_decide_figure(&a->result);
    const struct bt_set *s = find_clamped(a);
    struct bt_form_parts on = {0};
    struct bt_measured eased;
    enum bt_status status;

    if (!s)
        return BT_OK;
    status = read_parts(a, s, &on);
    if (status == BT_OK)
        status = compare(
            mine, &on, figure, false,
            !bt_trend_same_places(&a->set->readings, &s->readings, a->job->same_point),
            &eased);
    if (status == BT_OK && eased.seen) {
        a->clamped = s;
        a->evidence.clamped = figure_of(&on.form, figure)->value;
        a->evidence.eased = eased;
    }
    bt_form_parts_clear(&on);
    return status;
}

static enum bt_status find_other_face(struct bt_decide_answer *a,
                                      const struct bt_form_parts *mine)
{
    const struct bt_set *s = find_other(a);
    struct bt_form_parts parts = {0};
    struct bt_measured sum;
    enum bt_status status;

    if (!s)
        return BT_OK;
    status = read_parts(a, s, &parts);
    if (status == BT_OK)
        status = compare(mine, &parts, BT_FIGURE_CUP, true, true, &sum);
    if (status == BT_OK && sum.seen) {
        const double u = a->evidence.cup.u;

        a->evidence.other = (struct bt_measured){
            parts.form.cup.value, sqrt(fmax(sum.u * sum.u - u * u, 0)), true};
    }
    bt_form_parts_clear(&parts);
    return status;
}

/* ---- moisture ---- */

/* Midway between the rings' two directions, for boards are cut anyhow; half the
 * difference over sqrt(3) in u, as for the stiffness across the grain. */
static enum bt_status find_damp(struct bt_decide_answer *a)
{
    const struct bt_rectangle *box = &a->result.flatness.form.rectangle;
    const bool bottom = a->set->face == BT_FACE_BOTTOM;
    const double top = a->set->moisture_top, under = a->set->moisture_bottom;
    struct bt_wood wood;
    enum bt_status status;

    if (isnan(top) || isnan(under))
        return BT_OK;
    status = bt_joint_wood(a->job, a->job->nboard, &wood, NULL);
    if (status == BT_OK) {
        const double t = wood.c_tangential.value, r = wood.c_radial.value;
        const double c = isnan(r) ? t : (t + r) / 2;
        const double spread = isnan(r) ? 0 : fabs(t - r) / (2 * sqrt(3));

        a->evidence.damp = bt_cause_damp_cup(
            c, hypot(wood.c_tangential.u, spread), bottom ? under : top,
            bottom ? top : under, box->y1 - box->y0, a->job->panel.thickness);
    }
    return status == BT_ENOMEM ? status : BT_OK;
}

/* On a flat bench the face that was read has the air alone. */
static void find_lay(struct bt_decide_answer *a)
{
    const struct bt_set *s = a->set;
    double air;

    if (s->lying.lying != BT_LYING_FLAT_BENCH || isnan(s->moisture) ||
        bt_moisture_of_air(s->temperature, s->humidity, &air, NULL) != BT_OK)
        return;
    if (fabs(s->moisture - air) > u_of_air)
        a->evidence.lay = s->moisture > air ? -1 : 1;
}

enum bt_status bt_decide_evidence_find(struct bt_decide_answer *a)
{
    struct bt_form_parts mine = {0};
    enum bt_status status = BT_OK;

    find_lay(a);
    status = find_damp(a);
    if (status == BT_OK && (find_clamped(a) || find_other(a))) {
        status = read_mine(a, &mine);
        if (status == BT_OK)
            status = find_eased(a, &mine);
        if (status != BT_ENOMEM)
            status = find_other_face(a, &mine);
        bt_form_parts_clear(&mine);
    }
    return status == BT_ENOMEM ? status : BT_OK;
}
