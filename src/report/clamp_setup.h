/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_CLAMP_SETUP_H
#define BENCHTRUE_REPORT_CLAMP_SETUP_H

#include "benchtrue/report/glueup_result.h"

/*
 * What the clamping plan is told about a job.  Private to the room.
 */
struct bt_clamp_setup {
    struct bt_clamping_request request; /* its arrays are freed by clear */
    double *width;
    struct bt_clamp_kind *kind;
    char wood[80]; /* the densest of the boards; "" not known */
    char density_source[160];
    bool temperature_assumed, spread_assumed, place_assumed;
    double temperature;                      /* of the shop, C */
    struct bt_sourced open_time, clamp_time; /* minutes at that temperature */
};

/*
 *   clamps  out: to be freed with bt_clamp_setup_clear, also after an error
 *
 * Returns BT_OK; BT_EINPUT (no boards or no thickness, no length of the panel, neither
 * a species that is known nor a pressure: the message says what to write); BT_ENOMEM.
 */
enum bt_status bt_clamp_setup_find(const struct bt_job *job,
                                   const struct bt_edge_setup *setup,
                                   struct bt_clamp_setup *clamps, struct bt_error *err);

void bt_clamp_setup_clear(struct bt_clamp_setup *clamps);

#endif
