/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_GLUEUP_RESULT_H
#define BENCHTRUE_REPORT_GLUEUP_RESULT_H

#include "benchtrue/report/edges_result.h"

/* Taken where [glue] does not say; each common practice, no source. */
#define BT_ASSUMED_SHOP_C 20      /* temperature of the shop */
#define BT_ASSUMED_SPREAD_TIME 1  /* minutes to spread one joint */
#define BT_ASSUMED_PLACE_TIME 0.5 /* minutes to set one clamp */

/* A figure with where it is from. */
struct bt_sourced {
    double value; /* NaN not known */
    const char *source;
};

/* `glueup` of one job. */
struct bt_glueup_answer {
    const struct bt_job *job;
    struct bt_edges_answer edges;       /* the openings that the glue has to bridge */
    struct bt_clamping_request request; /* of plan; its arrays are the answer's own */
    double *width;
    struct bt_clamp_kind *kind;
    struct bt_clamping plan;
    char wood[80];  /* the densest of the boards; "" not known */
    double density; /* kg/m3; NaN */
    char density_source[160];
    struct bt_sourced pressure; /* MPa: aimed at */
    double temperature;         /* of the shop, C */
    bool temperature_assumed, spread_assumed, place_assumed;
    double spread_time, place_time;      /* minutes */
    struct bt_sourced open_time;         /* minutes, at that temperature */
    struct bt_sourced clamp_time;        /* minutes, at that temperature */
    struct bt_sourced full_time;         /* hours */
    struct bt_sourced surface_days;      /* days */
    struct bt_sourced least_temperature; /* C */
    bool too_cold;                       /* the shop is colder than that */
    size_t clamps_owned;
};

/*
 * Plan the glue-up of a job.
 *
 *   request  of the edges, as bt_edges_answer_find
 *   out      to be freed with bt_glueup_answer_clear, also after an error
 *
 * Returns as bt_edges_answer_find and bt_clamping_plan; BT_EINPUT too where the length
 * of the panel, or both species and pressure, are not stated.
 */
BT_API enum bt_status bt_glueup_answer_find(const struct bt_job *job,
                                            const struct bt_edges_request *request,
                                            struct bt_glueup_answer *out,
                                            struct bt_error *err);

BT_API void bt_glueup_answer_clear(struct bt_glueup_answer *answer);

/* `over` where clamps fall short, the open time is too short, or the shop too cold;
 * else `not seen` where the job states no clamp or no glue; else the verdict on the
 * largest opening. */
BT_API enum bt_verdict bt_glueup_answer_verdict(const struct bt_glueup_answer *answer);

#endif
