/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_DOCUMENT_TABLE_H
#define BENCHTRUE_DRAW_DOCUMENT_TABLE_H

#include "benchtrue/draw/document.h"
#include "draw/page.h"

enum { DOCUMENT_COLUMNS = 12 };

/* Draw a table of at most DOCUMENT_COLUMNS columns from y on, over as many pages as it
 * takes; returns the y below it. */
double document_table(const struct bt_part *part, struct page *page, double y);

#endif
