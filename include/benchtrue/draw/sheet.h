/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_SHEET_H
#define BENCHTRUE_DRAW_SHEET_H

#include "benchtrue/draw/figure_plan.h"
#include "benchtrue/draw/paper.h"

/*
 * Sheets to pencil on at the bench and to type in later.  Nothing in these structs is
 * owned; all of it must outlive the call.
 */

/* A box to write a reading in. */
struct bt_sheet_box {
    const char *label; /* what is read there, over the box */
    const char *row;   /* in its corner, small: where it is typed; "" nothing */
};

/* Boxes that are read one after another. */
struct bt_sheet_block {
    const char *title; /* `1  back edge` */
    const char *how;   /* what to do; "" nothing */
    size_t nbox;
    const struct bt_sheet_box *box;
};

/* A sheet: one errand with its instruments; begins on a page of its own. */
struct bt_sheet {
    const char *title; /* what is measured: `Readings on the panel` */
    const char *intro; /* instruments, units, how to write; "" nothing */
    const char *file;  /* the file that it is typed into, and how */
    size_t nblank;
    const char *const *blank;                /* what else is written down: `date` */
    const struct bt_plan_figure_input *plan; /* drawn over the boxes; NULL: none */
    size_t nblock;
    const struct bt_sheet_block *block;
};

/*
 * Draw sheets as one PDF, upright.
 *
 *   title  of the job, on every page
 *   date   of the PDF, YYYY-MM-DD or ""
 *   out    to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Boxes are 29 by 11 mm, six in a row; a block of up to three rows is not broken over
 * two pages.  Labels are cut with an ellipsis where they are wider than their box.
 *
 * Returns BT_OK; BT_EINPUT (no sheet; a plan as bt_figure_plan, row: the sheet);
 * BT_ENOMEM; BT_EWRITE (cairo failed otherwise).
 */
BT_API enum bt_status bt_sheets_draw(const char *title, const char *date, size_t n,
                                     const struct bt_sheet sheet[], enum bt_paper paper,
                                     struct bt_figure_bytes *out, struct bt_error *err);

#endif
