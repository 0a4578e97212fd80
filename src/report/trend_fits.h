/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TREND_FITS_H
#define BENCHTRUE_REPORT_TREND_FITS_H

#include "benchtrue/report/trend_result.h"

/* Fill answer->line and same_places from the sets used.  Private to the room.  Returns
 * BT_OK or BT_ENOMEM. */
enum bt_status bt_trend_fits_find(struct bt_trend_answer *answer, struct bt_error *err);

/* Whether two sets were read at the same places, each within `within`, mm. */
bool bt_trend_same_places(const struct bt_readings *a, const struct bt_readings *b,
                          double within);

#endif
