/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/measure_result.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/judge/sag.h"
#include "benchtrue/report/result.h"
#include "benchtrue/wood/wood.h"
#include "report/words.h"

/* ---- instruments ---- */

static double stated_u(const struct bt_instrument *i)
{
    return i->u > 0 ? i->u : i->resolution / sqrt(12);
}

/* u of gaps under an edge that states none: that of the feelers. */
static double feelers_u(const struct bt_job *job)
{
    for (size_t k = 0; k < job->ninstrument; k++)
        if (job->instrument[k].kind == BT_INST_FEELERS &&
            stated_u(&job->instrument[k]) > 0)
            return stated_u(&job->instrument[k]);
    return NAN;
}

static enum bt_plan_kind kind_of(enum bt_instrument_kind kind)
{
    switch (kind) {
    case BT_INST_STRAIGHTEDGE:
        return BT_PLAN_LINE;
    case BT_INST_DIAL:
        return BT_PLAN_SETUP;
    case BT_INST_BAR:
        return BT_PLAN_BAR;
    case BT_INST_LEVEL:
        return BT_PLAN_LEVEL;
    case BT_INST_STICKS:
        return BT_PLAN_STICKS;
    case BT_INST_FEELERS:
    case BT_INST_SQUARE:
    case BT_INST_ANGLE_GAUGE:
        break;
    }
    return BT_PLAN_KINDS; /* reads no surface by itself */
}

static double assumed_u(const struct bt_job *job, enum bt_plan_kind kind)
{
    const double feelers = feelers_u(job);

    switch (kind) {
    case BT_PLAN_LINE:
        return feelers > 0 ? feelers : BT_ASSUMED_FEELER_STEP / sqrt(12);
    case BT_PLAN_LEVEL:
        return BT_ASSUMED_U_LEVEL;
    case BT_PLAN_STICKS:
        return BT_ASSUMED_U_STICKS;
    case BT_PLAN_SETUP:
    case BT_PLAN_BAR:
    case BT_PLAN_KINDS:
        break;
    }
    return BT_ASSUMED_U_DIAL;
}

/* The command line goes before the instrument. */
static double reach_of(const struct bt_job *job, enum bt_plan_kind kind,
                       double own_length, const struct bt_measure_request *request)
{
    if (kind == BT_PLAN_LINE)
        return request->edge > 0 ? request->edge : own_length;
    if (kind != BT_PLAN_BAR)
        return NAN;
    if (request->feet > 0 || own_length > 0)
        return request->feet > 0 ? request->feet : own_length;
    return job->system == BT_SYSTEM_IN ? 12 * 25.4 : BT_ASSUMED_FEET;
}

static void add_instrument(struct bt_measure_answer *a, size_t k,
                           const struct bt_measure_request *request)
{
    const struct bt_job *job = a->job;
    const struct bt_instrument *from = &job->instrument[k];
    const enum bt_plan_kind kind = kind_of(from->kind);
    const double own = stated_u(from);
    const double reach = reach_of(job, kind, from->length, request);
    struct bt_plan_instrument *i = &a->instrument[a->request.ninstrument];

    if (kind == BT_PLAN_KINDS ||
        (kind == BT_PLAN_BAR && !(reach <= fmin(job->panel.length, job->panel.width))))
        return;
    *i = (struct bt_plan_instrument){.kind = kind,
                                     .u = own > 0 ? own : assumed_u(job, kind),
                                     .straightness = from->straightness,
                                     .edge = kind == BT_PLAN_LINE ? (int)k : -1,
                                     .zero_unknown = from->zero_unknown,
                                     .level = from->level,
                                     .reach = reach,
                                     .own_hollow_u = from->own_hollow_u};
    a->tool[a->request.ninstrument++] = (struct bt_measure_tool){
        from->name, !(own > 0),
        kind == BT_PLAN_BAR && !(request->feet > 0) && !(from->length > 0)};
}

