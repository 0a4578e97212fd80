/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JSON_DOUBT_H
#define BENCHTRUE_REPORT_JSON_DOUBT_H

#include "benchtrue/report/result.h"
#include "report/json_value.h"

/*
 * What the u of the figures is made of, and what was taken off: keys of docs/json.md.
 * Private to the room; as json_value.h.
 */

/* agreement, agreement_p and without_suspects of `adjustment`. */
bool bt_json_add_agreement(cJSON *adjustment, const struct bt_flatness *flatness);

/* own_weight, corrections and doubt of a set. */
bool bt_json_add_doubt(cJSON *root, const struct bt_set_result *r);

#endif
