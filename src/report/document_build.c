/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/document_build.h"

#include <string.h>

#include "benchtrue/base/alloc.h"

static void add(struct document_build *build, const struct bt_part *part)
{
    const size_t n = build->npart + 1;
    struct bt_part *grown = NULL;
    size_t *first = NULL;

    if (!build->kept.failed)
        grown = bt_grow(build->part, &build->part_room, n, sizeof *grown);
    if (grown) {
        build->part = grown;
        first = bt_grow(build->first, &build->first_room, n, sizeof *first);
    }
    if (!first) {
        build->kept.failed = true;
        return;
    }
    build->first = first;
    build->first[build->npart] = build->ncell;
    build->part[build->npart++] = *part;
}

void document_move(struct document_build *build, size_t from, size_t to)
{
    for (; from < build->npart && !build->kept.failed; from++, to++) {
        const struct bt_part part = build->part[from];
        const size_t first = build->first[from];

        memmove(build->part + to + 1, build->part + to,
                (from - to) * sizeof *build->part);
        memmove(build->first + to + 1, build->first + to,
                (from - to) * sizeof *build->first);
        build->part[to] = part;
        build->first[to] = first;
    }
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
                     bt_figure_maker make, const void *input)
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
    if (build->kept.failed)
        return BT_ENOMEM;
    for (size_t i = 0; i < build->npart; i++)
        if (build->part[i].ncell)
            build->part[i].cell = build->cell + build->first[i];
    out->part = build->part;
    out->npart = build->npart;
    return BT_OK;
}

void document_build_clear(struct document_build *build)
{
    kept_clear(&build->kept);
    bt_free(build->part);
    bt_free(build->cell);
    bt_free(build->first);
    memset(build, 0, sizeof *build);
}
