/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/fence.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

static const char fence_file[] = "fence.csv";

static const struct bt_column_spec columns[BT_FENCE_COLUMNS] = {
    [BT_FENCE_COL_KIND] = {.name = "kind", .dim = BT_DIM_NUMBER},
    [BT_FENCE_COL_STATION] = {.name = "station", .dim = BT_DIM_LENGTH},
    [BT_FENCE_COL_HEIGHT] = {.name = "height", .dim = BT_DIM_LENGTH},
    [BT_FENCE_COL_GAP] = {.name = "gap", .dim = BT_DIM_LENGTH},
    [BT_FENCE_COL_OPEN_AT] = {.name = "open_at", .dim = BT_DIM_NUMBER},
    [BT_FENCE_COL_WIDTH] = {.name = "width", .dim = BT_DIM_LENGTH},
    [BT_FENCE_COL_WIDTH2] = {.name = "width2", .dim = BT_DIM_LENGTH},
    [BT_FENCE_COL_HOLLOW_AT] = {.name = "hollow_at", .dim = BT_DIM_NUMBER},
    [BT_FENCE_COL_READING] = {.name = "reading", .dim = BT_DIM_ANGLE},
    [BT_FENCE_COL_TURNED] = {.name = "turned", .dim = BT_DIM_ANGLE},
    [BT_FENCE_COL_INSTRUMENT] = {.name = "instrument", .dim = BT_DIM_NUMBER},
    [BT_FENCE_COL_U] = {.name = "u", .dim = BT_DIM_LENGTH},
    /* A column of its own, for one file may hold gaps and angles. */
    [BT_FENCE_COL_U_DEG] = {.name = "u_deg", .dim = BT_DIM_ANGLE},
};

/* How the reading of a check was typed, beside job->fence.check. */
struct how {
    enum bt_digits digits;
    double step;
};

struct checks {
    struct bt_fence_file f;
    size_t check_room, how_room;
    struct how *how;
    struct bt_finest gap, angle;
};

static enum bt_status keep(struct checks *c, const struct bt_fence_row *row)
{
    struct bt_fence_setup *fence = &c->f.load->job->fence;
    struct bt_fence_check *checks;
    struct how *how;

    checks = bt_grow(fence->check, &c->check_room, fence->ncheck + 1, sizeof *checks);
    if (!checks)
        return BT_ENOMEM;
    fence->check = checks;
    how = bt_grow(c->how, &c->how_room, fence->ncheck + 1, sizeof *how);
    if (!how)
        return BT_ENOMEM;
    c->how = how;
    checks[fence->ncheck] = row->check;
    how[fence->ncheck] = (struct how){row->digits, row->step};
    fence->ncheck++;
    fence->u_origin[row->origin]++;
    fence->square_assumed |= row->assumed && row->check.kind == BT_FENCE_SQUARE;
    fence->gauge_assumed |= row->assumed && row->check.kind == BT_FENCE_ANGLE;
    if (row->check.kind == BT_FENCE_ANGLE) {
        bt_finest_note(&c->angle, row->digits, row->step, false);
        bt_finest_note(&c->angle, row->turned_digits, row->turned_step, false);
    } else {
        bt_finest_note(&c->gap, row->digits, row->step, row->check.gap == 0);
    }
    return BT_OK;
}

static enum bt_status read_rows(struct checks *c)
{
    struct bt_fence_setup *fence = &c->f.load->job->fence;

    for (size_t i = 1; i < c->f.sheet.table->nrecord; i++) {
        const struct bt_record *record = &c->f.sheet.table->record[i];
        struct bt_fence_row row;

        if (fence->ncheck == BT_FENCE_MOST_CHECKS) {
            bt_fault_add(c->f.load->faults, BT_EINPUT, fence_file, record->line, 1,
                         "more than %d checks: leave the rest out",
                         BT_FENCE_MOST_CHECKS);
            return BT_OK;
        }
        bt_fence_row_read(&c->f, record, &row);
        if (row.no_memory)
            return BT_ENOMEM;
        fence->blank += row.blank && !row.bad;
        if (!row.blank && !row.bad && keep(c, &row) != BT_OK)
            return BT_ENOMEM;
    }
    return BT_OK;
}

