/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/keys.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* ---- [job] ---- */

static enum bt_status read_units(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    static const char *const words[] = {"mm", "in"};
    size_t which;

    (void)out;
    /* Nothing is computed after a fault: any unit keeps it from being told again with
     * every bare number. */
    load->job->unit = BT_UNIT_MM;
    if (bt_key_choice(load, entry, 2, words, &which) != BT_OK)
        return BT_EINPUT;
    load->job->unit = which == 1 ? BT_UNIT_IN : BT_UNIT_MM;
    load->job->system = which == 1 ? BT_SYSTEM_IN : BT_SYSTEM_MM;
    load->system_known = true;
    return BT_OK;
}

static enum bt_status read_job(struct bt_load *load,
                               const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"title", bt_key_text, offsetof(struct bt_job, title)},
        {"client", bt_key_text, offsetof(struct bt_job, client)},
        {"date", bt_key_date_text, offsetof(struct bt_job, date)},
        {"units", NULL, 0},
        {"same_point", bt_key_zero_or_above, offsetof(struct bt_job, same_point)},
    };
    const struct bt_ini_entry *units = bt_keys_entry(section, "units");

    /* First, for the others may be bare numbers. */
    if (units)
        read_units(load, units, NULL);
    return bt_keys_read(load, section, COUNT(keys), keys, load->job);
}

/* ---- [panel] ---- */

/* Where [job] states no units, the panel's length tells what to print in. */
static void system_of_panel(struct bt_load *load, const struct bt_ini_section *section)
{
    const struct bt_ini_entry *entry = bt_keys_entry(section, "length");
    struct bt_quantity length;

    if (load->system_known || !entry ||
        bt_quantity_parse(entry->value.text, entry->value.length, BT_DIM_LENGTH,
                          load->job->unit, false, &length, NULL) != BT_OK)
        return;
    load->job->system = length.unit == BT_UNIT_IN || length.unit == BT_UNIT_FT ||
                                length.unit == BT_UNIT_THOU
                            ? BT_SYSTEM_IN
                            : BT_SYSTEM_MM;
    load->system_known = true;
}

/* Longer or thicker, it is no panel of a small shop, mm (bounds of our own). */
#define PANEL_LENGTH_MOST 6000.0
#define PANEL_THICKNESS_MOST 200.0

static enum bt_status note_large(struct bt_load *load,
                                 const struct bt_ini_section *section, const char *key,
                                 const char *how, double is, double most)
{
    const struct bt_ini_entry *entry = bt_keys_entry(section, key);
    char text[BT_PRINT_ROOM];

    if (!entry || !(is > most))
        return BT_OK;
    return bt_note_matters(
        &load->notes,
        bt_note_add(&load->notes, "job.ini", entry->line, "%s %s: is the unit right?",
                    bt_print_length(text, is, 0, load->job->system, BT_LENGTH_RULE),
                    how));
}

static enum bt_status note_large_panel(struct bt_load *load,
                                       const struct bt_ini_section *section)
{
    const struct bt_panel *panel = &load->job->panel;
    enum bt_status status =
        note_large(load, section, "length", "long", panel->length, PANEL_LENGTH_MOST);

    if (status == BT_OK)
        status =
            note_large(load, section, "width", "wide", panel->width, PANEL_LENGTH_MOST);
    return status == BT_OK ? note_large(load, section, "thickness", "thick",
                                        panel->thickness, PANEL_THICKNESS_MOST)
                           : status;
}

static enum bt_status read_panel(struct bt_load *load,
                                 const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"length", bt_key_above_zero, offsetof(struct bt_panel, length)},
        {"width", bt_key_above_zero, offsetof(struct bt_panel, width)},
        {"thickness", bt_key_above_zero, offsetof(struct bt_panel, thickness)},
        {"species", bt_key_text, offsetof(struct bt_panel, species)},
        {"face", NULL, 0},
    };
    const struct bt_ini_entry *face = bt_keys_entry(section, "face");

    const size_t faults = load->faults->n;
    enum bt_status status;

    if (face)
        bt_key_face(load, face, &load->face);
    system_of_panel(load, section);
    status = bt_keys_read(load, section, COUNT(keys), keys, &load->job->panel);
    load->panel_bad = load->faults->n > faults;
    return status == BT_OK ? note_large_panel(load, section) : BT_ENOMEM;
}

