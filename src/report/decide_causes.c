/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/decide_causes.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/ripple.h"
#include "report/decide_evidence.h"

static const struct bt_measured not_seen = {NAN, NAN, false};

static const enum bt_figure shapes[] = {BT_FIGURE_CUP, BT_FIGURE_BOW, BT_FIGURE_TWIST};
enum { SHAPES = sizeof shapes / sizeof *shapes };

enum bt_figure bt_decide_figure(const struct bt_set_result *result)
{
    const double *limit = result->job->limits.limit;
    enum bt_figure worst = BT_FIGURE_CUP;
    double most = -1;
    bool limited = false;

    for (int i = 0; i < SHAPES; i++)
        limited = limited || !isnan(limit[shapes[i]]);
    for (int i = 0; i < SHAPES; i++) {
        const struct bt_measured *m = bt_set_figure(result, shapes[i]);
        const double size = fabs(m->value) / (limited ? limit[shapes[i]] : 1);

        if (m->seen && size > most) {
            most = size;
            worst = shapes[i];
        }
    }
    return worst;
}

/* ---- fence ---- */

/* Kinks as the boards lie, show face up, in rad: of the bottom face order and sign
 * turn; two signs cancel in a covariance. */
static void turn_kinks(const struct bt_decide_answer *a, size_t n,
                       struct bt_measured kink[], double covariance[])
{
    const struct bt_facets *f = &a->result.extremes.facets;
    const bool bottom = a->set->face == BT_FACE_BOTTOM;
    const double rad = acos(-1) / 180;

    for (size_t i = 0; i < n; i++) {
        const size_t from = bottom ? n - 1 - i : i;
        const struct bt_measured *m = &f->kink[from].degree;

        kink[i] = (struct bt_measured){(bottom ? -rad : rad) * m->value, rad * m->u,
                                       m->seen && m->u > 0};
        for (size_t j = 0; j < n; j++)
            covariance[i * n + j] =
                rad * rad * f->covariance[from * n + (bottom ? n - 1 - j : j)];
    }
}

static enum bt_status read_panel(struct bt_decide_answer *a, struct bt_error *err)
{
    const size_t n = a->setup.nboard - 1;
    struct bt_panel_fence_request request = {.nboard = a->setup.nboard,
                                             .strip = a->setup.strip,
                                             .run = a->plan.run,
                                             .scatter = a->setup.errors.scatter,
                                             .u_taper = a->setup.errors.u_taper};
    struct bt_measured *kink = bt_alloc(n, sizeof *kink);
    double *covariance = bt_alloc(n, n * sizeof *covariance);
    enum bt_status status = kink && covariance ? BT_OK : BT_ENOMEM;

    if (status == BT_OK) {
        turn_kinks(a, n, kink, covariance);
        request.kink = kink;
        request.covariance = covariance;
        request.fence = a->setup.fence_read ? a->setup.fence.e : not_seen;
        status = bt_panel_fence_find(&request, &a->panel, err);
        a->panel_known = status == BT_OK && a->panel.e.seen;
    }
    bt_free(kink);
    bt_free(covariance);
    return status == BT_ENOMEM ? status : BT_OK;
}

static void compare_fence(struct bt_decide_answer *a)
{
    const struct bt_measured *panel = &a->panel.e, *fence = &a->setup.fence.e;

    a->evidence.panel_e = a->panel_known ? *panel : not_seen;
    a->evidence.fence_e = a->setup.fence_read ? *fence : not_seen;
    if (a->panel_known && a->setup.fence_read)
        a->panel_score = (panel->value - fence->value) / hypot(panel->u, fence->u);
}

static enum bt_status find_fence(struct bt_decide_answer *a, struct bt_error *err)
{
    struct bt_error own = {.code = BT_OK};
    enum bt_status status = bt_edge_setup_find(a->job, &a->setup, &own);

    if (status == BT_OK && a->setup.nboard >= 2 &&
        bt_edge_setup_boards(&a->setup, &own) == BT_OK)
        status = bt_edge_setup_plan(&a->setup, a->job, BT_PATTERNS, &a->plan, &own);
    if (status == BT_ENOMEM)
        return status;
    a->boards_known = status == BT_OK && a->plan.run != NULL;
    if (a->boards_known && a->result.extremes.facets.njoint == a->setup.nboard - 1) {
        status = read_panel(a, err);
        if (status != BT_OK)
            return status;
    }
    compare_fence(a);
    return BT_OK;
}

/* ---- rings ---- */

static bool alike(const char *a, const char *b)
{
    for (; *a && *b; a++, b++) {
        const char low = *a >= 'A' && *a <= 'Z' ? (char)(*a + 'a' - 'A') : *a;

        if (low != *b)
            return false;
    }
    return *a == *b;
}

/* Of the face read, crowned when the wood has dried: the bark side goes hollow.  0: not
 * stated. */
