/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_FENCE_H
#define BENCHTRUE_INGEST_FENCE_H

#include "ingest/columns.h"
#include "ingest/load.h"
#include "ingest/sure.h"

/* fence.csv while it is read: fence.c goes through the rows, fence_row.c reads one. */

enum bt_fence_column {
    BT_FENCE_COL_KIND,
    BT_FENCE_COL_STATION,
    BT_FENCE_COL_HEIGHT,
    BT_FENCE_COL_GAP,
    BT_FENCE_COL_OPEN_AT,
    BT_FENCE_COL_WIDTH,
    BT_FENCE_COL_WIDTH2,
    BT_FENCE_COL_HOLLOW_AT,
    BT_FENCE_COL_READING,
    BT_FENCE_COL_TURNED,
    BT_FENCE_COL_INSTRUMENT,
    BT_FENCE_COL_U,
    BT_FENCE_COL_U_DEG,
    BT_FENCE_COLUMNS
};

struct bt_fence_file {
    struct bt_load *load;
    struct bt_sheet sheet;
    struct bt_column column[BT_FENCE_COLUMNS];
};

/* One row, and what the u of its check is found from. */
struct bt_fence_row {
    const struct bt_record *record;
    bool bad;       /* a fault was told */
    bool blank;     /* the check was not taken */
    bool no_memory; /* for a note */
    struct bt_fence_check check;
    bool assumed; /* u_own is none that was stated, and it is used */
    enum bt_digits digits;
    double step;
    enum bt_digits turned_digits;
    double turned_step; /* 0: not read turned */
    enum bt_u_origin origin;
};

/* Read a row; u_gap or u_reading stays NaN where the digits of its column must tell. */
void bt_fence_row_read(struct bt_fence_file *f, const struct bt_record *record,
                       struct bt_fence_row *row);

#endif
