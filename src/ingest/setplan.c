/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/keys.h"
#include "ingest/supports.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* The next letter of a name that blanks and case do not tell apart; '\0' at its
 * end. */
static char next_letter(const char **text)
{
    while (**text == ' ' || **text == '\t' || **text == '-' || **text == '_')
        ++*text;
    return **text ? *(*text)++ : '\0';
}

/* Would a maker take the two names for one? */
static bool names_overlap(const char *a, const char *b)
{
    for (;;) {
        char x = next_letter(&a), y = next_letter(&b);
        if (!bt_names_alike(&x, &y, 1))
            return false;
        if (x == '\0')
            return true;
    }
}

static void check_name(struct bt_load *load, const struct bt_ini_section *section)
{
    char shown[BT_SHOWN_ROOM], other[BT_SHOWN_ROOM];

    for (size_t i = 0; i < load->job->nset; i++) {
        const struct bt_set *set = &load->job->set[i];
        if (!names_overlap(set->name, section->name.text))
            continue;
        bt_fault_add(
            load->faults, BT_EINPUT, "job.ini", section->line, section->name.column,
            "overlapping set names: '%s' is too like '%s' of line %zu, call it "
            "something else",
            bt_fault_shown(section->name.text, section->name.length, shown),
            bt_fault_shown(set->name, strlen(set->name), other), set->line);
        return;
    }
}

/* ---- files ---- */

static bool has_file(const struct bt_set *set, const char *name, size_t length)
{
    for (size_t i = 0; i < set->nfile; i++)
        if (strlen(set->file[i]) == length && memcmp(set->file[i], name, length) == 0)
            return true;
    return false;
}

static enum bt_status add_file(struct bt_load *load, struct bt_set *set,
                               const struct bt_ini_entry *entry, const char *name,
                               size_t length)
{
    const struct bt_ini_text *value = &entry->value;
    const struct bt_spot_in_file by = {
        "job.ini", entry->line,
        value->column + bt_text_columns(value->text, (size_t)(name - value->text))};
    char shown[BT_SHOWN_ROOM];

    bt_fault_shown(name, length, shown);
    if (length == 0) {
        bt_fault_add(load->faults, BT_EINPUT, by.file, by.line, by.column,
                     "a file without a name: one comma too many");
        return BT_OK;
    }
    if (has_file(set, name, length)) {
        bt_fault_add(load->faults, BT_EINPUT, by.file, by.line, by.column,
                     "a file twice in one set: '%s', name it once", shown);
        return BT_OK;
    }
    set->file[set->nfile] = bt_copy_text(name, length);
    if (!set->file[set->nfile])
        return BT_ENOMEM;
    set->nfile++;
    if (bt_inside_check(load, set->file[set->nfile - 1], &by) == BT_OK)
        return BT_OK;
    /* Not to be opened. */
    bt_free(set->file[--set->nfile]);
    set->file[set->nfile] = NULL;
    return BT_OK;
}

static enum bt_status read_files(struct bt_load *load, const struct bt_ini_entry *entry,
                                 struct bt_set *set)
{
    const char *at = entry->value.text, *end = at + entry->value.length;
    enum bt_status status = BT_OK;
    size_t n = 1;

    for (const char *c = at; c < end; c++)
        n += *c == ',';
    set->file = bt_alloc(n, sizeof *set->file);
    if (!set->file)
        return BT_ENOMEM;
    while (n-- > 0 && status == BT_OK) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        const char *stop = comma ? comma : end;
        const char *next = comma ? comma + 1 : end;
        while (at < stop && (*at == ' ' || *at == '\t'))
            at++;
        while (stop > at && (stop[-1] == ' ' || stop[-1] == '\t'))
            stop--;
        status = add_file(load, set, entry, at, (size_t)(stop - at));
        at = next;
    }
    return status;
}

/* ---- instrument ---- */

static void find_instrument(struct bt_load *load, const struct bt_ini_entry *entry,
                            struct bt_set_plan *plan)
{
    const struct bt_ini_text *value = &entry->value;
    char known[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];

    plan->instrument_entry = entry;
    plan->instrument = bt_instrument_find(load->job, value->text, value->length);
    if (plan->instrument < 0)
        bt_key_value_fault(
            load, entry, "unknown instrument: '%s', %s",
            bt_fault_shown(value->text, value->length, shown),
            bt_say_instruments(known, load->job, value->text, value->length));
}

/* ---- the section ---- */

static enum bt_status add_set(struct bt_load *load,
                              const struct bt_ini_section *section)
{
    struct bt_job *job = load->job;
    struct bt_set *sets =
        bt_grow(job->set, &load->set_room, job->nset + 1, sizeof *sets);
    struct bt_set_plan *plans;

    if (!sets)
        return BT_ENOMEM;
    job->set = sets;
    plans = bt_grow(load->plan, &load->plan_room, job->nset + 1, sizeof *plans);
    if (!plans)
        return BT_ENOMEM;
    load->plan = plans;
    plans[job->nset] = (struct bt_set_plan){.instrument = -1};
    return bt_set_start(&sets[job->nset++], section->name.text, section->name.length);
}

enum bt_status bt_set_section_read(struct bt_load *load,
                                   const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"files", NULL, 0},
        {"date", bt_key_date, offsetof(struct bt_set, date)},
        {"instrument", NULL, 0},
        {"face", bt_key_face, offsetof(struct bt_set, face)},
        {"supports", bt_key_text, offsetof(struct bt_set, supports)},
        {"clamps", bt_key_on_off, offsetof(struct bt_set, clamps)},
        {"humidity", bt_key_humidity, offsetof(struct bt_set, humidity)},
        {"temperature", bt_key_temperature, offsetof(struct bt_set, temperature)},
        {"moisture", bt_key_moisture, offsetof(struct bt_set, moisture)},
        {"moisture_top", bt_key_moisture, offsetof(struct bt_set, moisture_top)},
        {"moisture_bottom", bt_key_moisture, offsetof(struct bt_set, moisture_bottom)},
    };
    const struct bt_ini_entry *files = bt_keys_entry(section, "files");
    const struct bt_ini_entry *instrument = bt_keys_entry(section, "instrument");
    const struct bt_ini_entry *supports = bt_keys_entry(section, "supports");
    char shown[BT_SHOWN_ROOM];
    struct bt_set *set;

    check_name(load, section);
    if (add_set(load, section) != BT_OK)
        return BT_ENOMEM;
    set = &load->job->set[load->job->nset - 1];
    set->line = section->line;
    set->face = load->face;
    if (instrument)
        find_instrument(load, instrument, &load->plan[load->job->nset - 1]);
    if (supports)
        bt_supports_read(load, supports, &set->lying);
    load->plan[load->job->nset - 1].files_entry = files;
    if (!files)
        bt_fault_add(load->faults, BT_EINPUT, "job.ini", section->line, 1,
                     "a set without files: '%s', write files = NAME.csv",
                     bt_fault_shown(section->name.text, section->name.length, shown));
    else if (read_files(load, files, set) != BT_OK)
        return BT_ENOMEM;
    return bt_keys_read(load, section, COUNT(keys), keys, set);
}
