/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/gather.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/points.h"

size_t bt_places_of(enum bt_reading_kind kind)
{
    static const size_t places[BT_READ_KINDS] = {
        [BT_READ_HEIGHT] = 1, [BT_READ_GAP] = 1,  [BT_READ_BAR] = 3,
        [BT_READ_SLOPE] = 2,  [BT_READ_WIND] = 4, [BT_READ_SCAN] = 1};
    return places[kind];
}

bool bt_instrument_fits(enum bt_instrument_kind instrument,
                        enum bt_reading_kind reading)
{
    switch (reading) {
    case BT_READ_GAP: /* a dial in a straightedge reads gaps, too */
        return instrument == BT_INST_STRAIGHTEDGE || instrument == BT_INST_FEELERS ||
               instrument == BT_INST_DIAL;
    case BT_READ_HEIGHT:
    case BT_READ_SCAN:
        return instrument == BT_INST_DIAL;
    case BT_READ_BAR:
        return instrument == BT_INST_BAR;
    case BT_READ_SLOPE:
        return instrument == BT_INST_LEVEL;
    case BT_READ_WIND:
        return instrument == BT_INST_STICKS;
    default:
        return false;
    }
}

enum bt_status bt_gather_instrument(struct bt_gather *g, enum bt_reading_kind kind)
{
    int instrument = g->plan ? g->plan->instrument : -1;
    const struct bt_job *job = g->load->job;
    char shown[BT_SHOWN_ROOM];

    g->instrument = -1;
    if (instrument < 0)
        return BT_OK;
    if (bt_instrument_fits(job->instrument[instrument].kind, kind)) {
        g->instrument = instrument;
        g->fits++;
        return BT_OK;
    }
    g->misfits++;
    g->misfit = kind;
    return bt_note_add(&g->notes, g->set->file[g->file], 0,
                       "'%s' gives no %s readings: not used for this file",
                       bt_fault_shown(job->instrument[instrument].name,
                                      strlen(job->instrument[instrument].name), shown),
                       bt_reading_kind_name(kind));
}

void bt_gather_check_instrument(struct bt_gather *g)
{
    const struct bt_ini_entry *entry;
    char shown[BT_SHOWN_ROOM];

    if (!g->misfits || g->fits)
        return;
    entry = g->plan->instrument_entry;
    bt_fault_add(
        g->load->faults, BT_EINPUT, "job.ini", entry->line, entry->value.column,
        "an instrument that does not fit: '%s' gives no %s readings, see its kind",
        bt_fault_shown(entry->value.text, entry->value.length, shown),
        bt_reading_kind_name(g->misfit));
}

void bt_gather_system(struct bt_gather *g, enum bt_unit unit)
{
    if (g->load->system_known || bt_unit_dimension(unit) != BT_DIM_LENGTH)
        return;
    g->load->system_known = true;
    g->load->job->system =
        unit == BT_UNIT_IN || unit == BT_UNIT_FT || unit == BT_UNIT_THOU ? BT_SYSTEM_IN
                                                                         : BT_SYSTEM_MM;
}

static bool is_edge(const struct bt_gather *g, int instrument)
{
    return instrument >= 0 &&
           g->load->job->instrument[instrument].kind == BT_INST_STRAIGHTEDGE;
}

int bt_gather_edge(const struct bt_gather *g, int instrument)
{
    if (is_edge(g, instrument))
        return instrument;
    return is_edge(g, g->instrument) ? g->instrument : -1;
}

void bt_gather_u(const struct bt_gather *g, struct bt_typed *typed, double u_typed,
                 double u_interval)
{
    const struct bt_instrument *instrument =
        typed->instrument < 0 ? NULL : &g->load->job->instrument[typed->instrument];

    typed->u = bt_sure_u(u_typed, u_interval, instrument ? instrument->u : NAN,
                         instrument ? instrument->resolution : NAN, &typed->origin);
}

/* --without names files as the job does, or by the last part of the path. */
static bool is_called(const char *file, const char *name)
{
    const char *slash = strrchr(file, '/');

    return strcmp(file, name) == 0 || (slash && strcmp(slash + 1, name) == 0);
}

bool bt_gather_left_out(struct bt_gather *g, size_t line)
{
    const struct bt_load_options *options = g->load->options;
    bool out = false;

    for (size_t i = 0; i < options->nwithout; i++) {
        struct bt_without *without = &options->without[i];
        if (without->line != line || !is_called(g->set->file[g->file], without->file))
            continue;
        without->found = true;
        out = true;
    }
    return out;
}

void bt_gather_step(struct bt_gather *g, double step, size_t file, size_t line)
{
    if (!(step > BT_PLACE_ROUNDING) || !(step < g->least_step))
        return;
    g->least_step = step;
    g->step_file = file;
    g->step_line = line;
}

/* ---- how it was typed ---- */

void bt_gather_typing(struct bt_typed *typed, const struct bt_gap *gap)
{
    typed->step = gap->step;
    typed->digits = gap->digits;
    typed->metric = gap->metric;
    typed->inch = gap->inch;
    typed->touches = gap->kind == BT_GAP_EXACT && !(gap->high > 0);
    typed->below = gap->kind != BT_GAP_EXACT && !(gap->low > 0);
}

