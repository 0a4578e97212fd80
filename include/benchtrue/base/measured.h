/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_MEASURED_H
#define BENCHTRUE_BASE_MEASURED_H

#include <stdbool.h>

/* A measured figure. */
struct bt_measured {
    double value; /* NaN where not seen */
    double u;     /* standard uncertainty; NaN where not seen */
    bool seen;
};

#endif
