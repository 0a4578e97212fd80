/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JSON_JOINT_H
#define BENCHTRUE_REPORT_JSON_JOINT_H

#include "benchtrue/joint/cautions.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/edges_result.h"
#include "report/json_value.h"

/*
 * What the documents of fence, edges and glueup share.  Private to the room.  As
 * json_value.h; angles are given in rad and written in degrees.
 */
bool bt_json_add_degrees(cJSON *parent, const char *key, double rad);
bool bt_json_add_measured_degrees(cJSON *parent, const char *key,
                                  const struct bt_measured *m);

/* `KEY` and `KEY_source`-like pair: value under key, text under source_key. */
bool bt_json_add_sourced(cJSON *parent, const char *key, double value,
                         const char *source_key, const char *source);

/* `errors`: what the edges are taken to be off by. */
bool bt_json_add_errors(cJSON *root, const struct bt_edge_setup *setup);

/* `limits`: the cup, where it is limited. */
bool bt_json_add_cup_limit(cJSON *root, bool judged, const struct bt_judgement *cup);

/* `glue_gap`: what the glue bridges. */
bool bt_json_add_glue_gap(cJSON *root, const struct bt_glue_gap *gap);

/* `opening`: the worst against that; null where there is no joint. */
bool bt_json_add_worst_opening(cJSON *root, const struct bt_edges_answer *answer);

/* `cautions`. */
bool bt_json_add_cautions(cJSON *root, const struct bt_job *job,
                          enum bt_caution_when when);

/* A name of the job's: of a board. */
bool bt_json_add_board(cJSON *parent, const char *key, const struct bt_job *job,
                       size_t board);

/* Print root (NULL: nothing could be built) behind what out holds, and free it. */
enum bt_status bt_json_finish(cJSON *root, bool built, struct bt_buffer *out);

#endif
