/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FULL_SIZE_H
#define BENCHTRUE_DRAW_FULL_SIZE_H

#include <stdbool.h>

#include "benchtrue/draw/figure.h"
#include "benchtrue/draw/paper.h"
#include "benchtrue/fit/piece.h"
#include "benchtrue/ingest/job.h"

/* Nothing is owned; all of it must outlive the call. */
struct bt_full_size {
    const struct bt_job *job;     /* title, date, system */
    const struct bt_piece *piece; /* outline; gap: what is scribed */
    bool one;                     /* one sheet as large as the piece */
    enum bt_paper paper;          /* else: sheets of that paper, to be joined */
    bool doubtful; /* the readings contradict each other: each page says so */
};

/* A side of a page of PDF is no longer, mm: 14 400 units of 1/72 in (ISO 32000-1, annex
 * C, from memory). */
#define BT_SHEET_SIDE_MOST 5080.0

/* More sheets than that nobody joins: our choice. */
enum { BT_SHEETS_MOST = 300 };

/*
 * The outline of the piece at full size, seen from above, as a PDF.
 *
 * - One sheet as large as the piece; or an overview, then sheets upright or on their
 *   side, whichever are fewer, in rows from the back and columns from the left.  Each
 *   overlaps the next by 10 mm and has crosses there that lie on each other when the
 *   sheets are joined.  Sheets without any outline are there too: they keep the others
 *   apart.
 * - On every page a rule of 100 mm and of 4 in, to be measured before use.
 *
 *   sheets  out: pages without the overview; may be NULL
 *   out     to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (an outline of fewer than 3 points or with one that is not
 * finite: `no outline to draw`; one sheet with a side over BT_SHEET_SIDE_MOST; more
 * than BT_SHEETS_MOST sheets); BT_ENOMEM; BT_EWRITE.
 */
BT_API enum bt_status bt_full_size(const struct bt_full_size *input, size_t *sheets,
                                   struct bt_figure_bytes *out, struct bt_error *err);

#endif
