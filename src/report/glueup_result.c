/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/glueup_result.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/clamp_setup.h"

static struct bt_sourced sourced(const struct bt_glue_value *value)
{
    return (struct bt_sourced){value->value, value->source ? value->source : ""};
}

/* What the glue says of itself, whatever the shop. */
static void take_glue(struct bt_glueup_answer *answer, const struct bt_glue *glue)
{
    static const struct bt_sourced none = {NAN, ""};

    answer->full_time = glue ? sourced(&glue->full_time) : none;
    answer->surface_days = glue ? sourced(&glue->surface_days) : none;
    answer->least_temperature = glue ? sourced(&glue->least_temperature) : none;
    answer->too_cold = answer->temperature < answer->least_temperature.value;
}

/* The arrays of the request change hands. */
static void take_setup(struct bt_glueup_answer *answer, struct bt_clamp_setup *setup)
{
    const bool stated = !isnan(setup->request.pressure);

    memcpy(answer->wood, setup->wood, sizeof answer->wood);
    memcpy(answer->density_source, setup->density_source,
           sizeof answer->density_source);
    answer->density = setup->request.density;
    answer->pressure = (struct bt_sourced){
        answer->plan.pressure,
        stated ? "job.ini, [glue]"
               : "by density between lightest and heaviest wood, Wood Handbook "
                 "FPL-GTR-190 (2010) ch. 10 (seen as a secondary quotation)"};
    answer->temperature = setup->temperature;
    answer->temperature_assumed = setup->temperature_assumed;
    answer->spread_assumed = setup->spread_assumed;
    answer->place_assumed = setup->place_assumed;
    answer->spread_time = setup->request.spread_time;
    answer->place_time = setup->request.place_time;
    answer->open_time = setup->open_time;
    answer->clamp_time = setup->clamp_time;
    for (size_t i = 0; i < setup->request.nkind; i++)
        answer->clamps_owned += setup->kind[i].count;
    answer->request = setup->request;
    answer->width = setup->width;
    answer->kind = setup->kind;
    setup->width = NULL;
    setup->kind = NULL;
}

enum bt_status bt_glueup_answer_find(const struct bt_job *job,
                                     const struct bt_edges_request *request,
                                     struct bt_glueup_answer *out, struct bt_error *err)
{
    struct bt_clamp_setup setup = {0};
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    status = bt_edges_answer_find(job, request, &out->edges, err);
    if (status == BT_OK && job->nboard < 2)
        status = bt_error_set(err, BT_EINPUT, 0, 0,
                              "one board has no joint to glue: write a row in "
                              "boards.csv for each board");
    if (status == BT_OK)
        status = bt_clamp_setup_find(job, &out->edges.setup, &setup, err);
    if (status == BT_OK)
        status = bt_clamping_plan(&setup.request, &out->plan, err);
    if (status == BT_OK) {
        take_setup(out, &setup);
        take_glue(out, job->glue.kind);
    }
    bt_clamp_setup_clear(&setup);
    return status;
}

void bt_glueup_answer_clear(struct bt_glueup_answer *answer)
{
    if (!answer)
        return;
    bt_clamping_clear(&answer->plan);
    bt_free(answer->width);
    bt_free(answer->kind);
    bt_edges_answer_clear(&answer->edges);
    memset(answer, 0, sizeof *answer);
}

enum bt_verdict bt_glueup_answer_verdict(const struct bt_glueup_answer *answer)
{
    const bool clamps = answer->job->nclamp > 0;

    if ((clamps && answer->plan.shortfall > 0) || answer->plan.open_time_short ||
        answer->too_cold)
        return BT_OVER;
    if (!clamps || isnan(answer->open_time.value))
        return BT_NOT_SEEN;
    return answer->edges.worst_joint < answer->edges.section.njoint
               ? answer->edges.opening.verdict
               : BT_WITHIN;
}
