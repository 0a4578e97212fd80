/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_DRAW_WRITTEN_H
#define TESTS_DRAW_WRITTEN_H

#include "draw/page.h"

/* What a figure came to, looked at from outside. */

/* An SVG as text, ended by NUL; *b is still to be cleared. */
const char *written_text(struct bt_figure_bytes *b);

/* Pages of a PDF, which cairo counts in the clear. */
size_t written_pages(const struct bt_figure_bytes *b);

/* Draw, and expect that no two texts (or marks that stand for one) lie over each other
 * and none outside the page; id is told with a failure. */
void written_expect_apart(page_draw *draw, const void *figure, size_t id);

#endif