static enum bt_status find_instruments(struct bt_measure_answer *a,
                                       const struct bt_measure_request *request)
{
    const struct bt_job *job = a->job;

    a->instrument = bt_alloc(job->ninstrument + 1, sizeof *a->instrument);
    a->tool = bt_alloc(job->ninstrument + 1, sizeof *a->tool);
    if (!a->instrument || !a->tool)
        return BT_ENOMEM;
    for (size_t k = 0; k < job->ninstrument; k++)
        add_instrument(a, k, request);
    if (a->request.ninstrument == 0) {
        a->instrument[0] =
            (struct bt_plan_instrument){.kind = BT_PLAN_LINE,
                                        .u = assumed_u(job, BT_PLAN_LINE),
                                        .straightness = NAN,
                                        .edge = -1,
                                        .reach = request->edge};
        a->tool[a->request.ninstrument++] = (struct bt_measure_tool){NULL, true, false};
    }
    a->request.instrument = a->instrument;
    return BT_OK;
}

/* ---- aims ---- */

static bool aims_from_limits(struct bt_measure_answer *a)
{
    static const enum bt_figure figure[BT_PLAN_FIGURES] = {
        BT_FIGURE_CUP, BT_FIGURE_BOW, BT_FIGURE_TWIST, BT_FIGURE_RANGE};
    const struct bt_limits *limits = &a->job->limits;
    const double z = gsl_cdf_ugaussian_Pinv(limits->confidence);
    bool any = false;

    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        a->limit[k] = limits->limit[figure[k]];
    a->limit[BT_PLAN_SURFACE] =
        fmin(fmin(limits->limit[BT_FIGURE_RANGE], limits->limit[BT_FIGURE_ZONE]),
             limits->limit[BT_FIGURE_LOCAL]);
    for (int k = 0; k < BT_PLAN_FIGURES; k++) {
        a->request.aim[k] =
            a->limit[k] / (2 * z) / (k == BT_PLAN_SURFACE ? sqrt(2) : 1);
        any = any || !isnan(a->limit[k]);
    }
    return any;
}

/* To plane a face that is over takes the heights everywhere. */
static enum bt_status aim_at_face(struct bt_measure_answer *a)
{
    const double z = gsl_cdf_ugaussian_Pinv(a->job->limits.confidence);
    struct bt_set_result result;
    struct bt_error own;
    double least = NAN;
    enum bt_status status;

    if (!a->set || a->aim_source != BT_AIM_LIMITS)
        return BT_OK;
    status = bt_set_evaluate(a->job, a->set, NULL, &result, &own);
    a->for_planing = status == BT_OK && bt_set_verdict(&result) == BT_OVER &&
                     !bt_words_face_known(&result.flatness);
    bt_set_result_clear(&result);
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        least = fmin(least, a->limit[k]);
    for (int k = 0; a->for_planing && k < BT_PLAN_FIGURES; k++) {
        if (!isnan(a->limit[k]))
            continue;
        a->limit[k] = least;
        a->request.aim[k] = least / (2 * z) / (k == BT_PLAN_SURFACE ? sqrt(2) : 1);
    }
    /* readings that do not hang together are planned on all the same */
    return status == BT_ENOMEM ? status : BT_OK;
}

static void find_aims(struct bt_measure_answer *a,
                      const struct bt_measure_request *request)
{
    bool typed = false;

    for (int k = 0; k < 3; k++)
        typed = typed || !isnan(request->aim[k]);
    a->aim_source = BT_AIM_LIMITS;
    if (!typed && aims_from_limits(a))
        return;
    a->aim_source = typed ? BT_AIM_TYPED : BT_AIM_ASSUMED;
    for (int k = 0; k < BT_PLAN_FIGURES; k++) {
        a->limit[k] = NAN;
        a->request.aim[k] = k == BT_PLAN_SURFACE ? NAN
                            : typed              ? request->aim[k]
                                                 : BT_ASSUMED_AIM;
    }
}

/* ---- places ---- */

/* A whole number of steps in each quarter of a side, so that places stand on corners
 * and middles. */
static bool quarters(double side, double step)
{
    return fabs(remainder(side / 4, step)) <= 1e-6 * step;
}

/* What a rule shows at a glance, so that what is printed is what was reckoned: whole
 * millimetres or 1/16 in; halves of them where the panel asks for it. */
static double step_of(const struct bt_job *job)
{
    const double step = job->system == BT_SYSTEM_IN ? 25.4 / 16 : 1;
    const double l = job->panel.length, w = job->panel.width;

    if (quarters(l, step) && quarters(w, step))
        return step;
    return quarters(l, step / 2) && quarters(w, step / 2) ? step / 2 : step;
}

