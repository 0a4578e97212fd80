/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/document_build.h"

#include <string.h>

#include "benchtrue/base/alloc.h"

static void add(struct document_build *build, const struct bt_part *part)
{
    struct bt_part *grown =
        build->kept.failed
            ? NULL
            : bt_grow(build->part, &build->part_room, build->npart + 1, sizeof *grown);

    if (!grown) {
        build->kept.failed = true;
        return;
    }
    build->part = grown;
    build->part[build->npart++] = *part;
}

void document_heading(struct document_build *build, int level, const char *text)
{
    add(build,
        &(struct bt_part){.kind = BT_PART_HEADING, .level = level, .text = text});
}

void document_text(struct document_build *build, const char *text)
{
    if (*text)
        add(build, &(struct bt_part){.kind = BT_PART_TEXT, .text = text});
}

void document_verdict(struct document_build *build, const char *text)
{
    if (*text)
        add(build, &(struct bt_part){.kind = BT_PART_VERDICT, .text = text});
}

void document_page(struct document_build *build)
{
    add(build, &(struct bt_part){.kind = BT_PART_PAGE});
}

void document_figure(struct document_build *build, const char *caption,
                     bt_figure_maker *make, const void *input)
{
    add(build,
        &(struct bt_part){
            .kind = BT_PART_FIGURE, .text = caption, .make = make, .input = input});
}

void document_table_begin(struct document_build *build, size_t ncolumn,
                          unsigned numbers)
{
    add(build, &(struct bt_part){
                   .kind = BT_PART_TABLE, .ncolumn = ncolumn, .numbers = numbers});
}

void document_list_begin(struct document_build *build, const char *text)
{
    add(build, &(struct bt_part){.kind = BT_PART_LIST, .ncolumn = 1, .text = text});
}

void document_cell(struct document_build *build, const char *text)
{
    const char **grown = build->kept.failed ? NULL
                                            : bt_grow(build->cell, &build->cell_room,
                                                      build->ncell + 1, sizeof *grown);

    if (!grown) {
        build->kept.failed = true;
        return;
    }
    build->cell = grown;
    build->cell[build->ncell++] = text;
    build->part[build->npart - 1].ncell++;
}

enum bt_status document_done(struct document_build *build, struct bt_document *out)
{
    size_t cell = 0;

    if (build->kept.failed)
        return BT_ENOMEM;
    for (size_t i = 0; i < build->npart; i++) {
        build->part[i].cell = build->cell + cell;
        cell += build->part[i].ncell;
    }
    out->part = build->part;
    out->npart = build->npart;
    return BT_OK;
}

void document_build_clear(struct document_build *build)
{
    kept_clear(&build->kept);
    bt_free(build->part);
    bt_free(build->cell);
    memset(build, 0, sizeof *build);
}
