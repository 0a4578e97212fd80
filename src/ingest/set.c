/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/gather.h"

const char *bt_say_outside(char out[BT_KNOWN_ROOM], const struct bt_job *job, double mm,
                           bool across)
{
    double size = across ? job->panel.width : job->panel.length;
    char printed[BT_PRINT_ROOM], slack[BT_PRINT_ROOM];

    if (isnan(size) || (mm >= -BT_EDGE_SLACK && mm <= size + BT_EDGE_SLACK))
        return NULL;
    snprintf(out, BT_KNOWN_ROOM, "%s is 0 to %s (and up to %s beyond)",
             across ? "y, across the panel," : "x, along the panel,",
             bt_print_length(printed, size, 0, job->system, BT_LENGTH_RULE),
             bt_print_length(slack, BT_EDGE_SLACK, 0, BT_SYSTEM_MM, BT_LENGTH_RULE));
    return out;
}

/* Only a header: to be filled in. */
static enum bt_status nothing_yet(struct bt_gather *g, const struct bt_sheet *sheet)
{
    size_t line = sheet->table->record[0].line;

    if (!g->load->options->blank_is_fault)
        return bt_note_add(&g->notes, sheet->name, line, "nothing read yet");
    bt_fault_add(sheet->faults, BT_EINPUT, sheet->name, line, 1,
                 "only a header: nothing read yet, type a row for each reading");
    return BT_OK;
}

static enum bt_status read_table(struct bt_gather *g, struct bt_sheet *sheet)
{
    enum bt_status status;

    g->file_start = g->ntyped;
    g->file_faults = sheet->faults->n;
    g->file_blank = g->set->blank;
    g->undeclared = false;
    g->finest = bt_finest_none();
    g->odd = 0;
    status = bt_grid_is(sheet->table) ? bt_grid_read(g, sheet) : bt_rows_read(g, sheet);
    if (status == BT_OK)
        status = bt_gather_file_done(g, sheet);
    if (status == BT_OK)
        status = bt_scan_settle(g);
    if (status == BT_OK && sheet->table->nrecord == 1)
        status = nothing_yet(g, sheet);
    return status;
}

/* Told where it is named, for there it is mended. */
static bool is_missing(struct bt_gather *g, const char *name)
{
    const struct bt_ini_entry *by = g->plan->files_entry;
    char shown[BT_SHOWN_ROOM];

    if (!by || bt_inside_exists(g->load, name))
        return false;
    bt_fault_add(
        g->load->faults, BT_ENOFILE, "job.ini", by->line, by->value.column,
        "%s: there is no such file: put it into the job folder, or name the one "
        "that is there",
        bt_fault_shown(name, strlen(name), shown));
    return true;
}

static enum bt_status read_file(struct bt_gather *g, size_t file)
{
    struct bt_load *load = g->load;
    char inside[BT_PATH_ROOM];
    const char *path = load->bare ? load->bare : inside;
    struct bt_table table;
    struct bt_sheet sheet = {g->set->file[file], &table, load->job->unit, load->faults};
    enum bt_status status = BT_OK;
    bool done = false;

    g->file = file;
    if (!load->bare && (bt_inside_path(load, sheet.name, inside) != BT_OK ||
                        is_missing(g, sheet.name)))
        return BT_OK;
    /* A million points fit in memory as long as nothing else is among them. */
    if (!g->mixed && g->ntyped == 0)
        status = bt_scan_read(g, path, &sheet, &done);
    if (done || status == BT_ENOMEM)
        return status;
    status = bt_table_read(path, sheet.name, &table, load->faults);
    if (status == BT_OK)
        status = read_table(g, &sheet);
    bt_names_clear(&g->names);
    bt_table_clear(&table);
    return status == BT_ENOMEM ? BT_ENOMEM : BT_OK;
}

/* A set that holds no reading at all: not begun, all left out, or no line and set-up
 * of it read at more than one place. */
static enum bt_status nothing_in_set(struct bt_gather *g)
{
    const struct bt_set *set = g->set;
    const char *file = set->line || !set->nfile ? "job.ini" : set->file[0];
    const char *what = set->skipped ? "every reading is left out"
                       : g->ntyped  ? "no line or set-up is read at two places yet"
                                    : "nothing read yet";
    char shown[BT_SHOWN_ROOM], files[BT_KNOWN_ROOM];

    bt_fault_shown(set->name, strlen(set->name), shown);
    if (!g->load->options->blank_is_fault)
        return bt_note_add(&g->notes, file, set->line, "%s in set '%s'", what, shown);
    bt_fault_add(g->load->faults, BT_EINPUT, file, set->line, set->line ? 1 : 0,
                 "%s: '%s', type what you read into %s", what, shown,
                 set->line
                     ? bt_say_list(files, set->nfile, (const char *const *)set->file)
                     : "it");
    return BT_OK;
}

static enum bt_status read_all(struct bt_gather *g)
{
    size_t faults = g->load->faults->n;
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < g->set->nfile && status == BT_OK; i++)
        status = read_file(g, i);
    if (status != BT_OK || !g->set->nfile)
        return status;
    bt_gather_check_instrument(g);
    if (g->load->faults->n == faults && g->scan.n) {
        bt_scan_finish(g);
        return bt_scan_notes(g);
    }
    if (g->load->faults->n == faults && g->ntyped)
        status = bt_gather_build(g);
    if (status == BT_OK && g->load->faults->n == faults && !g->set->readings.nobs)
        status = nothing_in_set(g);
    return status;
}

enum bt_status bt_set_read(struct bt_load *load, struct bt_set *set,
                           const struct bt_set_plan *plan)
{
    struct bt_gather g = {.load = load,
                          .set = set,
                          .plan = plan,
                          .instrument = -1,
                          .names = {.any_case = true},
                          .least_step = INFINITY};
    enum bt_status status = read_all(&g);

    /* The notes are the set's from here. */
    set->note = g.notes.item;
    set->nnote = g.notes.n;
    g.notes = (struct bt_notes){0};
    bt_gather_clear(&g);
    return status;
}

enum bt_status bt_set_start(struct bt_set *set, const char *name, size_t length)
{
    memset(set, 0, sizeof *set);
    set->humidity = set->temperature = set->moisture = NAN;
    set->moisture_top = set->moisture_bottom = NAN;
    set->clamps = -1;
    set->name = bt_copy_text(name, length);
    set->supports = bt_copy_text("", 0);
    return set->name && set->supports ? BT_OK : BT_ENOMEM;
}

struct bt_source bt_set_source(const struct bt_set *set, size_t reading)
{
    size_t low = 0, high = set->nrun;

    if (!set->readings.scan)
        return set->source[reading];
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (set->run[middle].first <= reading)
            low = middle;
        else
            high = middle;
    }
    return (struct bt_source){set->run[low].file,
                              set->run[low].line + reading - set->run[low].first};
}

void bt_set_clear(struct bt_set *set)
{
    for (size_t i = 0; i < set->nfile; i++)
        bt_free(set->file[i]);
    bt_free(set->file);
    bt_free(set->name);
    bt_free(set->supports);
    bt_free(set->source);
    bt_free(set->run);
    for (size_t i = 0; i < set->nblanks; i++) {
        bt_free(set->blanks[i].line);
        bt_free(set->blanks[i].place);
    }
    bt_free(set->blanks);
    bt_readings_clear(&set->readings);
    bt_notes_free(set->note, set->nnote);
    memset(set, 0, sizeof *set);
}
