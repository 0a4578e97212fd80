/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/keys.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* In the order of enum bt_instrument_kind. */
static const char *const kinds[] = {"straightedge", "feelers", "dial",   "bar",
                                    "level",        "sticks",  "square", "angle gauge"};

/* Which kinds a key says something about. */
static const struct purpose {
    const char *key;
    unsigned kinds; /* bit 1 << kind */
    const char *words;
} purposes[] = {
    {"zero", 1u << BT_INST_BAR | 1u << BT_INST_LEVEL, "a bar or a level"},
    {"straightness", 1u << BT_INST_STRAIGHTEDGE, "a straightedge"},
    {"own_hollow", 1u << BT_INST_STRAIGHTEDGE, "a straightedge"},
    {"own_hollow_u", 1u << BT_INST_STRAIGHTEDGE, "a straightedge"},
    {"level", 1u << BT_INST_DIAL, "a dial"},
    {"length", 1u << BT_INST_STRAIGHTEDGE | 1u << BT_INST_BAR,
     "a straightedge or a bar"},
};

static enum bt_status read_zero(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    static const char *const words[] = {"known", "unknown"};
    size_t which;

    if (bt_key_choice(load, entry, 2, words, &which) != BT_OK)
        return BT_EINPUT;
    *(bool *)out = which == 1;
    return BT_OK;
}

static void check_purposes(struct bt_load *load, const struct bt_ini_section *section,
                           enum bt_instrument_kind kind)
{
    for (size_t i = 0; i < COUNT(purposes); i++) {
        const struct bt_ini_entry *entry = bt_keys_entry(section, purposes[i].key);
        if (entry && !(purposes[i].kinds & 1u << kind))
            bt_key_fault(load, entry, "not for this kind: '%s', it belongs to %s",
                         purposes[i].key, purposes[i].words);
    }
}

static enum bt_status read_kind(struct bt_load *load,
                                const struct bt_ini_section *section,
                                enum bt_instrument_kind *kind)
{
    const struct bt_ini_entry *entry = bt_keys_entry(section, "kind");
    char list[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    size_t which;

    if (!entry)
        return bt_fault_add(
            load->faults, BT_EINPUT, "job.ini", section->line, 1,
            "an instrument without its kind: '%s', write kind = one of %s",
            bt_fault_shown(section->name.text, section->name.length, shown),
            bt_say_list(list, COUNT(kinds), kinds));
    if (bt_key_choice(load, entry, COUNT(kinds), kinds, &which) != BT_OK)
        return BT_EINPUT;
    *kind = (enum bt_instrument_kind)which;
    check_purposes(load, section, *kind);
    return BT_OK;
}

static bt_key_reader *error_reader(enum bt_instrument_kind kind)
{
    switch (kind) {
    case BT_INST_LEVEL:
    case BT_INST_SQUARE:
        return bt_key_slope;
    case BT_INST_ANGLE_GAUGE:
        return bt_key_angle;
    default:
        return bt_key_above_zero;
    }
}

/* The u of a line test, where it is not stated, from the last digit typed. */
static void settle_hollow(struct bt_load *load, const struct bt_ini_section *section,
                          struct bt_instrument *instrument)
{
    const struct bt_ini_entry *hollow = bt_keys_entry(section, "own_hollow");
    const struct bt_ini_entry *u = bt_keys_entry(section, "own_hollow_u");
    char shown[BT_SHOWN_ROOM];
    struct bt_quantity typed;