static int ring_sign(const struct bt_decide_answer *a, size_t board)
{
    const size_t n = a->job->nboard;
    const bool bottom = a->set->face == BT_FACE_BOTTOM;
    const char *rings = a->job->board[bottom ? n - 1 - board : board].rings;
    const int sign = !rings                      ? 0
                     : alike(rings, "bark up")   ? -1
                     : alike(rings, "bark down") ? 1
                                                 : 0;

    return bottom ? -sign : sign;
}

static enum bt_status fit_ripple(struct bt_decide_answer *a, const int sign[],
                                 struct bt_error *err)
{
    const struct bt_facets *f = &a->result.extremes.facets;
    double *joint = bt_alloc(f->njoint, sizeof *joint);
    struct bt_ripple ripple = {.ahead = NAN};
    enum bt_status status = joint ? BT_OK : BT_ENOMEM;

    for (size_t j = 0; joint && j < f->njoint; j++)
        joint[j] = f->kink[j].y;
    if (joint)
        status = bt_ripple_fit(a->result.flatness.net, f->njoint, joint, sign,
                               &a->result.flatness.form.rectangle, &ripple, err);
    a->evidence.ripple = ripple.ahead;
    bt_free(joint);
    return status == BT_ENOMEM ? status : BT_OK;
}

static enum bt_status find_rings(struct bt_decide_answer *a, struct bt_error *err)
{
    const size_t n = a->job->nboard;
    size_t known = 0, up = 0;
    enum bt_status status = BT_OK;
    int *sign;

    if (n < 2 || a->result.extremes.facets.njoint != n - 1)
        return BT_OK;
    sign = bt_alloc(n, sizeof *sign);
    if (!sign)
        return BT_ENOMEM;
    for (size_t b = 0; b < n; b++) {
        sign[b] = ring_sign(a, b);
        known += sign[b] != 0;
        up += sign[b] > 0;
    }
    a->evidence.rings_one_way = known == n && (up == 0 || up == n);
    if (known == n && !a->evidence.rings_one_way)
        status = fit_ripple(a, sign, err);
    bt_free(sign);
    return status;
}

/* ---- own weight, movement ---- */

/* What was taken off the bow for it, and the bow before. */
static void find_sag(struct bt_decide_answer *a)
{
    const struct bt_flatness *f = &a->result.flatness;
    const struct bt_measured *bow = &f->form.bow;

    if (a->set->lying.lying == BT_LYING_FLAT_BENCH ||
        a->set->lying.lying == BT_LYING_ON_EDGE)
        a->evidence.sag = (struct bt_measured){0, 0, true};
    for (size_t i = 0; i < f->ncorrection && bow->seen; i++) {
        const struct bt_correction *c = &f->correction[i];
        const double share = c->share[BT_DOUBT_BOW];

        if (c->kind != BT_CORRECTION_WEIGHT || !c->seen)
            continue;
        a->evidence.sag =
            (struct bt_measured){-c->change[BT_DOUBT_BOW], fabs(share), true};
        a->evidence.lying =
            (struct bt_measured){bow->value - c->change[BT_DOUBT_BOW],
                                 sqrt(fmax(0, bow->u * bow->u - share * share)), true};
    }
}

/* The figure that changed most by its u. */
static void find_change(struct bt_decide_answer *a)
{
    double most = -1;

    a->evidence.moving = BT_TREND_NOT_SEEN;
    if (!a->trend_known)
        return;
    a->evidence.moving = a->trend.verdict;
    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_line *line = &a->trend.line[i];
        const double score = fabs(line->change.value) / line->change.u;

        if (line->change.seen && score > most) {
            most = score;
            a->evidence.change = line->change;
            a->evidence.matters = line->matters;
        }
    }
}

enum bt_status bt_decide_causes_find(struct bt_decide_answer *a, struct bt_error *err)
{
    const struct bt_form *form = &a->result.flatness.form;
    enum bt_status status;

    a->panel_score = NAN;
    a->evidence = (struct bt_cause_evidence){
        .cup = form->cup,
        .bow = form->bow,
        .twist = form->twist,
        .weight_faceted = a->result.extremes.facets.weight_faceted,
        .panel_e = not_seen,
        .fence_e = not_seen,
        .ripple = NAN,
        .eased = not_seen,
        .clamped = NAN,
        .lying = not_seen,
        .sag = not_seen,
        .damp = not_seen,
        .other = not_seen,
        .change = not_seen,
        .matters = NAN};
    if (a->result.extremes.facets.njoint == 0)
        a->evidence.weight_faceted = NAN;
    status = find_fence(a, err);
    if (status == BT_OK)
        status = find_rings(a, err);
    if (status == BT_OK)
        status = bt_decide_evidence_find(a);
    if (status == BT_OK) {
        find_sag(a);
        find_change(a);
        bt_causes_score(&a->evidence, &a->causes);
    }
    return status;
}
