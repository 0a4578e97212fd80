/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_DOCUMENT_H
#define BENCHTRUE_DRAW_DOCUMENT_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/draw/paper.h"

/*
 * A document of headings, texts, tables and figures, whatever it becomes: a PDF here,
 * HTML in report/document_html.h.  Nothing in these structs is owned; all of it must
 * outlive the call.  Texts are UTF-8.
 */

/* Draws one figure; as bt_figure_map. */
typedef enum bt_status (*bt_figure_maker)(const void *input,
                                          enum bt_figure_format format,
                                          struct bt_figure_bytes *out,
                                          struct bt_error *err);

enum bt_part_kind {
    BT_PART_HEADING, /* text, level */
    BT_PART_TEXT,    /* text */
    BT_PART_VERDICT, /* text that stands out */
    BT_PART_TABLE,   /* cells, the first row names the columns */
    BT_PART_LIST,    /* cells, one an item; with text before it where there is one */
    BT_PART_FIGURE,  /* make, input; text is its caption, and what it shows to those who
                        do not see it */
    BT_PART_PAGE     /* what follows begins on a page of its own */
};

struct bt_part {
    enum bt_part_kind kind;
    int level;        /* of a heading, 2 or 3; the title is 1 */
    const char *text; /* NULL: none */
    size_t ncolumn, ncell;
    const char *const *cell; /* [ncell] row by row */
    unsigned numbers;        /* bit k: column k stands flush right */
    bt_figure_maker make;
    const void *input;
};

struct bt_document {
    const char *title, *subtitle; /* subtitle "": none */
    const char *date;             /* YYYY-MM-DD, or "" */
    const char *foot;             /* at the end, small: version, sources */
    size_t npart;
    const struct bt_part *part;
};

/*
 * As PDF, upright; letters can be selected, headings are tagged and in the outline.
 * Figures are plates behind the text, numbered, drawn by the code that draws each
 * alone.  A table goes on on the next page with the names of its columns.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; what a figure returns; BT_ENOMEM; BT_EWRITE (cairo failed otherwise).
 */
BT_API enum bt_status bt_document_pdf(const struct bt_document *document,
                                      enum bt_paper paper, struct bt_figure_bytes *out,
                                      struct bt_error *err);

#endif
