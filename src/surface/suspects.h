/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_SUSPECTS_H
#define BT_SURFACE_SUSPECTS_H

#include "benchtrue/surface/flatness.h"

/*
 * Fill f->suspect and f->nsuspect from f->net, the adjustment of *r; the rule stands at
 * struct bt_suspect.  Returns BT_OK or BT_ENOMEM.
 */
enum bt_status bt_suspects_find(const struct bt_readings *r, struct bt_flatness *f);

#endif
