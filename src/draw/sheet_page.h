/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_SHEET_PAGE_H
#define BENCHTRUE_DRAW_SHEET_PAGE_H

#include "benchtrue/draw/sheet.h"
#include "draw/page.h"

struct sheets {
    const char *title;
    size_t n;
    const struct bt_sheet *sheet;
};

/* Draws struct sheets, as page_draw. */
double sheets_draw(const void *sheets, struct page *page);

#endif