    if (u && !hollow)
        bt_key_fault(load, u,
                     "own_hollow_u without own_hollow: '%s', write own_hollow as well",
                     bt_fault_shown(u->value.text, u->value.length, shown));
    if (!isnan(instrument->own_hollow) && !u &&
        bt_quantity_parse(hollow->value.text, hollow->value.length, BT_DIM_LENGTH,
                          load->job->unit, false, &typed, NULL) == BT_OK)
        instrument->own_hollow_u = typed.step / sqrt(12);
}

static enum bt_status read_keys(struct bt_load *load,
                                const struct bt_ini_section *section,
                                struct bt_instrument *instrument)
{
    bt_key_reader *error = error_reader(instrument->kind);
    /* The step of the feelers that go between square and fence is a length. */
    bt_key_reader *step =
        instrument->kind == BT_INST_SQUARE ? bt_key_above_zero : error;
    const struct bt_key keys[] = {
        {"kind", NULL, 0},
        {"zero", read_zero, offsetof(struct bt_instrument, zero_unknown)},
        {"u", error, offsetof(struct bt_instrument, u)},
        {"resolution", step, offsetof(struct bt_instrument, resolution)},
        {"straightness", bt_key_zero_or_above,
         offsetof(struct bt_instrument, straightness)},
        {"own_hollow", bt_key_length, offsetof(struct bt_instrument, own_hollow)},
        {"own_hollow_u", bt_key_above_zero,
         offsetof(struct bt_instrument, own_hollow_u)},
        {"level", bt_key_yes_no, offsetof(struct bt_instrument, level)},
        {"length", bt_key_above_zero, offsetof(struct bt_instrument, length)},
    };

    if (bt_keys_read(load, section, COUNT(keys), keys, instrument) != BT_OK)
        return BT_ENOMEM;
    settle_hollow(load, section, instrument);
    return BT_OK;
}

enum bt_status bt_instrument_read(struct bt_load *load,
                                  const struct bt_ini_section *section)
{
    struct bt_job *job = load->job;
    struct bt_instrument *grown, *instrument;

    grown = bt_grow(job->instrument, &load->instrument_room, job->ninstrument + 1,
                    sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    job->instrument = grown;
    instrument = &grown[job->ninstrument];
    *instrument = (struct bt_instrument){.line = section->line,
                                         .u = NAN,
                                         .resolution = NAN,
                                         .straightness = NAN,
                                         .own_hollow = NAN,
                                         .own_hollow_u = NAN,
                                         .length = NAN};
    instrument->name = bt_copy_text(section->name.text, section->name.length);
    if (!instrument->name)
        return BT_ENOMEM;
    job->ninstrument++;
    /* Without its kind the units of the other keys are not known. */
    if (read_kind(load, section, &instrument->kind) != BT_OK)
        return BT_OK;
    return read_keys(load, section, instrument);
}

int bt_instrument_find(const struct bt_job *job, const char *name, size_t length)
{
    for (size_t i = 0; i < job->ninstrument; i++)
        if (strlen(job->instrument[i].name) == length &&
            memcmp(job->instrument[i].name, name, length) == 0)
            return (int)i;
    return -1;
}

enum bt_status bt_cell_instrument(const struct bt_load *load,
                                  const struct bt_sheet *sheet,
                                  const struct bt_record *record,
                                  const struct bt_column *column, unsigned kinds,
                                  int *out)
{
    const struct bt_job *job = load->job;
    char known[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    const struct bt_cell *cell;
    int found;

    *out = -1;
    if (bt_cell_empty(record, column))
        return BT_OK;
    cell = &record->cell[column->index];
    found = bt_instrument_find(job, cell->text, cell->length);
    bt_fault_shown(cell->text, cell->length, shown);
    if (found < 0)
        return bt_cell_fault(sheet, record, column, "unknown instrument: '%s', %s",
                             shown,
                             bt_say_instruments(known, job, cell->text, cell->length));
    if (!(kinds & 1u << job->instrument[found].kind))
        return bt_cell_fault(
            sheet, record, column,
            "an instrument that does not give such readings: '%s', see its kind in "
            "job.ini",
            shown);
    *out = found;
    return BT_OK;
}

const char *bt_say_instruments(char out[BT_KNOWN_ROOM], const struct bt_job *job,
                               const char *word, size_t length)
{
    const char *names[16];
    size_t n = job->ninstrument < COUNT(names) ? job->ninstrument : COUNT(names);

    for (size_t i = 0; i < n; i++)
        names[i] = job->instrument[i].name;
    return bt_say_known(out, word, length, n, names);
}
