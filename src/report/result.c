/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/result.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* The u of a figure is taken apart under the number of its limit. */
_Static_assert((int)BT_DOUBT_CUP == BT_FIGURE_CUP &&
                   (int)BT_DOUBT_BOW == BT_FIGURE_BOW &&
                   (int)BT_DOUBT_TWIST == BT_FIGURE_TWIST &&
                   (int)BT_DOUBT_RANGE == BT_FIGURE_RANGE &&
                   (int)BT_DOUBT_ZONE == BT_FIGURE_ZONE &&
                   (int)BT_DOUBT_LOCAL == BT_FIGURE_LOCAL &&
                   (int)BT_DOUBTS == BT_FIGURE_COUNT,
               "one order of figures");

const struct bt_measured *bt_set_figure(const struct bt_set_result *result,
                                        enum bt_figure figure)
{
    switch (figure) {
    case BT_FIGURE_CUP:
        return &result->flatness.form.cup;
    case BT_FIGURE_BOW:
        return &result->flatness.form.bow;
    case BT_FIGURE_TWIST:
        return &result->flatness.form.twist;
    case BT_FIGURE_ZONE:
        return &result->extremes.width;
    case BT_FIGURE_LOCAL:
        return &result->local;
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    return &result->flatness.residual.range;
}

const struct bt_judgement *bt_set_judgement(const struct bt_set_result *result,
                                            enum bt_figure figure)
{
    for (size_t i = 0; i < result->njudgement; i++)
        if (result->judgement[i].figure == figure)
            return &result->judgement[i];
    return NULL;
}

const struct bt_sure *bt_set_sure(const struct bt_set_result *result,
                                  enum bt_figure figure)
{
    switch (figure) {
    case BT_FIGURE_RANGE:
        return &result->extremes.range_sure;
    case BT_FIGURE_ZONE:
        return &result->extremes.width_sure;
    case BT_FIGURE_LOCAL:
        return &result->local_sure;
    case BT_FIGURE_CUP:
    case BT_FIGURE_BOW:
    case BT_FIGURE_TWIST:
    case BT_FIGURE_COUNT:
        break;
    }
    return NULL;
}

bool bt_set_draws_enough(const struct bt_set_result *result, const struct bt_sure *sure)
{
    return !sure->draws ||
           sure->draws >= bt_draws_enough(result->job->limits.confidence);
}

/* A largest figure is not normal: its interval judges it, and there is no p. */
static struct bt_judgement judge(const struct bt_set_result *result,
                                 enum bt_figure figure)
{
    const struct bt_limits *limits = &result->job->limits;
    const struct bt_measured *m = bt_set_figure(result, figure);
    const struct bt_sure *sure = bt_set_sure(result, figure);
    struct bt_judgement j = bt_judge(figure, m->value, m->u, m->seen,
                                     limits->limit[figure], limits->confidence);

    if (sure && j.verdict != BT_NOT_SEEN) {
        j.p_within = j.risk_accepted = j.risk_rejected = NAN;
        j.verdict = bt_judge_interval(j.limit, sure->asked.lo, sure->asked.hi);
        j.guard = sure->asked.hi - j.value;
    }
    return j;
}

static void judge_all(struct bt_set_result *result)
{
    const struct bt_limits *limits = &result->job->limits;

    result->njudgement = 0;
    for (int i = 0; i < BT_FIGURE_COUNT; i++)
        if (!isnan(limits->limit[i]))
            result->judgement[result->njudgement++] = judge(result, (enum bt_figure)i);
}

/* ---- what is looked for beside the least-squares figures ---- */

static bool add_span(struct bt_set_result *r, double span)
{
    for (size_t i = 0; i < r->nspan; i++)
        if (fabs(r->span[i] - span) <= 1e-9 * span)
            return true;
    if (r->nspan == BT_SPANS_MAX)
        return false;
    r->span[r->nspan++] = span;
    return true;
}

/* That of the local limit first. */
static enum bt_status choose_spans(struct bt_set_result *r, size_t n,
                                   const double span[], struct bt_error *err)
{
    const struct bt_limits *limits = &r->job->limits;

    if (!isnan(limits->limit[BT_FIGURE_LOCAL]))
        add_span(r, limits->local_span);
    for (size_t i = 0; i < n; i++)
        if (!add_span(r, span[i]))
            return bt_error_set(err, BT_ECALL, 0, 0,
                                "at most %d lengths of a straightedge can be laid on",
                                (int)BT_SPANS_MAX);
    r->span_asked = r->nspan > 0;
    if (!r->nspan)
        add_span(r, r->job->system == BT_SYSTEM_IN ? 304.8 : 300);
    return BT_OK;
}

static enum bt_status choose_directions(struct bt_set_result *r, size_t n,
                                        const double direction[], struct bt_error *err)
{
    for (size_t i = 0; i < n; i++) {
        bool known = false;

        for (size_t k = 0; k < r->ndirection; k++)
            known |= fabs(r->direction[k] - direction[i]) <= 1e-9;
        if (known)
            continue;
        if (r->ndirection == BT_OBLIQUES_MAX)
            return bt_error_set(err, BT_ECALL, 0, 0,
                                "at most %d angles of a straightedge can be laid on",
                                (int)BT_OBLIQUES_MAX);
        r->direction[r->ndirection++] = direction[i];
    }
    return BT_OK;
}

/* The joints as they lay under the reading, ascending: turned over about its length a
 * panel shows them in reverse order. */
static size_t place_joints(const struct bt_set_result *r, double joint[])
{
    const struct bt_job *job = r->job;
    const struct bt_rectangle *box = &r->flatness.form.rectangle;
    const bool turned = r->set->face == BT_FACE_BOTTOM;
    size_t n = 0;

    for (size_t i = 0; i < job->njoint; i++) {
        double y = job->joint[turned ? job->njoint - 1 - i : i];

        y = bt_job_panel_y(job, r->set, y);
        if (y > box->y0 && y < box->y1)
            joint[n++] = y;
    }
    return n;
}

static enum bt_status find_extremes(struct bt_set_result *r,
                                    const struct bt_set_request *asked,
                                    struct bt_error *err)
{
    struct bt_extremes_request request = {.nspan = r->nspan,
                                          .ndirection = r->ndirection,
                                          .seed = asked->seed,
                                          .draws = asked->draws,
                                          .confidence = r->job->limits.confidence};
    double *joint = bt_alloc(r->job->njoint + 1, sizeof *joint);
    enum bt_status status;

