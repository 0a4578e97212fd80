/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_PEAKS_H
#define BENCHTRUE_DRAW_PEAKS_H

#include "draw/mesh.h"

enum { PEAKS_MAX = 9 };

struct peak {
    size_t corner; /* of the mesh */
    double z;      /* mm */
    double drop;   /* how far every way to a higher place goes down first, mm;
                      HUGE_VAL where no way leads to one */
};

/*
 * High spots: corners above 0 with a drop of more than least, highest first.  Of a
 * level top the first corner stands for all.
 *
 *   count  out: PEAKS_MAX at most
 *
 * Returns BT_OK or BT_ENOMEM.
 */
enum bt_status peaks_find(const struct mesh *mesh, double least,
                          struct peak peak[PEAKS_MAX], size_t *count,
                          struct bt_error *err);

#endif
