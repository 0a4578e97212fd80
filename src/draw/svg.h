/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_SVG_H
#define BENCHTRUE_DRAW_SVG_H

#include "draw/page.h"

/*
 * Cairo's SVG with a title and a description put in after the root's start tag (SVG
 * 1.1, 5.4): letters are drawn as shapes, so that nothing else says them to a program
 * that reads aloud or searches.  Cairo counts surfaces through the life of the program
 * and names groups by that count; the names are counted anew, so that the same figure
 * is the same file.
 *
 * Returns BT_OK, BT_ENOMEM or BT_EWRITE (cairo wrote no root).
 */
enum bt_status svg_describe(const struct bt_figure_bytes *svg, const char *title,
                            size_t nwritten, const struct written written[],
                            const char words[], struct bt_figure_bytes *out,
                            struct bt_error *err);

#endif
