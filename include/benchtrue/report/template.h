/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEMPLATE_H
#define BENCHTRUE_REPORT_TEMPLATE_H

#include <stddef.h>

#include "benchtrue/base/print.h"
#include "benchtrue/report/buffer.h"

/*
 * The files of a new job: job.ini, boards.csv, lines.csv and readings.csv, commented,
 * with every line and place to read and the gaps left blank.  They pass `check` as
 * they are.
 *
 * The lines are the four edges, both diagonals and both centre lines, five places on
 * each, in an order in which every line begins near the end of the one before.  The
 * diagonals share the corners and the middle with other lines, so that twist is seen
 * once all are read.
 */
struct bt_template {
    double length, width;  /* mm, > 0; NaN: an example, and job.ini says so */
    double thickness;      /* mm, > 0; NaN: an example where length and width are, else
                              left blank */
    enum bt_system system; /* what the maker measures in */
    const char *use;       /* name of a band of limits; NULL or "" for none */
};

enum { BT_TEMPLATE_FILES = 4 };

/* Name of file i, 0 <= i < BT_TEMPLATE_FILES. */
BT_API const char *bt_template_name(size_t i);

/* The text of file i is added to out.  Returns BT_OK or BT_ENOMEM. */
BT_API enum bt_status bt_template_text(const struct bt_template *what, size_t i,
                                       struct bt_buffer *out);

/*
 * Write all files into a folder, which is made, or must be empty.
 *
 * Returns BT_OK, BT_ECREATE, BT_EWRITE or BT_ENOMEM, with err naming what; every
 * file, and the folder where it was made, is then taken away again.
 */
BT_API enum bt_status bt_template_write(const struct bt_template *what,
                                        const char *folder, struct bt_error *err);

#endif