    if (!joint)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    memcpy(request.span, r->span, sizeof request.span);
    memcpy(request.direction, r->direction, sizeof request.direction);
    request.njoint = place_joints(r, joint);
    request.joint = joint;
    status = bt_extremes_evaluate(&r->flatness, &request, &r->extremes, err);
    bt_free(joint);
    return status;
}

/* A gap that is over its limit stays so however little else was read; to be kept, a
 * limit asks for a look along and across. */
static void find_local(struct bt_set_result *r)
{
    const double limit = r->job->limits.limit[BT_FIGURE_LOCAL];
    const struct bt_edge_figure *worst = bt_extremes_worst(&r->extremes, r->span[0]);
    const struct bt_sure *sure = bt_extremes_sure(&r->extremes, r->span[0]);
    const bool both_ways = r->extremes.edge[BT_EDGE_ALONG].gap.seen &&
                           r->extremes.edge[BT_EDGE_ACROSS].gap.seen;

    r->local = (struct bt_measured){NAN, NAN, false};
    r->local_sure = (struct bt_sure){NAN, NAN, NAN, 0, {NAN, NAN}};
    if (worst && sure && (both_ways || sure->asked.lo > limit)) {
        r->local = worst->gap;
        r->local_sure = *sure;
    }
}

/* What the own weight did comes off the readings. */
static enum bt_status find_surface(struct bt_set_result *r, struct bt_error *err)
{
    const struct bt_job *job = r->job;
    enum bt_status status = bt_own_weight_find(job, r->set, &r->weight, err);
    const struct bt_flatness_options options = {.length = job->panel.length,
                                                .width = job->panel.width,
                                                .one_reference = r->set->one_reference,
                                                .sag = r->weight.sag,
                                                .sag_u = r->weight.u};

    if (status != BT_OK)
        return status;
    return bt_flatness_evaluate(&r->set->readings, &options, &r->flatness, err);
}

/* What the u of the zone and of the largest gap is made of. */
static enum bt_status find_doubts(struct bt_set_result *r, struct bt_error *err)
{
    const struct bt_edge_figure *worst = bt_extremes_worst(&r->extremes, r->span[0]);
    double *row;
    enum bt_status status;

    if (!r->flatness.net->inverse)
        return BT_OK;
    row = bt_alloc(r->flatness.net->npoint, sizeof *row);
    status = row ? BT_OK : BT_ENOMEM;
    if (status == BT_OK && r->extremes.zone_seen) {
        bt_extremes_zone_row(&r->flatness, &r->extremes, row);
        status = bt_flatness_doubt(&r->flatness, BT_DOUBT_ZONE, row);
    }
    if (status == BT_OK && worst && r->local.seen) {
        bt_extremes_gap_row(&r->flatness, worst, row);
        status = bt_flatness_doubt(&r->flatness, BT_DOUBT_LOCAL, row);
    }
    bt_free(row);
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

enum bt_status bt_set_evaluate(const struct bt_job *job, const struct bt_set *set,
                               const struct bt_set_request *request,
                               struct bt_set_result *out, struct bt_error *err)
{
    const struct bt_set_request nothing = {0};
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    out->set = set;
    if (!request)
        request = &nothing;
    status = choose_spans(out, request->nspan, request->span, err);
    if (status == BT_OK)
        status = choose_directions(out, request->ndirection, request->direction, err);
    if (status == BT_OK)
        status = find_surface(out, err);
    if (status == BT_OK)
        status = find_extremes(out, request, err);
    if (status == BT_OK) {
        find_local(out);
        judge_all(out);
        status = find_doubts(out, err);
    }
    return status;
}

void bt_set_result_clear(struct bt_set_result *result)
{
    if (!result)
        return;
    bt_extremes_clear(&result->extremes);
    bt_flatness_clear(&result->flatness);
    bt_own_weight_clear(&result->weight);
    memset(result, 0, sizeof *result);
}

/* How much a verdict counts for the set as a whole. */
static int weight(enum bt_verdict verdict)
{
    switch (verdict) {
    case BT_OVER:
        return 3;
    case BT_NOT_SEEN:
        return 2;
    case BT_TOO_CLOSE:
        return 1;
    case BT_WITHIN:
        break;
    }
    return 0;
}

bool bt_set_disagrees(const struct bt_set_result *result)
{
    static const double by_luck = 0.001;

    return result->flatness.agreement < by_luck; /* NaN: none checks another */
}

enum bt_verdict bt_set_verdict(const struct bt_set_result *result)
{
    enum bt_verdict worst = BT_WITHIN;

    for (size_t i = 0; i < result->njudgement; i++)
        if (weight(result->judgement[i].verdict) > weight(worst))
            worst = result->judgement[i].verdict;
    return worst == BT_WITHIN && result->njudgement && bt_set_disagrees(result)
               ? BT_TOO_CLOSE
               : worst;
}

const struct bt_source *bt_set_reading_source(const struct bt_set_result *result,
                                              size_t obs)
{
    return &result->set->source[bt_flatness_reading(&result->flatness, obs)];
}
