/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_SCALE_BAR_H
#define BENCHTRUE_DRAW_SCALE_BAR_H

#include "benchtrue/base/print.h"
#include "draw/page.h"

/* A round length of at most so many mm: 1, 2 or 5 of a power of ten of mm; of inches
 * what a rule is divided into, where there is one. */
double scale_rule(double most, enum bt_system system);

/* The same for heights: 1, 2 or 5 of a power of ten of mm or of thou. */
double scale_feeler(double most, enum bt_system system);

/* A scale bar of some 50 mm at most, its left end at x, y; scale: page per mm. */
void scale_bar(struct page *page, double x, double y, double scale,
               enum bt_system system);

#endif