/* The u that the digits of a column tell. */
static void fill_u(struct checks *c)
{
    struct bt_fence_setup *fence = &c->f.load->job->fence;

    for (size_t i = 0; i < fence->ncheck; i++) {
        struct bt_fence_check *check = &fence->check[i];
        bool angle = check->kind == BT_FENCE_ANGLE;
        double *u = angle ? &check->u_reading : &check->u_gap;

        if (!isnan(*u))
            continue;
        *u = bt_finest_step(angle ? &c->angle : &c->gap, c->how[i].digits,
                            c->how[i].step) /
             sqrt(12);
        if (isfinite(*u))
            continue;
        bt_sure_nothing(c->f.load->faults, fence_file, check->source);
        return;
    }
}

/* Each where it holds, the others BT_OK. */
static enum bt_status tell_assumed(struct bt_load *load)
{
    const struct bt_fence_setup *fence = &load->job->fence;
    struct bt_notes *notes = &load->notes;
    enum bt_status status = BT_OK;

    if (fence->square_assumed)
        status = bt_note_matters(
            notes,
            bt_note_add(
                notes, fence_file, 0,
                "own error of the square not stated: 0.05 deg is taken (common "
                "practice, no source); state it as u of an [instrument NAME] with "
                "kind = square"));
    if (fence->gauge_assumed && status == BT_OK)
        status = bt_note_matters(
            notes,
            bt_note_add(
                notes, fence_file, 0,
                "own error of the angle gauge not stated: 0.1 deg is taken (common "
                "practice, no source); read it turned end for end too, or state it "
                "as u of an [instrument NAME] with kind = angle gauge"));
    return status;
}

static enum bt_status tell(struct bt_load *load)
{
    const struct bt_fence_setup *fence = &load->job->fence;
    struct bt_notes *notes = &load->notes;

    if (!fence->ncheck && !fence->blank && load->faults->n == load->faults_before &&
        bt_note_matters(
            notes, bt_note_add(notes, fence_file, 0,
                               "holds no check yet: type one row a check")) != BT_OK)
        return BT_ENOMEM;
    if (fence->blank && bt_note_add(notes, fence_file, 0, "%zu check%s not taken",
                                    fence->blank, bt_say_plural(fence->blank)) != BT_OK)
        return BT_ENOMEM;
    if (tell_assumed(load) != BT_OK)
        return BT_ENOMEM;
    return bt_sure_note(notes, fence_file, fence->u_origin);
}

static enum bt_status read_checks(struct checks *c)
{
    struct bt_load *load = c->f.load;

    if (bt_columns_find(&c->f.sheet, "checks of a fence", BT_FENCE_COLUMNS, columns,
                        c->f.column) != BT_OK)
        return BT_OK;
    if (!c->f.column[BT_FENCE_COL_KIND].there) {
        bt_fault_add(load->faults, BT_EINPUT, fence_file,
                     c->f.sheet.table->record->line, 1,
                     "no column 'kind': each row says square, doubled or angle");
        return BT_OK;
    }
    c->f.column[BT_FENCE_COL_U_DEG].unit = BT_UNIT_DEG; /* the name says so */
    if (read_rows(c) != BT_OK)
        return BT_ENOMEM;
    fill_u(c);
    return tell(load);
}

enum bt_status bt_fence_take(struct bt_load *load, const struct bt_table *table)
{
    struct checks c = {
        .f = {.load = load}, .gap = bt_finest_none(), .angle = bt_finest_none()};
    char *name = bt_copy_text(fence_file, strlen(fence_file));
    enum bt_status status;

    if (!name)
        return BT_ENOMEM;
    bt_free(load->job->fence.file);
    load->job->fence.file = name;
    c.f.sheet = (struct bt_sheet){fence_file, table, load->job->unit, load->faults};
    status = read_checks(&c);
    bt_free(c.how);
    return status;
}

enum bt_status bt_fence_read(struct bt_load *load)
{
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, fence_file, &table, &usable);

    if (usable)
        status = bt_fence_take(load, &table);
    bt_table_clear(&table);
    return status;
}
