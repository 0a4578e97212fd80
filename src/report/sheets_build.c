/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/sheets_build.h"

#include <string.h>

#include "benchtrue/base/alloc.h"

void sheets_begin(struct sheets_build *build, const struct bt_sheet *what)
{
    struct bt_sheet *grown =
        bt_grow(build->sheet, &build->sheet_room, build->nsheet + 1, sizeof *grown);

    if (!grown) {
        build->kept.failed = true;
        return;
    }
    build->sheet = grown;
    build->sheet[build->nsheet] = *what;
    build->sheet[build->nsheet++].nblock = 0;
}

void sheets_block(struct sheets_build *build, const char *title, const char *how)
{
    struct bt_sheet_block *grown = build->kept.failed
                                       ? NULL
                                       : bt_grow(build->block, &build->block_room,
                                                 build->nblock + 1, sizeof *grown);

    if (!grown) {
        build->kept.failed = true;
        return;
    }
    build->block = grown;
    build->block[build->nblock++] = (struct bt_sheet_block){.title = title, .how = how};
    build->sheet[build->nsheet - 1].nblock++;
}

void sheets_box(struct sheets_build *build, const char *label, const char *row)
{
    struct bt_sheet_box *grown =
        build->kept.failed
            ? NULL
            : bt_grow(build->box, &build->box_room, build->nbox + 1, sizeof *grown);

    if (!grown) {
        build->kept.failed = true;
        return;
    }
    build->box = grown;
    build->box[build->nbox++] = (struct bt_sheet_box){label, row};
    build->block[build->nblock - 1].nbox++;
}

/* Only now, when nothing grows any more, do they stand where they stay. */
enum bt_status sheets_done(struct sheets_build *build)
{
    size_t block = 0, box = 0;

    if (build->kept.failed)
        return BT_ENOMEM;
    for (size_t i = 0; i < build->nsheet; i++) {
        build->sheet[i].block = build->block + block;
        block += build->sheet[i].nblock;
    }
    for (size_t i = 0; i < build->nblock; i++) {
        build->block[i].box = build->box + box;
        box += build->block[i].nbox;
    }
    return BT_OK;
}

void sheets_clear(struct sheets_build *build)
{
    kept_clear(&build->kept);
    bt_free(build->sheet);
    bt_free(build->block);
    bt_free(build->box);
    memset(build, 0, sizeof *build);
}
