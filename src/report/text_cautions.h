/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_CAUTIONS_H
#define BENCHTRUE_REPORT_TEXT_CAUTIONS_H

#include "benchtrue/base/print.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/joint/cautions.h"
#include "benchtrue/report/buffer.h"

/*
 * The cautions that go with this job, each with its source and the boards that fall
 * under it; the last ones defer to manuals and codes.  Private to the room.
 */
void bt_text_cautions(struct bt_buffer *out, const struct bt_job *job,
                      enum bt_caution_when when);

/* Whether a board of the job falls under a caution that goes by a size. */
bool bt_caution_for_board(const struct bt_caution *caution, const struct bt_job *job,
                          size_t board);

#endif
