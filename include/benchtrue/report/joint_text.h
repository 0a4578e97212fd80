/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JOINT_TEXT_H
#define BENCHTRUE_REPORT_JOINT_TEXT_H

#include "benchtrue/report/fence_result.h"
#include "benchtrue/report/glueup_result.h"
#include "benchtrue/report/text.h"

/*
 * Answers of fence, edges and glueup for people: plain text, UTF-8, lines ended by a
 * line break.  The first line is the verdict in words and the next action.  No number
 * has more digits than its uncertainty carries; what was taken because the job does not
 * say is said.  Of the options system, details and colour count.
 *
 * An edge is named by its board and side, and its mark is `in` or `out`: the show face
 * goes to the fence, or looks away from it.  `2 back: in`.
 *
 *   out   the text is added to it
 *
 * Each returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_fence(const struct bt_fence_answer *answer,
                                    const struct bt_text_options *options,
                                    struct bt_buffer *out);
BT_API enum bt_status bt_text_edges_plan(const struct bt_edges_answer *answer,
                                         const struct bt_text_options *options,
                                         struct bt_buffer *out);
BT_API enum bt_status bt_text_glueup(const struct bt_glueup_answer *answer,
                                     const struct bt_text_options *options,
                                     struct bt_buffer *out);

#endif