/* ---- [boards] ---- */

static enum bt_status add_joint(struct bt_load *load, const struct bt_ini_entry *entry,
                                const char *from, size_t length)
{
    struct bt_job *job = load->job;
    /* The piece as an entry of its own, so that a fault has its place. */
    struct bt_ini_entry piece = *entry;
    char shown[BT_SHOWN_ROOM];
    double y, width = job->panel.width;

    piece.value.text = from;
    piece.value.length = length;
    piece.value.column +=
        bt_text_columns(entry->value.text, (size_t)(from - entry->value.text));
    if (bt_key_length(load, &piece, &y) != BT_OK)
        return BT_OK;
    bt_fault_shown(from, length, shown);
    if (!(y > 0) || y >= width)
        bt_key_value_fault(load, &piece,
                           "a joint outside the panel: '%s', joints lie "
                           "between the back edge (0) and the width",
                           shown);
    else if (job->njoint && !(y > job->joint[job->njoint - 1]))
        bt_key_value_fault(load, &piece,
                           "joints must increase from the back edge: '%s' is not "
                           "beyond the one before",
                           shown);
    else
        job->joint[job->njoint++] = y;
    return BT_OK;
}

/* A list with commas: `110 mm, 225 mm`. */
static enum bt_status read_joints(struct bt_load *load,
                                  const struct bt_ini_entry *entry, void *out)
{
    const char *at = entry->value.text, *end = at + entry->value.length;
    size_t n = 1;

    (void)out;
    for (const char *c = at; c < end; c++)
        n += *c == ',';
    load->job->joint = bt_alloc(n, sizeof *load->job->joint);
    if (!load->job->joint)
        return BT_ENOMEM;
    while (n-- > 0) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        const char *stop = comma ? comma : end;
        while (at < stop && (*at == ' ' || *at == '\t'))
            at++;
        add_joint(load, entry, at, (size_t)(stop - at));
        at = comma ? comma + 1 : end;
    }
    return BT_OK;
}

static enum bt_status read_boards(struct bt_load *load,
                                  const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"file", NULL, 0},
        {"joints", read_joints, 0},
    };
    const struct bt_ini_entry *file = bt_keys_entry(section, "file");

    if (file) {
        load->boards = file->value.text;
        load->boards_by =
            (struct bt_spot_in_file){"job.ini", file->line, file->value.column};
    }
    return bt_keys_read(load, section, COUNT(keys), keys, NULL);
}

/* ---- [limits] ---- */

