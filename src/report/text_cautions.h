/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_CAUTIONS_H
#define BENCHTRUE_REPORT_TEXT_CAUTIONS_H

#include "benchtrue/base/print.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/buffer.h"

/*
 * The cautions that go with jointing this job's boards, each with its source, and that
 * the machine's manual and local codes come first.  Private to the room.
 */
void bt_text_cautions(struct bt_buffer *out, const struct bt_job *job,
                      enum bt_system system);

#endif
