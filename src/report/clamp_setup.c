/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/clamp_setup.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/joint_wood.h"

static const char in_job[] = "job.ini, [glue]";

/* A minute count without an end: where no glue is stated, time sets no stage. */
static const double no_hurry = 1e6;

/* The pressure must do for the densest board. */
static enum bt_status find_density(const struct bt_job *job,
                                   struct bt_clamp_setup *clamps, struct bt_error *err)
{
    struct bt_clamping_request *request = &clamps->request;

    request->density = request->E_across = NAN;
    for (size_t i = 0; i < job->nboard; i++) {
        struct bt_wood wood;
        enum bt_status status = bt_joint_wood(job, i, &wood, err);

        if (status == BT_EINPUT && !isnan(request->pressure)) {
            request->density = request->E_across = NAN;
            memset(clamps->wood, 0, sizeof clamps->wood);
            return BT_OK;
        }
        if (status != BT_OK)
            return status;
        if (request->density >= wood.density.value)
            continue;
        request->density = wood.density.value;
        request->E_across = wood.e_tangential.value;
        memcpy(clamps->wood, wood.name, sizeof clamps->wood);
        memcpy(clamps->density_source, wood.density.source,
               sizeof clamps->density_source);
    }
    if (isnan(request->density) && isnan(request->pressure))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no density is known for this wood: write pressure in "
                            "[glue] of job.ini");
    return BT_OK;
}

static enum bt_status take_arrays(const struct bt_job *job,
                                  struct bt_clamp_setup *clamps, struct bt_error *err)
{
    clamps->width = bt_alloc(job->nboard, sizeof *clamps->width);
    clamps->kind = bt_alloc(job->nclamp, sizeof *clamps->kind);
    if (!clamps->width || !clamps->kind)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; i < job->nboard; i++)
        clamps->width[i] = job->board[i].width;
    for (size_t i = 0; i < job->nclamp; i++)
        clamps->kind[i] = job->clamp[i].kind;
    clamps->request.nboard = job->nboard;
    clamps->request.width = clamps->width;
    clamps->request.nkind = job->nclamp;
    clamps->request.kind = clamps->kind;
    return BT_OK;
}

/* A time of the glue in the shop: the job's own is taken as it is written, since it
 * holds for that shop. */
static struct bt_sourced time_of(double own, const struct bt_glue *glue,
                                 const struct bt_glue_value *time, double temperature)
{
    struct bt_sourced found = {own, in_job};

    if (!isnan(own))
        return found;
    if (!glue || isnan(time->value))
        return (struct bt_sourced){NAN, ""};
    found.source = time->source;
    found.value =
        isnan(glue->open_temperature.value)
            ? time->value
            : bt_glue_time_at(time->value, glue->open_temperature.value, temperature);
    return found;
}

static double take(double stated, double assumed, bool *was_assumed)
{
    *was_assumed = isnan(stated);
    return *was_assumed ? assumed : stated;
}

static void find_times(const struct bt_job *job, struct bt_clamp_setup *clamps)
{
    const struct bt_glue_setup *glue = &job->glue;
    const struct bt_glue none = {0}, *kind = glue->kind ? glue->kind : &none;
    struct bt_clamping_request *request = &clamps->request;

    clamps->temperature =
        take(glue->temperature, BT_ASSUMED_SHOP_C, &clamps->temperature_assumed);
    clamps->open_time =
        time_of(glue->open_time, glue->kind, &kind->open_time, clamps->temperature);
    clamps->clamp_time =
        time_of(glue->clamp_time, glue->kind, &kind->clamp_time, clamps->temperature);
    request->open_time =
        isnan(clamps->open_time.value) ? no_hurry : clamps->open_time.value;
    request->spread_time =
        take(glue->spread_time, BT_ASSUMED_SPREAD_TIME, &clamps->spread_assumed);
    request->place_time =
        take(glue->place_time, BT_ASSUMED_PLACE_TIME, &clamps->place_assumed);
}

enum bt_status bt_clamp_setup_find(const struct bt_job *job,
                                   const struct bt_edge_setup *setup,
                                   struct bt_clamp_setup *clamps, struct bt_error *err)
{
    struct bt_clamping_request *request = &clamps->request;
    enum bt_status status;

    memset(clamps, 0, sizeof *clamps);
    status = bt_edge_setup_boards(setup, err);
    if (status == BT_OK && !(job->panel.length > 0))
        status =
            bt_error_set(err, BT_EINPUT, 0, 0,
                         "no length is stated: write length in [panel] of job.ini");
    if (status == BT_OK)
        status = take_arrays(job, clamps, err);
    if (status != BT_OK)
        return status;
    request->length = job->panel.length;
    for (size_t i = 0; i < setup->nboard; i++)
        request->thickness = fmax(request->thickness, setup->strip[i].thickness);
    request->pressure = job->glue.pressure;
    request->caul = isnan(job->glue.caul) ? 0 : job->glue.caul;
    request->most_joints = job->glue.joints;
    find_times(job, clamps);
    return find_density(job, clamps, err);
}

void bt_clamp_setup_clear(struct bt_clamp_setup *clamps)
{
    bt_free(clamps->width);
    bt_free(clamps->kind);
    memset(clamps, 0, sizeof *clamps);
}