enum bt_status bt_gather_add(struct bt_gather *g, const struct bt_typed *typed,
                             const struct bt_point place[])
{
    size_t n = bt_places_of(typed->kind);
    struct bt_typed *typed_grown;
    struct bt_point *place_grown;

    bt_finest_note(&g->finest, typed->digits, typed->step, typed->value == 0);
    if (bt_gather_left_out(g, typed->line)) {
        g->set->skipped++;
        return BT_OK;
    }
    typed_grown = bt_grow(g->typed, &g->typed_room, g->ntyped + 1, sizeof *typed_grown);
    if (!typed_grown)
        return BT_ENOMEM;
    g->typed = typed_grown;
    place_grown = bt_grow(g->place, &g->place_room, g->nplace + n, sizeof *place_grown);
    if (!place_grown)
        return BT_ENOMEM;
    g->place = place_grown;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            bt_gather_step(g, hypot(place[i].x - place[j].x, place[i].y - place[j].y),
                           g->file, typed->line);
    memcpy(g->place + g->nplace, place, n * sizeof *place);
    g->typed[g->ntyped] = *typed;
    g->typed[g->ntyped].file = g->file;
    g->typed[g->ntyped].place = g->nplace;
    g->ntyped++;
    g->nplace += n;
    return BT_OK;
}

enum bt_status bt_gather_placement(struct bt_gather *g, const struct bt_cell *name,
                                   int edge, size_t line, size_t *out)
{
    struct bt_placement *grown;

    *out = bt_names_find(&g->names, name->text, name->length, edge);
    if (*out != SIZE_MAX)
        return BT_OK;
    grown = bt_grow(g->placement, &g->placement_room, g->nplacement + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    g->placement = grown;
    grown[g->nplacement] = (struct bt_placement){
        .file = g->file,
        .line = line,
        .edge = edge,
        .named = SIZE_MAX,
        .length = NAN,
        .first = {NAN, NAN},
    };
    grown[g->nplacement].name = bt_copy_text(name->text, name->length);
    if (!grown[g->nplacement].name)
        return BT_ENOMEM;
    *out = g->nplacement++;
    return bt_names_add(&g->names, name->text, name->length, edge, *out);
}

/* Readings of two dials are two set-ups: each has a zero of its own. */
enum bt_status bt_gather_setup(struct bt_gather *g, const struct bt_cell *name,
                               int instrument, size_t line, size_t *out)
{
    struct bt_setup *grown;

    *out = bt_names_find(&g->names, name->text, name->length, instrument);
    if (*out != SIZE_MAX)
        return BT_OK;
    grown = bt_grow(g->setup, &g->setup_room, g->nsetup + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    g->setup = grown;
    grown[g->nsetup] = (struct bt_setup){
        .file = g->file,
        .line = line,
        .level = instrument >= 0 && g->load->job->instrument[instrument].level,
    };
    grown[g->nsetup].name = bt_copy_text(name->text, name->length);
    if (!grown[g->nsetup].name)
        return BT_ENOMEM;
    *out = g->nsetup++;
    return bt_names_add(&g->names, name->text, name->length, instrument, *out);
}

bool bt_gather_too_many(const struct bt_gather *g, const struct bt_sheet *sheet,
                        size_t line)
{
    if (sheet->faults->n - g->file_faults < BT_FAULTS_PER_FILE)
        return false;
    bt_fault_add(sheet->faults, BT_EINPUT, sheet->name, line, 1,
                 "%d faults so far, the rest of the file was not read; correct these "
                 "first",
                 BT_FAULTS_PER_FILE);
    return true;
}

void bt_placement_place(struct bt_placement *placement, const struct bt_point *place)
{
    if (isnan(placement->first.x))
        placement->first = *place;
    else if (!(hypot(place->x - placement->first.x, place->y - placement->first.y) <=
               BT_PLACE_ROUNDING))
        placement->spread = true;
}

/* What is still to be read, and what is not made use of. */
static enum bt_status note_blanks(struct bt_gather *g, const struct bt_sheet *sheet)
{
    size_t blank = g->set->blank - g->file_blank;

    if (blank && bt_note_add(&g->notes, sheet->name, 0, "%zu reading%s not taken",
                             blank, bt_say_plural(blank)) != BT_OK)
        return BT_ENOMEM;
    if (g->undeclared &&
        bt_note_add(&g->notes, sheet->name, 0,
                    "no job.ini declares instruments: their names are not used") !=
            BT_OK)
        return BT_ENOMEM;
    return BT_OK;
}

enum bt_status bt_gather_file_done(struct bt_gather *g, const struct bt_sheet *sheet)
{
    size_t origin[BT_U_ORIGINS] = {0};

    for (size_t i = g->file_start; i < g->ntyped; i++) {
        struct bt_typed *typed = &g->typed[i];
        origin[typed->origin]++;
        if (typed->origin != BT_U_DIGIT)
            continue;
        typed->u = bt_finest_step(&g->finest, typed->digits, typed->step) / sqrt(12);
        if (!isfinite(typed->u)) {
            bt_sure_nothing(sheet->faults, sheet->name, typed->line);
            break;
        }
    }
    bt_names_clear(&g->names);
    if (note_blanks(g, sheet) != BT_OK || bt_gather_note_typing(g, sheet) != BT_OK)
        return BT_ENOMEM;
    return bt_sure_note(&g->notes, sheet->name, origin);
}

void bt_gather_clear(struct bt_gather *g)
{
    for (size_t i = 0; i < g->nplacement; i++)
        bt_free(g->placement[i].name);
    for (size_t i = 0; i < g->nsetup; i++)
        bt_free(g->setup[i].name);
    bt_free(g->typed);
    bt_free(g->place);
    bt_free(g->placement);
    bt_free(g->setup);
    bt_free(g->blank);
    bt_scan_clear(&g->scan);
    bt_names_clear(&g->names);
    bt_notes_free(g->notes.item, g->notes.n);
    memset(g, 0, sizeof *g);
}