/* ---- supports ---- */

/* What it sags by on supports where a rule shows them: the lowest place below the
 * highest.  NaN where that cannot be told. */
static double sag_on(const struct bt_panel *panel, const struct bt_wood *wood,
                     const double support[2])
{
    enum { PLACES = 101 };
    const struct bt_sag_request request = {.length = panel->length,
                                           .thickness = panel->thickness,
                                           .E = wood->e_along.value,
                                           .density = wood->density.value,
                                           .nsupport = 2,
                                           .support = support};
    double at[PLACES], z[PLACES], low = 0, high = 0;

    for (int i = 0; i < PLACES; i++)
        at[i] = panel->length * i / (PLACES - 1);
    if (bt_sag_heights(&request, PLACES, at, z, NULL) != BT_OK)
        return NAN;
    for (int i = 0; i < PLACES; i++) {
        low = fmin(low, z[i]);
        high = fmax(high, z[i]);
    }
    return high - low;
}

/* A species that is not known leaves the supports out; `check` tells. */
static enum bt_status find_supports(struct bt_measure_answer *a)
{
    const struct bt_panel *panel = &a->job->panel;
    struct bt_wood wood;
    struct bt_error err;
    enum bt_status status;

    if (!panel->species || !*panel->species || !(panel->thickness > 0))
        return BT_OK;
    status = bt_wood_find(panel->species, strlen(panel->species), &wood, &err);
    if (status != BT_OK)
        return status == BT_ENOMEM ? status : BT_OK;
    a->sag = bt_sag_least(panel->length, panel->thickness, wood.e_along.value,
                          wood.density.value, a->support);
    if (a->sag > 0) {
        const double step = a->job->system == BT_SYSTEM_IN ? 25.4 / 16 : 1;

        a->support[0] = fmax(0, floor(a->support[0] / step + 0.5) * step);
        a->support[1] = panel->length - a->support[0];
        a->sag = sag_on(panel, &wood, a->support);
    }
    a->sag_ends = bt_sag_most(panel->length, panel->thickness, wood.e_along.value,
                              wood.density.value);
    a->supports_known = a->sag > 0;
    memcpy(a->wood, wood.name, sizeof a->wood);
    return BT_OK;
}

/* ---- all ---- */

static void find_taken(struct bt_measure_answer *a,
                       const struct bt_measure_request *request)
{
    const size_t latest = bt_job_latest(a->job);

    if (request->afresh || latest >= a->job->nset)
        return;
    a->scan_left_out = a->job->set[latest].readings.scan != NULL;
    if (a->scan_left_out || a->job->set[latest].readings.nobs == 0)
        return;
    a->set = &a->job->set[latest];
    a->request.taken = &a->set->readings;
}

enum bt_status bt_measure_answer_find(const struct bt_job *job,
                                      const struct bt_measure_request *request,
                                      struct bt_measure_answer *out,
                                      struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    if (!(job->panel.length > 0) || !(job->panel.width > 0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "length and width of the panel are not stated: write them "
                            "into [panel] of job.ini");
    out->request.length = job->panel.length;
    out->request.width = job->panel.width;
    out->request.same_point = job->same_point;
    out->request.step = step_of(job);
    find_taken(out, request);
    find_aims(out, request);
    status = aim_at_face(out);
    if (status == BT_OK)
        status = find_instruments(out, request);
    if (status == BT_OK)
        status = find_supports(out);
    if (status != BT_OK)
        return bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return bt_plan_find(&out->request, &out->plan, err);
}

void bt_measure_answer_clear(struct bt_measure_answer *answer)
{
    if (!answer)
        return;
    bt_plan_clear(&answer->plan);
    bt_free(answer->instrument);
    bt_free(answer->tool);
    memset(answer, 0, sizeof *answer);
}

bool bt_measure_answer_reached(const struct bt_measure_answer *answer)
{
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        if (answer->plan.figure[k].wanted && !answer->plan.figure[k].reached)
            return false;
    return true;
}

const char *bt_measure_figure_name(enum bt_plan_figure figure)
{
    static const char *const names[BT_PLAN_FIGURES] = {"cup", "bow", "twist",
                                                       "surface"};

    return names[figure];
}
