/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_SPREAD_H
#define BENCHTRUE_DRAW_SPREAD_H

#include <stddef.h>

/*
 * Places for labels in a line: as near to at[], ascending, as a pitch between them
 * allows, from lo to hi.  Where n labels do not fit there, they reach below lo.
 */
void spread(size_t n, const double at[], double pitch, double lo, double hi,
            double out[]);

#endif