static enum bt_status read_use(struct bt_load *load, const struct bt_ini_entry *entry)
{
    const struct bt_band *band = bt_band_find(entry->value.text, entry->value.length);
    struct bt_limits *limits = &load->job->limits;
    const char *names[32];
    char list[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    size_t n = bt_band_count() < COUNT(names) ? bt_band_count() : COUNT(names);

    if (band) {
        memcpy(limits->limit, band->limit, sizeof limits->limit);
        strncpy(limits->use, band->use, sizeof limits->use - 1);
        return BT_OK;
    }
    for (size_t i = 0; i < n; i++)
        names[i] = bt_band_at(i)->use;
    return bt_key_value_fault(
        load, entry, "unknown use: '%s', write one of %s, or limits of your own",
        bt_fault_shown(entry->value.text, entry->value.length, shown),
        bt_say_list(list, n, names));
}

/* GAP per SPAN, into struct bt_limits */
static enum bt_status read_local(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    static const char per[] = " per ";
    const char *text = entry->value.text, *at = strstr(text, per);
    struct bt_ini_entry gap = *entry, span = *entry;
    struct bt_limits *limits = out;
    char shown[BT_SHOWN_ROOM];
    double mm, over;

    if (!at)
        return bt_key_value_fault(
            load, entry, "not a gap over a span: '%s', write it as 0.4 mm per 300 mm",
            bt_fault_shown(text, entry->value.length, shown));
    gap.value.length = (size_t)(at - text);
    span.value.text = at + strlen(per);
    span.value.length = strlen(span.value.text);
    span.value.column += bt_text_columns(text, (size_t)(span.value.text - text));
    if (bt_key_above_zero(load, &gap, &mm) != BT_OK ||
        bt_key_above_zero(load, &span, &over) != BT_OK)
        return BT_EINPUT;
    limits->limit[BT_FIGURE_LOCAL] = mm;
    limits->local_span = over;
    return BT_OK;
}

static enum bt_status read_limits(struct bt_load *load,
                                  const struct bt_ini_section *section)
{
#define LIMIT(figure) offsetof(struct bt_limits, limit) + (figure) * sizeof(double)
    static const struct bt_key keys[] = {
        {"use", NULL, 0},
        {"cup", bt_key_above_zero, LIMIT(BT_FIGURE_CUP)},
        {"bow", bt_key_above_zero, LIMIT(BT_FIGURE_BOW)},
        {"twist", bt_key_above_zero, LIMIT(BT_FIGURE_TWIST)},
        {"range", bt_key_above_zero, LIMIT(BT_FIGURE_RANGE)},
        {"zone", bt_key_above_zero, LIMIT(BT_FIGURE_ZONE)},
        {"local", read_local, 0},
        {"confidence", bt_key_confidence, offsetof(struct bt_limits, confidence)},
    };
#undef LIMIT
    const struct bt_ini_entry *use = bt_keys_entry(section, "use");

    /* First: the other keys override the band. */
    if (use)
        read_use(load, use);
    return bt_keys_read(load, section, COUNT(keys), keys, &load->job->limits);
}

/* ---- [feelers] ---- */

static bool is_feeler_name(const struct bt_ini_text *key)
{
    for (size_t i = 0; i < key->length; i++) {
        char c = key->text[i];
        bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        bool other = (c >= '0' && c <= '9') || c == '_' || c == '-';
        if (!letter && !(i > 0 && other))
            return false;
    }
    return bt_unit_find(key->text, key->length) == BT_UNIT_NONE;
}

/* Thicker, it is no feeler: most likely thou were typed for inches, mm. */
#define FEELER_MOST 10.0

static void thick_feeler(struct bt_load *load, const struct bt_ini_entry *entry,
                         double mm)
{
    const struct bt_ini_text *value = &entry->value;
    bool inch = load->job->unit == BT_UNIT_IN;
    char thick[BT_PRINT_ROOM], shown[BT_SHOWN_ROOM];
    struct bt_quantity thou = {.unit_typed = true};

    bt_fault_shown(value->text, value->length, shown);
    bt_print_length(thick, mm, 0, load->job->system, BT_LENGTH_RULE);
    if (inch &&
        bt_quantity_parse(value->text, value->length, BT_DIM_LENGTH, BT_UNIT_THOU,
                          false, &thou, NULL) == BT_OK &&
        !thou.unit_typed && !thou.denominator && thou.value <= FEELER_MOST)
        bt_key_value_fault(load, entry, "a feeler of %s: '%s', did you mean %s thou?",
                           thick, shown, shown);
    else
        bt_key_value_fault(load, entry,
                           "a feeler of %s: '%s', one of at most 10 mm (0.39 in) is "
                           "believed: is the unit right?",
                           thick, shown);
}

static enum bt_status read_feeler(struct bt_load *load,
                                  const struct bt_ini_entry *entry)
{
    struct bt_job *job = load->job;
    struct bt_feeler *feeler = &job->feeler[job->nfeeler];
    char shown[BT_SHOWN_ROOM];

    if (!is_feeler_name(&entry->key)) {
        bt_key_fault(load, entry,
                     "not a name for a feeler: '%s', a name has letters, digits, _ and "
                     "-, begins with a letter and is no unit",
                     bt_fault_shown(entry->key.text, entry->key.length, shown));
        return BT_OK;
    }
    if (!entry->value.length || bt_key_above_zero(load, entry, &feeler->mm) != BT_OK)
        return BT_OK;
    if (!(feeler->mm <= FEELER_MOST)) {
        thick_feeler(load, entry, feeler->mm);
        return BT_OK;
    }
    feeler->line = entry->line;
    feeler->name = bt_copy_text(entry->key.text, entry->key.length);
    if (!feeler->name)
        return BT_ENOMEM;
    job->nfeeler++;
    return BT_OK;
}

static enum bt_status read_feelers(struct bt_load *load,
                                   const struct bt_ini_section *section)
{
    load->job->feeler = bt_alloc(section->nentry, sizeof *load->job->feeler);
    if (!load->job->feeler)
        return BT_ENOMEM;
    for (size_t i = 0; i < section->nentry; i++)
        if (read_feeler(load, &section->entry[i]) != BT_OK)
            return BT_ENOMEM;
    return BT_OK;
}

/* ---- all sections ---- */

enum naming { UNNAMED, NAMED };

/* In the order in which they are read: units first, and what others refer to before
 * them. */
static const struct section {
    const char *kind;
    enum naming naming;
    enum bt_status (*read)(struct bt_load *, const struct bt_ini_section *);
} sections[] = {
    {"job", UNNAMED, read_job},
    {"panel", UNNAMED, read_panel},
    {"boards", UNNAMED, read_boards},
    {"limits", UNNAMED, read_limits},
    {"feelers", UNNAMED, read_feelers},
    {"instrument", NAMED, bt_instrument_read},
    {"readings", NAMED, bt_set_section_read},
    {"fence", UNNAMED, bt_fence_section_read},
    {"glue", UNNAMED, bt_glue_section_read},
    {"clamp", NAMED, bt_clamp_section_read},
    {"climate", UNNAMED, bt_climate_section_read},
    {"layout", UNNAMED, bt_layout_section_read},
    {"fixing", UNNAMED, bt_fixing_section_read},
    {"stock", UNNAMED, bt_stock_section_read},
    {"opening", UNNAMED, bt_opening_section_read},
    {"plan", UNNAMED, bt_plan_section_read},
};

static void unknown_section(struct bt_load *load, const struct bt_ini_section *section)
{
    const char *names[COUNT(sections)];
    char known[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];

    for (size_t i = 0; i < COUNT(sections); i++)
        names[i] = sections[i].kind;
    bt_fault_add(load->faults, BT_EINPUT, "job.ini", section->line,
                 section->kind.column, "unknown section: '%s', %s",
                 bt_fault_shown(section->kind.text, section->kind.length, shown),
                 bt_say_known(known, section->kind.text, section->kind.length,
                              COUNT(names), names));
}

static bool name_is_right(struct bt_load *load, const struct bt_ini_section *section,
                          const struct section *of)
{
    char shown[BT_SHOWN_ROOM];

    if (of->naming == NAMED && !section->name.length)
        bt_fault_add(
            load->faults, BT_EINPUT, "job.ini", section->line, section->kind.column,
            "a section without its name: '%s', write [%s NAME]", of->kind, of->kind);
    else if (of->naming == UNNAMED && section->name.length)
        bt_fault_add(load->faults, BT_EINPUT, "job.ini", section->line,
                     section->name.column, "a name too many: '%s', write [%s]",
                     bt_fault_shown(section->name.text, section->name.length, shown),
                     of->kind);
    else
        return true;
    return false;
}

static enum bt_status read_kind(struct bt_load *load, const struct bt_ini *ini,
                                const struct section *of)
{
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < ini->nsection && status != BT_ENOMEM; i++) {
        const struct bt_ini_section *section = &ini->section[i];
        if (strcmp(section->kind.text, of->kind) != 0 ||
            !name_is_right(load, section, of))
            continue;
        status = of->read(load, section);
    }
    return status == BT_ENOMEM ? BT_ENOMEM : BT_OK;
}

enum bt_status bt_jobfile_read(struct bt_load *load, const struct bt_ini *ini)
{
    for (size_t i = 0; i < ini->nsection; i++) {
        size_t k = 0;
        while (k < COUNT(sections) &&
               strcmp(sections[k].kind, ini->section[i].kind.text) != 0)
            k++;
        if (k == COUNT(sections))
            unknown_section(load, &ini->section[i]);
    }
    for (size_t k = 0; k < COUNT(sections); k++)
        if (read_kind(load, ini, &sections[k]) != BT_OK)
            return BT_ENOMEM;
    return BT_OK;
}
