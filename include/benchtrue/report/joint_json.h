/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JOINT_JSON_H
#define BENCHTRUE_REPORT_JOINT_JSON_H

#include "benchtrue/report/buffer.h"
#include "benchtrue/report/fence_result.h"
#include "benchtrue/report/glueup_result.h"

/*
 * Answers of fence, edges and glueup for programs: one JSON object and a line break, as
 * json.h says of flatness; docs/json.md lists the keys.  A number from a handbook or
 * from common practice has its `source` beside it.
 *
 *   out  the text is added to it
 *
 * Each returns BT_OK or BT_ENOMEM; on error out holds nothing of it.
 */
BT_API enum bt_status bt_json_fence(const struct bt_fence_answer *answer,
                                    struct bt_buffer *out);
BT_API enum bt_status bt_json_edges(const struct bt_edges_answer *answer,
                                    struct bt_buffer *out);
BT_API enum bt_status bt_json_glueup(const struct bt_glueup_answer *answer,
                                     struct bt_buffer *out);

#endif
