/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_DOCUMENT_BUILD_H
#define BENCHTRUE_REPORT_DOCUMENT_BUILD_H

#include "benchtrue/draw/document.h"
#include "report/kept.h"

/* A document in the making.  Private to the room.  Texts must outlive the build, or be
 * kept by it; a lack of memory is told by document_done. */
struct document_build {
    struct kept kept;
    size_t npart, part_room, ncell, cell_room;
    struct bt_part *part;
    const char **cell;
    size_t first_room, *first; /* [npart] of its cells */
};

void document_heading(struct document_build *build, int level, const char *text);
void document_text(struct document_build *build, const char *text);
void document_verdict(struct document_build *build, const char *text);
void document_page(struct document_build *build);
void document_figure(struct document_build *build, const char *caption,
                     bt_figure_maker make, const void *input);

/* A table of that many columns, and a list; document_cell adds to the last of them. */
void document_table_begin(struct document_build *build, size_t ncolumn,
                          unsigned numbers);
void document_list_begin(struct document_build *build, const char *text);
void document_cell(struct document_build *build, const char *text);

/* Put the parts from `from` on before the part `to`, which stood before them. */
void document_move(struct document_build *build, size_t from, size_t to);

/* Everything has its place: fill part and npart.  BT_OK or BT_ENOMEM. */
enum bt_status document_done(struct document_build *build, struct bt_document *out);

void document_build_clear(struct document_build *build);

#endif
