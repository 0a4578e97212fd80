/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JSON_EXTREMES_H
#define BENCHTRUE_REPORT_JSON_EXTREMES_H

#include "benchtrue/report/result.h"
#include "report/json_value.h"

/* Members `zone`, `straightedge` and `facets` of a set.  Private to the room; each
 * returns false where there is no memory. */
bool bt_json_add_zone(cJSON *root, const struct bt_set_result *r);
bool bt_json_add_straightedge(cJSON *root, const struct bt_set_result *r);
bool bt_json_add_facets(cJSON *root, const struct bt_set_result *r);

#endif
