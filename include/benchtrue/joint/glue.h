/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_GLUE_H
#define BENCHTRUE_JOINT_GLUE_H

#include <stddef.h>

#include "benchtrue/export.h"

/*
 * Kinds of glue with the values that a glue-up needs, made from reference/glues.csv
 * when the program is built.  Kinds are named by their chemistry; what the container
 * says goes before any value here.
 */
struct bt_glue_value {
    double value;       /* NaN: none found, or it does not hold for this kind */
    const char *source; /* document and status, or `common practice, no source`; ""
                           where the value is NaN */
};

struct bt_glue {
    const char *name;               /* `yellow PVA`, `white PVA`, `PUR`, `epoxy`, ... */
    struct bt_glue_value gap_most;  /* mm, bond line that it bridges */
    struct bt_glue_value open_time; /* minutes at open_temperature, spread to closed */
    struct bt_glue_value open_temperature; /* C; NaN: times are not to be converted */
    struct bt_glue_value clamp_time;   /* minutes at that temperature, not stressed */
    struct bt_glue_value full_time;    /* hours until it may be stressed or machined */
    struct bt_glue_value surface_days; /* until surfacing without sunken joints */
    struct bt_glue_value least_temperature; /* C, below it does not set well */
};

BT_API size_t bt_glue_count(void);
BT_API const struct bt_glue *bt_glue_at(size_t i); /* NULL beyond the last */

/* Case of ASCII letters ignored; NULL where there is none. */
BT_API const struct bt_glue *bt_glue_find(const char *name, size_t length);

/*
 * Open time at another temperature: halved for each 10 C above, doubled for each 10 C
 * below (common practice, no source), minutes.  Clamp time likewise.  NaN where one of
 * the three is.  Hot hide glue gels faster in the cold: its open_temperature is NaN.
 *
 *   minutes        at at_C
 *   at_C           for which minutes is stated
 *   temperature_C  of the shop
 */
BT_API double bt_glue_time_at(double minutes, double at_C, double temperature_C);

#endif
