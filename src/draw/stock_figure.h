/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_STOCK_FIGURE_H
#define BENCHTRUE_DRAW_STOCK_FIGURE_H

#include "benchtrue/draw/figure_stock.h"
#include "draw/page.h"

/* Draw all of it (a page_draw); figure: struct bt_stock_figure. */
double stock_draw(const void *figure, struct page *page);

#endif
