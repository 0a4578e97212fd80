/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_SUPPORTS_H
#define BENCHTRUE_INGEST_SUPPORTS_H

#include "ingest/load.h"

/*
 * How the panel lay: `flat bench`, `on edge`, positions of battens from the left end
 * (`300 mm, 1200 mm`, an `x` before them allowed) or of rails from the back edge (`y
 * 100 mm, 600 mm`), in any order.  BT_OK, or BT_EINPUT with a fault and *out untouched.
 */
enum bt_status bt_supports_read(struct bt_load *load, const struct bt_ini_entry *entry,
                                struct bt_supports *out);

#endif
